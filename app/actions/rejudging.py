"""Re-judging a file: years of old paper held against a limit sheet, opening by opening, without the book."""

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from app.actions.paper_entries import SheetNames, plain
from app.actions.paper_opening import PaperOpening
from app.actions.reading_file import FileRefused, ReadingFile, Row
from app.domain.errors import InputRefused
from app.domain.limits import LimitSheet
from app.domain.sheet_file import read_sheet
from app.domain.verdicts import Verdict
from app.reports.verdict_files import Format, VerdictFiles
from app.reports.verdict_rows import SetAside, counts_in_words

LONGEST_NAME = 60
REFUSED = "refused"
FORM_NAMES = {"measured_at": "date"}  # fields of the entry form that have another name as columns


@dataclass
class Tally:
    """How far a re-judging has come."""

    line_count: int  # of the whole file
    line: int = 0
    reading_count: int = 0
    empty_count: int = 0
    refused_count: int = 0
    superseded_count: int = 0
    opening_count: int = 0
    parts: Counter[Verdict] = field(default_factory=Counter)

    @property
    def words(self) -> str:
        """Where it stands, on one line."""
        percent = 100 * min(self.line, self.line_count) // max(self.line_count, 1)
        return (
            f"{percent:3} %  openings judged: {self.opening_count}, readings: {self.reading_count}, "
            f"lines refused: {self.refused_count}, superseded: {self.superseded_count}"
        )

    @property
    def document(self) -> dict[str, object]:
        """Everything counted, as it stands at the foot of the JSON."""
        return {
            "openings": self.opening_count,
            "readings": self.reading_count,
            "left_empty": self.empty_count,
            "refused_lines": self.refused_count,
            "superseded": self.superseded_count,
            "parts": counts_in_words(self.parts),
        }


def rejudge(
    sheet: LimitSheet, path: Path, folder: Path, form: Format, now: datetime, tell: Callable[[Tally], None]
) -> Tally:
    """Judge a file of readings and write the verdicts into a folder; a row that is refused is listed with its line.

    `now` is in the time zone that the paper's dates are of; `tell` is called after every opening.
    """
    file = ReadingFile(path)
    with VerdictFiles(folder, sheet, form) as files:
        judging = _Judging(sheet, files, Tally(file.line_count), now, tell)
        for row in file.rows():
            judging.take(row)
        judging.close_opening()
        files.summary = judging.tally.document
    return judging.tally


@dataclass
class _Judging:
    """Takes one row after the other; at most one opening is held at a time."""

    sheet: LimitSheet
    files: VerdictFiles
    tally: Tally
    now: datetime
    tell: Callable[[Tally], None]
    opening: PaperOpening | None = None
    ended: dict[str, int] = field(default_factory=dict)  # each opening's last line: all that is kept of it

    def __post_init__(self) -> None:
        self.names = SheetNames(self.sheet)

    def take(self, row: Row) -> None:
        """Take one row: put it to its opening, or aside."""
        self.tally.line = row.line
        if row.is_empty:
            self.tally.empty_count += 1
            return
        try:
            superseded = self._opening_of(row).take(row, self.now)
        except InputRefused as refusal:
            self._refuse(row, refusal)
            return
        self.tally.reading_count += 1
        if superseded:
            self.tally.superseded_count += 1
            self.files.set_aside([superseded])

    def _opening_of(self, row: Row) -> PaperOpening:
        """Find the opening that a row belongs to: the one at hand, or a new one, never one that was left."""
        if row.refused:
            raise InputRefused({"": row.refused})
        name, machine = row.cells["overhaul"], row.cells["machine"]
        refused = {
            column: f"At most {LONGEST_NAME} characters."
            for column in ("overhaul", "machine")
            if len(row.cells[column]) > LONGEST_NAME
        }
        if not name:
            refused["overhaul"] = "Name the opening that this row belongs to."
        if refused:
            raise InputRefused(refused)
        if self.opening is None or not self.opening.is_named(name, machine):
            self._require_new(name, machine)
            self.close_opening()
            self.opening = PaperOpening(self.sheet, self.names, name, machine, row.line)
        return self.opening

    def _require_new(self, name: str, machine: str) -> None:
        """Refuse to go back to an opening that others followed: it has been judged."""
        last_line = self.ended.get(_key(name, machine))
        if last_line is not None:
            words = f"The rows of one opening stand together: {name} ended in line {last_line}."
            raise InputRefused({"overhaul": words})

    def close_opening(self) -> None:
        """Judge the opening at hand and write it."""
        if self.opening is None:
            return
        self.ended[_key(self.opening.name, self.opening.machine)] = self.opening.last_line
        judged = self.opening.judged()
        self.files.write_opening(judged)
        self.tally.opening_count += 1
        self.tally.parts += judged.counts
        self.opening = None
        self.tell(self.tally)

    def _refuse(self, row: Row, refusal: InputRefused) -> None:
        """List why a row is refused, one line a column."""
        self.tally.refused_count += 1
        cells = row.cells
        if self.opening and self.opening.is_named(cells["overhaul"], cells["machine"]):
            self.opening.note_refused(row)
        where = cells["overhaul"], cells["part"], cells["characteristic"]
        named = {FORM_NAMES.get(column, column): words for column, words in refusal.fields.items()}
        self.files.set_aside(
            SetAside(row.line, REFUSED, *where, column, cells.get(column, ""), words) for column, words in named.items()
        )


def _key(name: str, machine: str) -> str:
    """Tell openings apart: the same number on two machines is two of them."""
    return f"{plain(name)}\n{plain(machine)}"


def sheet_from(path: Path) -> LimitSheet:
    """Read the limit sheet's file; SheetRefused names every fault in it."""
    try:
        return read_sheet(path.read_text(encoding="utf-8"))
    except OSError as error:
        raise FileRefused(f"{path} cannot be read: {error.strerror}.") from None
    except UnicodeDecodeError:
        raise FileRefused(f"{path} is not text in UTF-8, which a limit sheet is.") from None
