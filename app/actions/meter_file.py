"""Meter readings of many machines from a table (CSV): kept whole, or not at all with every line that is in doubt."""

import csv
from bisect import insort
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, tzinfo
from operator import attrgetter

from app.actions.meter import hours_typed, keep_hours, moment_typed
from app.actions.reading_file import FileRefused, decoded
from app.domain.errors import WearbookError
from app.domain.meter import is_sent_again, question_about, reading_of
from app.domain.overhaul import Machine, MeterReading
from app.domain.people import Person, Right
from app.store.book import Book, Writing
from app.store.machines import list_machines, list_meter_readings

COLUMNS = ("machine", "date", "time", "hours")
NEEDED = ("machine", "date", "hours")
MOST_ROWS = 5_000
MOST_FAULTS = 100
SOURCE = "CSV"


class MeterFileRefused(WearbookError):
    """Nothing of the file was kept; `faults` names what is wrong, by line."""

    def __init__(self, faults: list[str]) -> None:
        more = len(faults) - MOST_FAULTS
        shown = [*faults[:MOST_FAULTS], f"and {more} more"] if more > 0 else faults
        super().__init__("\n".join(shown))
        self.faults = shown


@dataclass(frozen=True)
class Taken:
    """How many readings of a file were kept, and how many the book had already."""

    kept: int
    known: int


@dataclass(frozen=True)
class MeterRow:
    """One row: its line, and the text of each column."""

    line: int
    cells: dict[str, str]


def read_text(content: bytes) -> str:
    """Read the bytes of a file as text."""
    try:
        return decoded(content)
    except FileRefused as refusal:
        raise MeterFileRefused([str(refusal)]) from None


def take_file(book: Book, by: Person, text: str, zone: tzinfo, now: datetime) -> Taken:
    """Keep every reading of a table, or refuse it whole with each line that is wrong or must be asked about."""
    by.must(Right.RECORD_HOURS)
    rows = list(_rows(text.removeprefix("\ufeff")))
    with book.writing(by.name, now) as writing:
        return _FileBeingTaken(writing, zone).take(rows)


class _FileBeingTaken:
    """A file on its way into the book: the meters met so far, and what is wrong with it."""

    def __init__(self, writing: Writing, zone: tzinfo) -> None:
        self.writing = writing
        self.zone = zone
        self.machines = {machine.tag: machine for machine in list_machines(writing.session)}
        self.meters: dict[str, list[MeterReading]] = {}
        self.seen: dict[tuple[str, datetime], int] = {}
        self.faults: list[tuple[int, str]] = []
        self.known = 0

    def take(self, rows: list[MeterRow]) -> Taken:
        """Keep all rows, or raise with everything that is wrong."""
        typed = [found for row in rows if (found := self._typed(row))]
        kept = [
            self._keep(row, machine, reading)
            for row, machine, reading in sorted(typed, key=lambda each: each[2].read_at)
        ]
        if self.faults:
            raise MeterFileRefused([f"Line {line}: {words}" for line, words in sorted(self.faults)])
        return Taken(sum(kept), self.known)

    def _typed(self, row: MeterRow) -> tuple[MeterRow, Machine, MeterReading] | None:
        """Read one row as typed."""
        refused: dict[str, str] = {}
        cells, machine = row.cells, self.machines.get(row.cells["machine"])
        if machine is None:
            refused["machine"] = f"No machine “{cells['machine'][:40]}” is in the book."
        shown = hours_typed(cells["hours"], refused)
        read_at = self._moment(cells, refused)
        self.faults += [(row.line, f"{name}: {words}") for name, words in refused.items()]
        if machine is None or refused:
            return None
        first = self.seen.setdefault((machine.tag, read_at), row.line)
        if first != row.line:
            self.faults.append((row.line, f"the same machine at the same time as line {first}."))
            return None
        return row, machine, MeterReading(shown, read_at, self.writing.person)

    def _moment(self, cells: dict[str, str], refused: dict[str, str]) -> datetime:
        """Read the moment of a row; without a time it is noon, of today too, so that a file says the same every day."""
        day = _iso(cells["date"])
        if not day:
            refused["day"] = "The day is missing."
        moment = moment_typed(day, cells["time"] or "12:00", self.zone, self.writing.now, refused)
        if "day" in refused:
            refused["date"] = refused.pop("day")
        return moment

    def _keep(self, row: MeterRow, machine: Machine, typed: MeterReading) -> bool:
        """Keep one reading beside those of its machine, or note the question about it."""
        if machine.tag not in self.meters:
            self.meters[machine.tag] = list_meter_readings(self.writing.session, machine.id)
        meter = self.meters[machine.tag]
        reading = reading_of(meter, typed.hours, typed.read_at, typed.person)
        if is_sent_again(meter, reading, self.zone):
            self.known += 1
            return False
        question = question_about(meter, reading, self.writing.now.astimezone(self.zone))
        if question:
            self.faults.append((row.line, question.words))
            return False
        reading = MeterReading(reading.hours, reading.read_at, reading.person, reading.shown, source=SOURCE)
        keep_hours(self.writing, machine, reading)
        insort(meter, reading, key=attrgetter("read_at"))
        return True


def _rows(text: str) -> Iterator[MeterRow]:
    """Give the rows below the heading; blank lines are passed over."""
    lines = text.splitlines()
    number, heading = next(((n, line) for n, line in enumerate(lines) if line.strip(" \t,;")), (0, ""))
    separator, columns = _heading(heading)
    reader = csv.reader(lines[number + 1 :], delimiter=separator, strict=True)
    count = 0
    try:
        for cells in reader:
            if not any(cell.strip() for cell in cells):
                continue
            count, line = count + 1, number + 1 + reader.line_num
            if count > MOST_ROWS:
                raise MeterFileRefused([f"More than {MOST_ROWS} rows. Bring the file in in parts."])
            if len(cells) > len(columns) and any(cell.strip() for cell in cells[len(columns) :]):
                hint = " A decimal comma between commas stands in quotation marks." if separator == "," else ""
                raise MeterFileRefused([f"Line {line}: more cells than the heading has.{hint}"])
            yield MeterRow(line, dict.fromkeys(COLUMNS, "") | dict(zip(columns, map(str.strip, cells), strict=False)))
    except csv.Error:
        raise MeterFileRefused([f"Line {number + 1 + reader.line_num}: a quotation mark is not closed."]) from None


def _heading(line: str) -> tuple[str, list[str]]:
    """Find the separator and the columns; other columns than the known ones are left aside."""
    headings = [
        (sign, [cell.strip().lower() for cell in next(csv.reader([line], delimiter=sign), [])]) for sign in ",;\t"
    ]
    separator, names = max(headings, key=lambda heading: len(set(heading[1]) & set(COLUMNS)))
    missing = [name for name in NEEDED if name not in names]
    if missing:
        raise MeterFileRefused(
            [f"The first line names the columns machine, date, hours; missing: {', '.join(missing)}."]
        )
    twice = [name for name in COLUMNS if names.count(name) > 1]
    if twice:
        raise MeterFileRefused([f"The column “{twice[0]}” stands there {names.count(twice[0])} times."])
    return separator, names


def _names(line: str, separator: str) -> list[str]:
    """Take the heading apart; capitals do not count."""
    try:
        return [cell.strip().lower() for cell in next(csv.reader([line], delimiter=separator), [])]
    except csv.Error:
        return []


def _iso(day: str) -> str:
    """Give a day as 2026-11-24; 24.11.2026 is read too, and anything else is given back as it is."""
    parts = day.split(".")
    if len(parts) != 3:
        return day
    try:
        return date(int(parts[2]), int(parts[1]), int(parts[0])).isoformat()
    except ValueError:
        return day
