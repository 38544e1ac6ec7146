"""Overhauls on old paper looked through as a whole before any comes in: what will, and every line that will not."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, date, datetime, time, tzinfo
from decimal import Decimal
from hashlib import sha256

from app.actions.paper_entries import SheetNames, plain
from app.actions.paper_opening import PERSON, PaperOpening
from app.actions.paper_work import Work, work_in
from app.actions.reading_file import FileRefused, ReadingFile, Row
from app.actions.rejudging import FORM_NAMES, LONGEST_NAME
from app.domain.canonical import canonical
from app.domain.errors import InputRefused, SlipAsked
from app.domain.limits import LimitSheet
from app.domain.meter import question_about
from app.domain.overhaul import Machine, MeterReading, Scope
from app.domain.readings import Reading
from app.domain.verdicts import Verdict
from app.store.overhauls import OverhaulSummary

MOST_ROWS = 20_000
MOST_LISTED = 500


@dataclass(frozen=True)
class RefusedLine:
    """A line, or a whole overhaul by its first line, that does not come in."""

    line: int
    overhaul: str
    part: str
    column: str
    found: str
    words: str
    is_slip: bool = False  # the figure can be read, and cannot be


@dataclass(frozen=True)
class Ready:
    """An overhaul that can come in."""

    name: str
    on: date
    hours: Decimal
    scope: Scope
    readings: tuple[Reading, ...]
    works: tuple[tuple[str, Work], ...]  # by part reference
    first_line: int
    last_line: int
    digest: str
    verdicts: tuple[tuple[Verdict, int], ...]
    zone: tzinfo | None = UTC

    @property
    def at(self) -> datetime:
        """The day as a moment: noon at the site; paper tells no time."""
        return _noon(self.on, self.zone)


@dataclass
class Checked:
    """What a file holds."""

    ready: list[Ready] = field(default_factory=list)  # the oldest first
    known: list[str] = field(default_factory=list)  # in the book already, with the very same rows
    lines: list[RefusedLine] = field(default_factory=list)
    refused_count: int = 0  # of lines, more than are listed
    row_count: int = 0

    @property
    def reading_count(self) -> int:
        """How many readings would come in."""
        return sum(len(each.readings) for each in self.ready)

    @property
    def slips(self) -> list[RefusedLine]:
        """The figures that cannot be."""
        return [line for line in self.lines if line.is_slip]


@dataclass(frozen=True)
class Setting:
    """What a file is held against: its machine as the book has it, and the sheet that judges it."""

    machine: Machine
    sheet: LimitSheet
    meter: Sequence[MeterReading]
    overhauls: Sequence[OverhaulSummary]
    known_requests: frozenset[str]


def request_of(digest: str) -> str:
    """Give the mark by which the book knows an overhaul from paper again."""
    return f"paper-{digest[:40]}"


def check_paper(file: ReadingFile, setting: Setting, now: datetime, tell: Callable[[int, int], None]) -> Checked:
    """Look a whole file through; `now` is in the site's time zone, `tell` hears how many lines are done of how many."""
    checking = _Checking(setting, now)
    for row in file.rows():
        tell(row.line, file.line_count)
        checking.take(row)
    return checking.close()


@dataclass
class _OnPaper:
    """One overhaul while its rows are read."""

    opening: PaperOpening
    works: dict[str, Work] = field(default_factory=dict)
    digest: str = ""

    def take(self, row: Row, now: datetime) -> None:
        """Take a row: what was done, what was measured."""
        part = self.opening.names.part(row.cells["part"])
        work = work_in(row, part, self.opening.sheet)
        before = self.works.get(part.ref)
        if work and before and (work.verdict, work.made_to) != (before.verdict, before.made_to):
            raise InputRefused({"done": f"Line {before.line} says otherwise of this part. Which is right?"})
        if row.is_empty:
            self.opening.take_head(row, now)
            self.opening.last_line = row.line
        else:
            self.opening.take(row, now)
        self.opening.opened[part.ref] = part
        if work and before is None:
            self.works[part.ref] = work
        self.digest = sha256((self.digest + canonical(row.cells)).encode()).hexdigest()


@dataclass
class _Checking:
    """Takes one row after the other; what it holds is bounded by the rows that a file may have."""

    setting: Setting
    now: datetime
    found: Checked = field(default_factory=Checked)
    openings: dict[str, _OnPaper] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.names = SheetNames(self.setting.sheet)

    def take(self, row: Row) -> None:
        """Take one row, or list why not."""
        if not row.refused and row.is_blank:
            return
        self.found.row_count += 1
        if self.found.row_count > MOST_ROWS:
            raise FileRefused(f"More than {MOST_ROWS} rows (line {row.line}). Bring the file in in parts.")
        try:
            self._opening_of(row).take(row, self.now)
        except InputRefused as refusal:
            self._refuse(row, refusal)

    def _opening_of(self, row: Row) -> _OnPaper:
        """Find the overhaul a row belongs to."""
        if row.refused:
            raise InputRefused({"": row.refused})
        name, tag = row.cells["overhaul"], self.setting.machine.tag
        if not name or len(name) > LONGEST_NAME:
            raise InputRefused({"overhaul": f"Name the overhaul of this row, in at most {LONGEST_NAME} characters."})
        if plain(row.cells["machine"]) not in ("", plain(tag)):
            raise InputRefused({"machine": f"This page brings in overhauls of {tag}."})
        if plain(name) not in self.openings:
            opening = PaperOpening(self.setting.sheet, self.names, name, tag, row.line, is_first_kept=True)
            self.openings[plain(name)] = _OnPaper(opening)
        return self.openings[plain(name)]

    def _refuse(self, row: Row, refusal: InputRefused) -> None:
        """List why a row is refused, one line a column."""
        self.found.refused_count += 1
        cells, is_slip = row.cells, isinstance(refusal, SlipAsked)
        for column, words in refusal.fields.items():
            named = FORM_NAMES.get(column, column)
            self._list(
                RefusedLine(row.line, cells["overhaul"], cells["part"], named, cells.get(named, ""), words, is_slip)
            )

    def _list(self, line: RefusedLine) -> None:
        """List a refused line, as long as the list can be read."""
        if len(self.found.lines) < MOST_LISTED:
            self.found.lines.append(line)

    def close(self) -> Checked:
        """Hold each overhaul against the book and those before it, the oldest first."""
        meter = [*self.setting.meter]
        meter += [MeterReading(o.hours, o.opened_at, o.opened_by) for o in self.setting.overhauls if o.paper]
        for each in sorted(
            self.openings.values(), key=lambda one: (one.opening.day or date.max, one.opening.first_line)
        ):
            meter.sort(key=lambda reading: reading.read_at)
            ready = self._vetted(each, meter)
            if ready:
                self.found.ready.append(ready)
                meter.append(MeterReading(ready.hours, ready.at, "the paper"))
        self.found.lines.sort(key=lambda line: line.line)
        return self.found

    def _vetted(self, each: _OnPaper, meter: Sequence[MeterReading]) -> Ready | None:
        """Give an overhaul that can come in; one that cannot is listed by its first line."""
        opening = each.opening
        if request_of(each.digest) in self.setting.known_requests:
            self.found.known.append(opening.name)
            return None
        column, words = self._doubt(opening, meter) if each.digest else ("", "")
        if words:
            self.found.refused_count += 1
            head = {"date": str(opening.day or ""), "hours": opening.hours_written}
            found = head.get(column, "")
            self._list(RefusedLine(opening.first_line, opening.name, "", column, found, f"The whole overhaul: {words}"))
        return None if words or not each.digest else self._ready(each)

    def _doubt(self, opening: PaperOpening, meter: Sequence[MeterReading]) -> tuple[str, str]:
        """Say what speaks against an overhaul as a whole: its column and words; nothing where it can come in."""
        if opening.day is None or opening.hours is None:
            return "date", "no row gives its date. Write it in one row at least, as 2026-11-24."
        zone = self.now.tzinfo
        at = _noon(opening.day, zone)
        earlier = [each for each in self.found.ready if each.on == opening.day]
        same_day = next((o for o in self.setting.overhauls if o.opened_at.astimezone(zone).date() == opening.day), None)
        if earlier or same_day:
            other = earlier[0].name if earlier else f"overhaul {same_day.number if same_day else ''}"
            return "date", f"there is one of that day already: {other}. What came in never changes."
        is_open = next((o for o in self.setting.overhauls if o.is_open and o.opened_at < at), None)
        if is_open:
            since = is_open.opened_at.astimezone(zone)
            return "date", f"the machine is open since {since.day} {since:%b %Y}: what is done now is entered live."
        question = question_about(meter, MeterReading(opening.hours, at, PERSON), self.now, is_same_day_asked=False)
        return ("hours", question.words) if question else ("", "")

    def _ready(self, each: _OnPaper) -> Ready:
        """Lay an overhaul out as it comes in, judged."""
        opening, on = each.opening, each.opening.day or date.min
        counts = Counter(verdict.verdict for verdict in opening.judged().verdicts)
        readings = tuple(_dated(reading, on, self.now) for reading in opening.readings.values())
        return Ready(
            opening.name, on, opening.hours or Decimal(0), opening.scope, readings, tuple(each.works.items()),
            opening.first_line, opening.last_line, each.digest, tuple(counts.items()), self.now.tzinfo,
        )  # fmt: skip


def _dated(reading: Reading, on: date, now: datetime) -> Reading:
    """Date a reading by its own row, else by the overhaul."""
    day = on if reading.measured_at == now else reading.measured_at.date()
    return replace(reading, measured_at=min(_noon(day, now.tzinfo), now))


def _noon(day: date, zone: tzinfo | None) -> datetime:
    """Give noon of a day at the site."""
    return datetime.combine(day, time(12), zone)
