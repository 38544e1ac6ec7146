"""A book of any size, written by bulk SQL: each machine has forty overhauls of one real pattern, 250 readings each.

Its rows are what the program itself would have written for them. Without a chain it holds the entries of people, sheets
and machines alone, since no page that is measured on it reads more of the chain than its head; with one, it holds.
"""

import os
import sqlite3
import tempfile
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

from app.domain.canonical import canonical, digest, moment_text
from app.domain.overhaul import LIVE_MEANINGS, MeterReading
from app.domain.people import Role
from app.domain.readings import Occasion
from app.settings import Settings
from app.store.book import Book
from app.store.machines import save_machine, save_meter_reading
from app.store.migration import newest_revision, upgrade
from app.store.overhauls import get_overhaul
from tests.benchmarks.figures import say
from tests.builders import a_book, a_machine, a_person, a_sheet, an_overhaul, enter, good_readings, sign_all

OVERHAULS, READINGS = 40, 250
OPENED_EVERY = timedelta(days=180)
BEGUN = datetime(2006, 1, 10, 8, tzinfo=UTC)
HOURS_BETWEEN = 2000
KEPT_IN = Path(os.environ.get("WEARBOOK_BENCHMARK_BOOKS", Path(tempfile.gettempdir()) / "wearbook-benchmark-books"))
SAID_EVERY = 25
SIGNED = '{"verdicts":[]}'  # of what was signed nothing but the digest is read on any page
# Each table with what its entries say, of a second look the latter.
TABLES = {
    "overhaul": ("overhaul opened",) * 2,
    "meter_reading": ("hours recorded",) * 2,
    "reading": ("reading entered", "second look entered"),
    "signature": ("signed",) * 2,
}
KEYS = {"reading": "seq"}
MOMENTS = ("at", "read_at", "opened_at", "measured_at", "stored_at")
Row = tuple[object, ...]


def a_big_book(machines: int, *, has_chain: bool = False) -> Settings:
    """Give the settings of a book of so many machines; it is written where it is not there yet, and kept."""
    folder = KEPT_IN / f"{machines}-machines{'-with-chain' if has_chain else ''}"
    settings = Settings(data_folder=folder, backup_hours=0, safe_again_hours=0)
    done = folder / "whole"
    if not done.exists():
        say(f"writing a book of {machines} machines, a second or two for each; it is kept in {folder}")
        settings.book_path.unlink(missing_ok=True)
        _write(settings, machines, has_chain=has_chain)
        done.touch()
    with closing(Book(settings.book_path)) as book:
        if book.revision() != newest_revision():  # one that was kept from an earlier version
            with book.writer.begin() as connection:
                upgrade(connection)
    return settings


def _write(settings: Settings, machines: int, *, has_chain: bool) -> None:
    """Begin with one real machine, then add the others after its pattern."""
    book = a_book(settings.data_folder)
    a_person(book, "M. Tarrow", Role.FITTER)
    a_person(book, "I. Brandreth", Role.CHIEF)
    _one_real_overhaul(book)
    _further_machines(book, machines)
    book.close()
    with closing(sqlite3.connect(settings.book_path, isolation_level=None)) as connection:
        for pragma in ("journal_mode = OFF", "synchronous = OFF", "cache_size = -1000000"):
            connection.execute(f"PRAGMA {pragma}")
        patterns = {name: _pattern(connection, name) for name in TABLES}
        chain = Chain(connection) if has_chain else None
        for machine in range(1, machines + 1):
            connection.execute("BEGIN")
            for number in range(1 + (machine == 1), OVERHAULS + 1):
                _add_overhaul(connection, patterns, machine, number, chain)
            connection.execute("COMMIT")
            if machine % SAID_EVERY == 0:
                say(f"{machine} of {machines} machines")
        connection.execute("PRAGMA journal_mode = WAL")


def _one_real_overhaul(book: Book) -> None:
    """One machine with one overhaul, gauged as found and as fitted until it has its readings, and signed by all."""
    machine, sheet = a_machine(book, "M-0001", "2000", BEGUN), a_sheet(book)
    overhaul_id = an_overhaul(book, machine, "2000", BEGUN, sheet)
    with book.reading() as session:
        parts = get_overhaul(session, overhaul_id).parts
    found = good_readings(parts, Occasion.AS_FOUND, BEGUN)
    fitted = good_readings(parts, Occasion.AS_FITTED, BEGUN)
    looks = [replace(each, id=f"look-{each.id}", measured_by="R. Osk", is_second_look=True) for each in found]
    enter(book, overhaul_id, *(found + fitted + looks)[:READINGS])
    sign_all(book, overhaul_id, BEGUN, LIVE_MEANINGS)


def _further_machines(book: Book, machines: int) -> None:
    """Add machines, each with its hours."""
    with book.writing("I. Brandreth", BEGUN) as writing:
        for number in range(2, machines + 1):
            machine = save_machine(writing, f"M-{number:04}", f"S-{number}", "Governor air", "Quillmoor", "QM-GA")
            save_meter_reading(writing, machine, MeterReading(Decimal(2000), BEGUN, "I. Brandreth"))


def _pattern(connection: sqlite3.Connection, name: str) -> list[dict[str, object]]:
    """The rows of a table that the one real overhaul has, by column."""
    columns = [row[1] for row in connection.execute(f"PRAGMA table_info({name})")]
    where = "id = 1" if name in ("overhaul", "meter_reading") else "overhaul_id = 1"
    rows = connection.execute(f"SELECT * FROM {name} WHERE {where} ORDER BY rowid").fetchall()
    return [dict(zip(columns, row, strict=True)) for row in rows]


def _add_overhaul(
    connection: sqlite3.Connection, patterns: dict[str, list[dict[str, object]]], machine: int, number: int,
    chain: "Chain | None",
) -> None:  # fmt: skip
    """Add one overhaul after the pattern, with the hours that were read on its day."""
    overhaul_id = (machine - 1) * OVERHAULS + number
    at = BEGUN + (number - 1) * OPENED_EVERY
    common = dict.fromkeys(MOMENTS, f"{at:%Y-%m-%d %H:%M:%S.%f}")
    common |= {"hours": str(2000 + (number - 1) * HOURS_BETWEEN), "machine_id": machine, "overhaul_id": overhaul_id}
    common |= {"content": SIGNED, "digest": digest(SIGNED), "request_id": f"big-{overhaul_id}"}
    for name, whats in TABLES.items():
        rows = []
        for place, row in enumerate(patterns[name]):
            own = {
                "overhaul": {"id": overhaul_id, "number": number},
                "reading": {"id": f"r-{overhaul_id:06}-{place:03}"},
            }
            new = row | {column: value for column, value in common.items() if column in row}
            new |= {KEYS.get(name, "id"): None} | own.get(name, {})
            rows.append(tuple(new.values()))
            if chain is not None:
                what = whats[bool(new.get("is_second_look"))]
                chain.enter(what, f"overhaul {overhaul_id}" if name != "meter_reading" else f"machine {machine}", new)
        connection.executemany(f"INSERT INTO {name} VALUES ({', '.join('?' * len(rows[0]))})", rows)
    if chain is not None:
        chain.keep()


class Chain:
    """Appends entries as the program does, each with a digest over itself and the one before."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._seq, self._previous = connection.execute("SELECT max(seq), digest FROM entry").fetchone()
        self._waiting: list[Row] = []

    def enter(self, what: str, subject: str, row: dict[str, object]) -> None:
        """Append that a row was added."""
        told = {name: self._told(name, value) for name, value in row.items() if name not in ("seq", "content")}
        told = {name: value for name, value in told.items() if name != "id" or value is not None}
        self._seq += 1
        entry = {
            "seq": self._seq, "at": moment_text(BEGUN), "person": "M. Tarrow", "what": what, "subject": subject,
            "old": "null", "new": canonical(told), "why": "", "previous": self._previous,
        }  # fmt: skip
        self._previous = digest(canonical(entry))
        self._waiting.append((*entry.values(), self._previous))

    def keep(self) -> None:
        """Write what was appended."""
        self._connection.executemany(f"INSERT INTO entry VALUES ({', '.join('?' * 10)})", self._waiting)
        self._waiting = []

    @staticmethod
    def _told(name: str, value: object) -> object:
        """A column as an entry tells it: moments with their zone, and yes or no."""
        if name in MOMENTS and isinstance(value, str):
            return f"{value.replace(' ', 'T')}+00:00"
        return bool(value) if name in ("has_rings", "is_second_look", "is_new_meter") else value
