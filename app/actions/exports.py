"""Exports: one record, one machine or the whole book, gathered piece by piece so that none is ever held whole."""

import json
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Table
from sqlmodel import Session

from app.domain.amended_verdicts import amended_verdicts
from app.domain.amendments import amended_readings
from app.domain.canonical import moment_text
from app.domain.errors import NotThere
from app.domain.overhaul import Meaning, Overhaul
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.part_verdicts import PartVerdict
from app.domain.verdicts import Verdict
from app.reports.export_schema import FORMAT, VERSION, Schema, export_schema
from app.store.book import Book
from app.store.chain import chain_head
from app.store.export import (
    all_tables,
    columns_of,
    entered_as,
    export_entries,
    export_machines,
    export_overhaul,
    export_overhaul_numbers,
    export_people,
    export_sheets,
    export_site_table,
    fact_tables,
    machine_tables,
    site_tables,
    subjects_of,
)
from app.store.instruments import CALIBRATION, INSTRUMENT, list_instruments
from app.store.machines import get_machine
from app.store.overhaul_reading import read_overhaul
from app.store.overhauls import get_overhaul, list_overhauls
from app.store.photos import get_photo_file
from app.store.rows import table_of
from app.store.sheet_approvals import SheetApprovalRow, source_pictures
from app.store.site_signatures import HEAD, KEY, list_heads

Row = dict[str, Any]
APPROVAL = table_of(SheetApprovalRow)
SEAL_VERDICTS = (Meaning.DECIDED, Meaning.FROM_PAPER)


@dataclass(frozen=True)
class Wanted:
    """What is exported: the whole book, or a machine by its tag, or one record of it by its primary key."""

    tag: str = ""
    overhaul_id: int | None = None

    @property
    def scope(self) -> str:
        """The scope as the export names it."""
        return "record" if self.overhaul_id is not None else "machine" if self.tag else "book"


class Export:
    """An export being read from one moment of the book."""

    def __init__(self, session: Session, wanted: Wanted) -> None:
        self._session = session
        self.wanted = wanted
        self.machines = export_machines(session, wanted.tag)
        if wanted.tag and not self.machines:
            raise NotThere(f"There is no machine {wanted.tag}.")
        numbers = [n for machine in self.machines for n in export_overhaul_numbers(session, machine["id"])]
        self.overhaul_ids = [n for n in numbers if wanted.overhaul_id in (None, n)]
        if wanted.overhaul_id is not None and not self.overhaul_ids:
            raise NotThere(f"{wanted.tag} has no such overhaul.")

    @property
    def name(self) -> str:
        """The name it is filed under, without its ending."""
        if self.wanted.overhaul_id is None:
            return self.wanted.tag or "book"
        return f"{self.wanted.tag}-{self.overhaul(self.wanted.overhaul_id).number}"

    def overhaul(self, overhaul_id: int) -> Overhaul:
        """One overhaul as the trade knows it; those that are at work stay in memory, however many are exported."""
        return read_overhaul(self._session, overhaul_id)

    def photos(self) -> Iterator[tuple[str, bytes]]:
        """Every picture of the export by its digest, withdrawn ones too, one at a time and each once."""
        seen: set[str] = set()
        for photo in (photo for overhaul in self.overhauls() for photo in overhaul.photos):
            if photo.digest not in seen:
                seen.add(photo.digest)
                yield photo.digest, get_photo_file(self._session, photo.digest)
        for digest in source_pictures(self._session, self._sheets):
            if digest not in seen:
                seen.add(digest)
                yield digest, get_photo_file(self._session, digest)

    @property
    def _sheets(self) -> set[int] | None:
        """The revisions that the export is judged by; None stands for all."""
        is_book = self.wanted.scope == "book"
        return None if is_book else {self._sheet_of(number) for number in self.overhaul_ids}

    def overhauls(self) -> Iterator[Overhaul]:
        """Every overhaul of the export, one at a time."""
        return (self.overhaul(number) for number in self.overhaul_ids)

    def head(self, by: str, now: datetime) -> Row:
        """What stands above everything else."""
        seq, digest = chain_head(self._session)
        return {
            "format": FORMAT, "version": VERSION, "scope": self.wanted.scope, "made_at": moment_text(now),
            "made_by": by, "head": {"seq": seq, "digest": digest}, "entered_as": entered_as(),
        }  # fmt: skip

    def lists(self) -> Iterator[tuple[str, Iterator[Row]]]:
        """The lists of the export by name, each read as it is written."""
        is_book, sheets = self.wanted.scope == "book", self._sheets
        yield "people", iter(export_people(self._session) if is_book else ())
        yield "machines", iter(self.machines)
        yield "overhauls", (self._judged(number) for number in self.overhaul_ids)
        yield "sheets", export_sheets(self._session, sheets)
        named = list(export_sheets(self._session, sheets)) if sheets is not None else []
        gauged_with = {} if is_book else self._gauged_with()
        subjects = None if is_book else subjects_of(self.machines, self.overhaul_ids, named, gauged_with.values())
        yield "entries", export_entries(self._session, subjects)
        # Whatever was signed is checked by the keys, and an instrument is worth what its certificates say.
        belongs: dict[Table, Callable[[Row], bool]] = {
            KEY: lambda _: True,
            APPROVAL: lambda row: row["sheet_revision_id"] in (sheets or ()),
            INSTRUMENT: lambda row: row["id"] in gauged_with,
            CALIBRATION: lambda row: row["instrument_id"] in gauged_with,
        }
        for name, table in site_tables().items():
            rows = export_site_table(self._session, table) if is_book or table in belongs else []
            yield name, iter([row for row in rows if is_book or belongs[table](row)])
        yield "signed_heads", iter(list_heads(self._session) if is_book else ())

    def _gauged_with(self) -> dict[int, str]:
        """The instruments of the register that stand beside a reading of the export, or of what amends one."""
        used = {
            each.instrument
            for found in self.overhauls()
            for each in (*found.readings, *found.looks, *amended_readings(found.amendments).values())
        }
        return {each.id: each.name for each in list_instruments(self._session) if each.name in used}

    def _judged(self, overhaul_id: int) -> Row:
        """An overhaul's rows with its verdicts: as they were signed, or as they follow while nobody has signed them."""
        row, overhaul = export_overhaul(self._session, overhaul_id), self.overhaul(overhaul_id)
        signed = [each["content"] for each in row["signature"] if each["meaning"] in SEAL_VERDICTS]
        if signed:
            verdicts = [signed_verdict_row(overhaul, verdict) for verdict in json.loads(signed[-1])["verdicts"]]
        else:
            verdicts = [verdict_row(verdict) for verdict in judge_overhaul(overhaul)]
        again = amended_verdicts(overhaul)
        for each in verdicts:
            each["by_amended_values"] = "; ".join(one.words for one in again if one.part.ref == each["part"])
        return {**row, "verdicts": verdicts}

    def _sheet_of(self, overhaul_id: int) -> int:
        """The revision an overhaul is judged by."""
        number: int = export_overhaul(self._session, overhaul_id)["sheet_revision_id"]
        return number


@contextmanager
def exporting(book: Book, wanted: Wanted) -> Iterator[Export]:
    """Open an export on one moment of the book."""
    with book.reading() as session:
        yield Export(session, wanted)


def wanted_record(book: Book, overhaul_id: int) -> Wanted:
    """Name an overhaul as what is wanted."""
    with book.reading() as session:
        return Wanted(get_overhaul(session, overhaul_id).machine.tag, overhaul_id)


def wanted_overhaul(book: Book, tag: str, number: int) -> Wanted:
    """Name an overhaul by its machine and number."""
    with book.reading() as session:
        found = (each.id for each in list_overhauls(session, get_machine(session, tag).id) if each.number == number)
        overhaul_id = next(found, None)
    if overhaul_id is None:
        raise NotThere(f"{tag} has no overhaul {number}.")
    return Wanted(tag, overhaul_id)


def verdict_row(verdict: PartVerdict) -> Row:
    """A verdict in words."""
    return {
        "item": verdict.part.item,
        "part": verdict.part.ref,
        "name": verdict.part.name,
        "verdict": verdict.verdict.word,
        "first_verdict": verdict.machine.word,
        "renews": verdict.renews,
        "set_reason": verdict.set_reason,
        "reasons": [{"verdict": j.verdict.word, "reason": j.reason, "source": j.source} for j in verdict.reasons],
    }


def signed_verdict_row(overhaul: Overhaul, sealed: Row) -> Row:
    """A verdict in words, as it was signed; rules that came later do not reach back."""
    part = overhaul.sheet.part(sealed["part"])
    reasons = [{**reason, "verdict": Verdict(reason["verdict"]).word} for reason in sealed["reasons"]]
    return {
        **{name: sealed[name] for name in ("item", "part", "verdict", "first_verdict", "renews")},
        "name": part.name if part else sealed["part"],
        "set_reason": sealed["set"],
        "reasons": [{name: reason[name] for name in ("verdict", "reason", "source")} for reason in reasons],
    }


def published_schema() -> Schema:
    """The JSON Schema of an export, as this version of the book writes it."""
    tables = {name: columns_of(table) for name, table in {**all_tables(), HEAD.name: HEAD}.items()}
    return export_schema(tables, list(fact_tables()), list(machine_tables()), list(site_tables()))
