"""One opening from old paper while its rows are read: what counts, what was set aside, and the verdicts in the end."""

from dataclasses import dataclass, field
from datetime import UTC, date, datetime
from decimal import Decimal

from app.actions.paper_entries import SheetNames, hours_from, measured_at, plain, typed_from
from app.actions.reading_file import Row
from app.domain.entries import read_entry
from app.domain.errors import InputRefused
from app.domain.limits import LimitSheet, Part, PartKind
from app.domain.overhaul import Machine, Overhaul, Scope
from app.domain.overhaul_verdicts import judge_overhaul, renewed_object
from app.domain.part_verdicts import judge_as_fitted
from app.domain.readings import Occasion, Place, Reading
from app.reports.verdict_rows import RejudgedOpening, SetAside

PERSON = "old paper"  # stands for who entered a reading, which old paper does not tell
MOST_LINES = 100  # named beside a part; the table of refused rows names them all
SUPERSEDED = "superseded"


@dataclass
class PaperOpening:
    """An opening at hand. What it holds is bounded by the places of the sheet, however many rows it has."""

    sheet: LimitSheet
    names: SheetNames
    name: str
    machine: str
    first_line: int
    last_line: int = 0
    hours: Decimal | None = None
    hours_written: str = ""
    hours_line: int = 0
    day: date | None = None
    reading_count: int = 0
    readings: dict[tuple[Occasion, Place], Reading] = field(default_factory=dict)
    opened: dict[str, Part] = field(default_factory=dict)  # the parts that any row is about, refused ones too
    refused_lines: dict[str, list[int]] = field(default_factory=dict)  # by part, "" where that cannot be read
    superseded_lines: dict[str, list[int]] = field(default_factory=dict)
    is_first_kept: bool = False  # a second row for a place is refused, where nobody can say which one is right

    def __post_init__(self) -> None:
        everything = Scope(tuple(stage.number for stage in self.sheet.stages), True)
        self.whole = self._overhaul(everything, ())  # what a row may be about, before the scope is known

    def is_named(self, name: str, machine: str) -> bool:
        """Whether a row is of this opening; the machine need not be repeated."""
        if (name, machine) == (self.name, self.machine):
            return True
        return plain(name) == plain(self.name) and plain(machine) in ("", plain(self.machine))

    def take(self, row: Row, now: datetime) -> SetAside | None:
        """Take one row and give what it supersedes; InputRefused names every column that is not as it should be."""
        self.last_line = row.line
        part, place = self.names.place(*(row.cells[c] for c in ("part", "characteristic", "level", "axis")))
        self.take_head(row, now)
        reading = read_entry(self.whole, typed_from(row, part, place, now), PERSON, now)
        self._require_free(reading)
        self.opened[part.ref] = part
        self.reading_count += 1
        before = self.readings.pop((reading.occasion, place), None)
        self.readings[reading.occasion, place] = reading
        return self._supersede(before, row) if before else None

    def take_head(self, row: Row, now: datetime) -> None:
        """Read what is the same for the whole opening; it need stand in one row only, and may not change."""
        written = row.cells["hours"]
        hours = hours_from(written) if written not in ("", self.hours_written) else self.hours
        if hours is None:
            raise InputRefused({"hours": "Give the operating hours at this opening, such as 10300."})
        if self.hours not in (None, hours):
            raise InputRefused({"hours": f"Line {self.hours_line} gives {self.hours} h. Which is right?"})
        if self.hours is None:
            self.hours, self.hours_written, self.hours_line = hours, written, row.line
        if row.cells["date"] and self.day is None:
            self.day = measured_at(row.cells["date"], now).date()

    def _require_free(self, reading: Reading) -> None:
        """Refuse a second row for a place, unless the later one stands instead."""
        before = self.readings.get((reading.occasion, reading.place)) if self.is_first_kept else None
        if before is not None:
            same = ", with the same words" if before.written == reading.written else f": {before.written}"
            raise InputRefused({"part": f"Line {before.id} is for the same place already{same}."})

    def _supersede(self, before: Reading, row: Row) -> SetAside:
        """Say that a later row stands instead of an earlier one."""
        line, place = int(before.id), before.place
        _note(self.superseded_lines, place.part, line)
        words = f"Line {row.line} is for the same place and stands instead."
        return SetAside(line, SUPERSEDED, self.name, place.part, place.characteristic, "", before.written, words)

    def note_refused(self, row: Row) -> None:
        """Remember that a row of this opening was refused, beside its part where that can be read."""
        self.last_line = row.line
        part = self.names.part_or_none(row.cells["part"])
        if part:
            self.opened[part.ref] = part
        _note(self.refused_lines, part.ref if part else "", row.line)

    @property
    def scope(self) -> Scope:
        """What the opening covered, told from the parts its rows are about."""
        stages = {part.stage for part in self.opened.values()}
        has_rings = any(part.kind is not PartKind.VALVE for part in self.opened.values())
        return Scope(tuple(sorted(stages)), has_rings)

    @property
    def overhaul(self) -> Overhaul:
        """The opening as an overhaul, with the readings that count."""
        return self._overhaul(self.scope, tuple(self.readings.values()))

    def _overhaul(self, scope: Scope, readings: tuple[Reading, ...]) -> Overhaul:
        """Give the opening as an overhaul."""
        machine = Machine(0, self.machine, "", "", "", self.sheet.name)
        opened_at = datetime.min.replace(tzinfo=UTC)  # no verdict as found or as fitted depends on it
        return Overhaul(0, 0, machine, self.sheet, scope, self.hours or Decimal(0), opened_at, PERSON, readings)

    def judged(self) -> RejudgedOpening:
        """Judge the opening."""
        overhaul = self.overhaul
        verdicts = judge_overhaul(overhaul)
        fitted = {place.part for occasion, place in self.readings if occasion is Occasion.AS_FITTED}
        return RejudgedOpening(
            name=self.name,
            machine=self.machine,
            hours=self.hours,
            day=self.day,
            scope=self.scope.words if self.opened else "",
            first_line=self.first_line,
            last_line=self.last_line,
            reading_count=self.reading_count,
            verdicts=verdicts,
            as_fitted={
                verdict.part.ref: judge_as_fitted(overhaul, verdict.part, renewed_object(verdict))
                for verdict in verdicts
                if verdict.part.ref in fitted
            },
            refused_lines=self.refused_lines,
            superseded_lines=self.superseded_lines,
        )


def _note(lines: dict[str, list[int]], ref: str, line: int) -> None:
    """Put a line down beside a part, as long as the list stays readable."""
    noted = lines.setdefault(ref, [])
    if len(noted) < MOST_LINES:
        noted.append(line)
