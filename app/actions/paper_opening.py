"""One opening from old paper while its rows are read: what counts, what was set aside, and the verdicts in the end."""

from dataclasses import dataclass, field, replace
from datetime import date, datetime
from decimal import Decimal

from app.actions.paper_entries import SheetNames, hours_from, measured_at, plain, typed_from
from app.actions.reading_file import Row
from app.domain.entries import read_entry
from app.domain.errors import InputRefused
from app.domain.limits import LimitSheet, Part, PartKind
from app.domain.overhaul import Machine, Overhaul, Scope
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.part_verdicts import PartVerdict, judge_as_fitted
from app.domain.readings import Occasion, Place, Reading
from app.domain.verdicts import Judged, Verdict
from app.reports.verdict_rows import RejudgedOpening, SetAside

PERSON = "old paper"  # stands for who entered a reading, which old paper does not tell
NO_MACHINE = Machine(id=0, tag="", serial="", name="", site="", sheet_name="")
SUPERSEDED = "superseded"


@dataclass
class PaperOpening:
    """An opening at hand."""

    sheet: LimitSheet
    names: SheetNames
    name: str
    machine: str
    first_line: int
    last_line: int = 0
    hours: Decimal | None = None
    hours_line: int = 0
    day: date | None = None
    readings: dict[tuple[Occasion, Place], Reading] = field(default_factory=dict)
    superseded: list[SetAside] = field(default_factory=list)
    opened: dict[str, Part] = field(default_factory=dict)  # the parts that any row is about, refused ones too
    refused_lines: dict[str, tuple[int, ...]] = field(default_factory=dict)

    def is_named(self, name: str, machine: str) -> bool:
        """Whether a row is of this opening; the machine need not be repeated."""
        return plain(name) == plain(self.name) and plain(machine) in ("", plain(self.machine))

    def take(self, row: Row, now: datetime) -> None:
        """Take one row; InputRefused names every column that is not as it should be."""
        self.last_line = row.line
        part = None
        try:
            part, place = self.names.place(*(row.cells[c] for c in ("part", "characteristic", "level", "axis")))
            self._take_at(row, part, place, now)
        except InputRefused:
            part = part or self._part_of(row)
            ref = part.ref if part else ""
            self.refused_lines[ref] = (*self.refused_lines.get(ref, ()), row.line)
            raise
        finally:
            if part:
                self.opened[part.ref] = part

    def _part_of(self, row: Row) -> Part | None:
        """Find the part that a refused row is about, where that much can be read."""
        try:
            return self.names.part(row.cells["part"])
        except InputRefused:
            return None

    def _take_at(self, row: Row, part: Part, place: Place, now: datetime) -> None:
        """Read a row for its place, as the entry form would."""
        self._take_head(row, now)
        reading = read_entry(self._overhaul(part), typed_from(row, part, place, now), PERSON, now)
        before = self.readings.pop((reading.occasion, place), None)
        if before:
            self.superseded.append(self._set_aside(row, before))
        self.readings[reading.occasion, place] = reading

    def _take_head(self, row: Row, now: datetime) -> None:
        """Read what is the same for the whole opening; it need stand in one row only, and may not change."""
        written = row.cells["hours"]
        hours = hours_from(written) if written else None
        if hours is None and self.hours is None:
            raise InputRefused({"hours": "Give the operating hours at this opening, such as 10300."})
        if hours is not None and self.hours is not None and hours != self.hours:
            raise InputRefused({"hours": f"Line {self.hours_line} gives {self.hours} h for this opening. Which is right?"})
        if self.hours is None:
            self.hours, self.hours_line = hours, row.line
        if row.cells["date"]:
            self.day = self.day or measured_at(row.cells["date"], now).date()

    def _set_aside(self, row: Row, before: Reading) -> SetAside:
        """Say that a later row stands instead of an earlier one."""
        words = f"Line {row.line} is for the same place and stands instead."
        return SetAside(
            int(before.id), SUPERSEDED, self.name, before.place.part, before.place.characteristic, "", before.written, words
        )

    def _overhaul(self, *only: Part) -> Overhaul:
        """Give the opening as an overhaul, for the judging of all its parts or the reading of an entry for one."""
        scope = self.scope
        ...
