"""Records of other books: bundles verified and kept as they came, never mixed with what is entered here."""

import io
import json
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from app.actions.known_sites import key_in, key_of
from app.domain.canonical import canonical, digest
from app.domain.errors import InputRefused, NotThere, WearbookError
from app.domain.people import Person, Right
from app.domain.site_seal import fingerprint
from app.reports.verifier import EXPORT, faults_of
from app.store.book import Book
from app.store.chain import find_entry
from app.store.foreign import (
    ForeignBundle,
    ForeignRecord,
    get_bundle,
    get_bundle_file,
    is_bundle_here,
    list_bundles,
    list_foreign_records,
    save_bundle,
)
from app.store.rebuilt import NotRebuilt, rebuild

MOST_BYTES = 512 * 1024 * 1024
MOST_UNPACKED_BYTES = 4 * MOST_BYTES
MOST_NAMED, MOST_KEYS = 5, 256
Json = dict[str, Any]


class Conflict(InputRefused):
    """What comes says something else of a record than what is held, and is no later state of it."""


@dataclass(frozen=True)
class Brought:
    """What became of a bundle: its number where it was kept, and its records that are new, later, or held already."""

    number: int | None
    key: str = ""  # the fingerprint of the key that signed it
    new: tuple[ForeignRecord, ...] = ()
    later: tuple[ForeignRecord, ...] = ()
    held: tuple[ForeignRecord, ...] = ()

    @property
    def words(self) -> str:
        """Say it in a sentence."""
        if self.number is None:
            return "Nothing was kept: every record in it is here already, to the letter."
        counts = [(len(self.new), "new"), (len(self.later), "a later state"), (len(self.held), "held already")]
        return f"Kept as bundle {self.number}: {', '.join(f'{n} {word}' for n, word in counts if n)}."


def bring_in(book: Book, by: Person, content: bytes, now: datetime) -> Brought:
    """Verify a bundle and keep it with the records that are new here; one that contradicts what is held is refused."""
    by.must(Right.BRING_IN)
    export = _verified(content)
    records = _records(export)
    with book.reading() as session:
        _must_be_foreign(export, find_entry(session, export["entries"][-1]["seq"]))
        known = list_foreign_records(session)
        is_here = is_bundle_here(session, sha256(content).hexdigest())
    brought = replace(_sorted_out(book, export, records, known), key=key_of(export))
    if is_here or not (brought.new or brought.later):
        return replace(brought, number=None)
    with book.writing(by.name, now) as writing:
        told: dict[str, object] = {
            "key": brought.key,
            "keys": [fingerprint(key["public_key"]) for key in export["site_key"]],
        }
        number = save_bundle(writing, content, _about(export), [*brought.new, *brought.later], told)
    return replace(brought, number=number)


def bundles(book: Book) -> list[tuple[ForeignBundle, list[ForeignRecord]]]:
    """Every bundle brought in, the newest first, with the records that came with it first."""
    with book.reading() as session:
        records = list_foreign_records(session)
        return [(each, [r for r in records if r.bundle_id == each.id]) for each in list_bundles(session)]


def keys_of_bundles(book: Book) -> dict[int, str]:
    """By bundle, the fingerprint of the key that signed it, as its own bytes say; nothing where it cannot be read."""
    with book.reading() as session:
        return {each.id: key_of_bundle(book, each.id, each.digest) for each in list_bundles(session)}


@lru_cache(maxsize=MOST_KEYS)
def key_of_bundle(book: Book, number: int, _digest: str) -> str:
    """Look once which key signed a bundle."""
    try:
        return key_in(export_in(bundle_file(book, number)[1]))
    except (NotThere, ValueError):
        return ""


def bundle_named(book: Book, number: int) -> ForeignBundle:
    """A bundle by its number."""
    with book.reading() as session:
        return get_bundle(session, number)


def bundle_file(book: Book, number: int) -> tuple[ForeignBundle, bytes]:
    """A bundle with its bytes as they came."""
    with book.reading() as session:
        found = get_bundle(session, number)
        return found, get_bundle_file(session, found.digest)


def export_in(content: bytes) -> bytes:
    """The JSON of a bundle, to the letter."""
    with _opened(content) as packed:
        return packed.read(EXPORT)


def rebuilt(content: bytes, folder: Path) -> Book:
    """Make a book to be read out of a bundle."""
    with _opened(content) as packed:
        return rebuild(json.loads(packed.read(EXPORT)), lambda name: packed.read(f"photos/{name}.jpg"), folder)


@contextmanager
def _opened(content: bytes) -> Iterator[zipfile.ZipFile]:
    """Open a bundle; one that cannot be read any more is refused in words, and named by the book's own verification."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            yield packed
    except (zipfile.BadZipFile, KeyError, zlib.error) as reason:
        raise NotThere(f"This bundle cannot be read ({reason}). Verify the book.") from reason


def _verified(content: bytes) -> Json:
    """Verify a bundle as the verifier in it does, and that it can be read back; give its export."""
    if len(content) > MOST_BYTES:
        raise _refused(
            f"A bundle of more than {MOST_BYTES // 1024 // 1024} MB is not taken. Export machine by machine."
        )
    _must_be_bounded(content)
    with TemporaryDirectory() as folder:
        path = Path(folder) / "bundle.zip"
        path.write_bytes(content)
        try:
            faults = faults_of(path)
        except (ValueError, OSError, zipfile.BadZipFile) as reason:
            raise _refused(f"This is no bundle: {reason}") from None
        if faults:
            more = f" And {len(faults) - MOST_NAMED} more." if len(faults) > MOST_NAMED else ""
            raise _refused(f"The bundle is not as it was exported. {' '.join(faults[:MOST_NAMED])}{more}")
        try:
            rebuilt(content, Path(folder) / "rebuilt").close()
        except (NotRebuilt, WearbookError) as reason:
            raise _refused(str(reason)) from None
    export: Json = json.loads(export_in(content))
    if not export["overhauls"]:
        raise _refused("There is no record in this bundle.")
    return export


def _must_be_bounded(content: bytes) -> None:
    """Refuse what unpacks to more than any book, before it is unpacked."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            size = sum(each.file_size for each in packed.infolist())
    except (ValueError, zipfile.BadZipFile) as reason:
        raise _refused(f"This is no bundle: {reason}") from None
    if size > MOST_UNPACKED_BYTES:
        raise _refused("This bundle unpacks to more than a book holds. Export machine by machine.")


def _must_be_foreign(export: Json, own: Any) -> None:
    """Refuse what was exported from this very book."""
    if own is not None and own.digest == export["entries"][-1]["digest"]:
        raise _refused("This bundle was exported from this very book. Its records are here as they were entered.")


def _records(export: Json) -> list[ForeignRecord]:
    """Every record of an export, with the digest over its machine, its sheet and all that was entered in it."""
    found = []
    for overhaul in export["overhauls"]:
        whole = _whole(export, overhaul)
        machine = whole["machine"]
        where = machine["site"], machine["tag"], overhaul["number"], overhaul["id"]
        found.append(ForeignRecord(*where, digest(canonical(whole))))
    return found


def _whole(export: Json, overhaul: Json) -> Json:
    """What belongs to one record and is the same whichever export it stands in."""
    machine = next(each for each in export["machines"] if each["id"] == overhaul["machine_id"])
    sheet = next(each for each in export["sheets"] if each["id"] == overhaul["sheet_revision_id"])
    own = {name: value for name, value in machine.items() if not isinstance(value, list)}
    return {"machine": own, "sheet": sheet, "overhaul": overhaul}


def _sorted_out(book: Book, export: Json, records: list[ForeignRecord], known: list[ForeignRecord]) -> Brought:
    """Tell new records, later states and those held already apart; refuse what contradicts one that is held."""
    new, later, held, against = [], [], [], []
    for record in records:
        states = [each for each in known if (each.site, each.tag, each.number) == _place(record)]
        if not states:
            new.append(record)
        elif record.digest in [each.digest for each in states] or _is_state(book, states[-1], export, record):
            held.append(record)
        elif _goes_on_from(book, states[-1], export, record):
            later.append(record)
        else:
            against.append(
                f"{record.site}, {record.tag}, overhaul {record.number}, held since bundle {states[-1].bundle_id}"
            )
    if against:
        raise Conflict(
            {"file": f"Nothing was kept. The bundle contradicts what is held of: {'; '.join(against)}. "
                     "Ask the other site which is right; what is held stays as it came."}
        )  # fmt: skip
    return Brought(0, "", tuple(new), tuple(later), tuple(held))


def _place(record: ForeignRecord) -> tuple[str, str, int]:
    """Where a record belongs."""
    return record.site, record.tag, record.number


def _is_state(book: Book, before: ForeignRecord, export: Json, now: ForeignRecord) -> bool:
    """Whether the very same was entered, though another version of the program has written it in another form."""
    return _entered_before(book, before) == _entered(export, now.overhaul_id)


def _goes_on_from(book: Book, before: ForeignRecord, export: Json, now: ForeignRecord) -> bool:
    """Whether everything that was entered in the state that is held was entered in this one too, and more."""
    return _entered_before(book, before) < _entered(export, now.overhaul_id)


def _entered_before(book: Book, before: ForeignRecord) -> set[str]:
    """The digests of the entries on an overhaul in the state that is held."""
    return _entered(json.loads(export_in(bundle_file(book, before.bundle_id)[1])), before.overhaul_id)


def _entered(export: Json, overhaul_id: int) -> set[str]:
    """The digests of the entries on an overhaul."""
    return {each["digest"] for each in export["entries"] if each["subject"] == f"overhaul {overhaul_id}"}


def _about(export: Json) -> dict[str, object]:
    """What a bundle says of itself."""
    sites = sorted({machine["site"] for machine in export["machines"]})
    head = {"head_seq": export["head"]["seq"], "head_digest": export["head"]["digest"]}
    said = {"scope": export["scope"], "made_at": export["made_at"], "made_by": export["made_by"]}
    return {"site": ", ".join(sites), **said, **head}


def _refused(words: str) -> InputRefused:
    """Refuse a bundle."""
    return InputRefused({"file": words})
