"""A file of readings from old paper: its encoding, its separator, its columns, and its rows one at a time."""

import csv
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from io import StringIO
from pathlib import Path
from typing import TextIO

from app.domain.errors import WearbookError
from app.domain.sheet_faults import nearest

# What an entry says, and beside it where it belongs and how it was taken. The order is that of the template.
CONTENT = ("value", "goes", "does_not_go", "set_size", "findings", "reason")
COLUMNS = (
    "overhaul", "machine", "hours", "date", "occasion", "part", "characteristic", "level", "axis", "kind", "value",
    "goes", "does_not_go", "set_size", "unit", "findings", "reason", "instrument", "temperature", "measured_by",
    "done", "part_number", "batch", "made_to",
)  # fmt: skip
# What was done with the part, which the book asks for and no judging needs.
WORK = ("done", "part_number", "batch", "made_to")
BLANK = dict.fromkeys(COLUMNS, "")
NEEDED = ("overhaul", "hours", "part", "characteristic")
SEPARATORS = (",", ";", "\t")
ENCODINGS = ("utf-8-sig", "cp1252")
LONGEST_LINE_BYTES = 60_000
UTF_16 = (b"\xff\xfe", b"\xfe\xff")


class FileRefused(WearbookError):
    """The file cannot be read as a table of readings at all; nothing of it is judged."""


@dataclass(frozen=True)
class Row:
    """One row: its line in the file and the text of each column, or the words why it could not be taken apart."""

    line: int
    cells: dict[str, str]
    refused: str = ""

    @property
    def filled(self) -> frozenset[str]:
        """The columns in which this row says what was measured or seen."""
        return frozenset(column for column in CONTENT if self.cells[column])

    @property
    def is_empty(self) -> bool:
        """Whether this row says nothing about its place, as in a template that was not filled in there."""
        return not self.refused and not self.filled and not self.cells["kind"]

    @property
    def is_blank(self) -> bool:
        """Whether it says neither what was measured nor what was done."""
        return self.is_empty and not any(self.cells[column] for column in WORK)


class ReadingFile:
    """A file whose heading has been found good; its rows are read one at a time, never the whole."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.encoding, self.line_count = _encoding(path)
        with self._open() as text:
            self.separator, self.columns, self.width = _heading(text)

    def _open(self) -> TextIO:
        """Open the file as text; line ends are left to the reader of the table."""
        return self.path.open(encoding=self.encoding, newline="")

    def rows(self) -> Iterator[Row]:
        """Give each row below the heading, a broken one too; blank lines are passed over."""
        with self._open() as text:
            reader = csv.reader(text, delimiter=self.separator, strict=True)
            self._pass_heading(reader)
            while True:
                line, broken = reader.line_num + 1, ""
                try:
                    cells = next(reader)
                except StopIteration:
                    return
                except csv.Error:
                    cells, broken = [], "A quotation mark is not closed, or not doubled within a text."
                if broken or any(cell.strip() for cell in cells):
                    yield self._row(line, reader.line_num, cells, broken)

    def _pass_heading(self, reader: Iterator[list[str]]) -> None:
        """Go below the heading; the lines above it are blank."""
        while not any(cell.strip() for cell in next(reader)):
            pass

    def _row(self, line: int, last_line: int, cells: list[str], broken: str) -> Row:
        """Put the cells under their columns."""
        broken = broken or self._misfit(cells)
        if broken and last_line > line:
            broken += f" Lines {line} to {last_line} were not read, since a quotation mark holds them together."
        return Row(line, BLANK | dict(zip(self.columns, map(str.strip, cells), strict=False)), broken)

    def _misfit(self, cells: list[str]) -> str:
        """Say how a row does not fit under its heading, and what most often makes one cell too many."""
        if len(cells) != self.width:
            hint = " A decimal comma between commas stands in quotation marks." if self.separator == "," else ""
            return f"This row has {len(cells)} cells and the heading {self.width}.{hint}"
        is_beyond = any(cell.strip() for cell in cells[len(self.columns) :])
        return "Something stands behind the last column." if is_beyond else ""


class ReadingText(ReadingFile):
    """A table that is held in memory, as it was sent to a page."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.line_count = text.count("\n") + 1
        if "\0" in text or max(map(len, text.splitlines()), default=0) >= LONGEST_LINE_BYTES:
            raise FileRefused("A line is longer than any row, or is no text: is this a CSV file or a workbook?")
        with self._open() as opened:
            self.separator, self.columns, self.width = _heading(opened)

    def _open(self) -> TextIO:
        """Open the text; line ends are left to the reader of the table."""
        return StringIO(self.text, newline="")


def decoded(content: bytes) -> str:
    """Read the bytes of a table as text, in the encodings that spreadsheets write."""
    if content[:2] in UTF_16:
        return content.decode("utf-16", "replace")
    for encoding in ENCODINGS:
        with suppress(UnicodeDecodeError):
            return content.decode(encoding)
    raise FileRefused("The file is text in neither UTF-8 nor Windows-1252. Save it as CSV in UTF-8.")


def _encoding(path: Path) -> tuple[str, int]:
    """Find the encoding that the whole file is written in, and how many lines it has."""
    try:
        with path.open("rb") as file:
            if file.read(2) in UTF_16:
                raise FileRefused(f"{path.name} is saved as UTF-16. Save it as CSV in UTF-8.")
    except OSError as error:
        raise FileRefused(f"{path} cannot be read: {error.strerror}.") from None
    for encoding in ENCODINGS:
        with suppress(UnicodeDecodeError):
            return encoding, _count_lines(path, encoding)
    raise FileRefused(f"{path.name} is text in neither UTF-8 nor Windows-1252. Save it as CSV in UTF-8.")


def _count_lines(path: Path, encoding: str) -> int:
    """Count the lines of a file that is of one encoding throughout; a line without end is no table's."""
    count = 0
    with path.open("rb") as file:
        while line := file.readline(LONGEST_LINE_BYTES):
            count += 1
            if len(line) == LONGEST_LINE_BYTES:
                raise FileRefused(f"Line {count} of {path.name} is longer than any row: is this a CSV file?")
            line.decode(encoding)
    return count


def _heading(text: TextIO) -> tuple[str, tuple[str, ...], int]:
    """Find the separator and the columns in the first line that is not blank, and how many cells a row has."""
    line = next((line for line in text if line.strip(" \t\r\n,;")), "")
    if not line:
        raise FileRefused("The file is empty. Its first line names the columns.")
    headings = [(separator, _names(line, separator)) for separator in SEPARATORS]
    separator, names = max(headings, key=lambda heading: len(set(heading[1]) & set(COLUMNS)))
    # Spreadsheets leave empty cells behind the last column.
    columns = tuple(name for place, name in enumerate(names) if any(names[place:]))
    faults = _faults(columns)
    if faults:
        raise FileRefused("\n".join(faults))
    return separator, columns, len(names)


def _names(line: str, separator: str) -> tuple[str, ...]:
    """Take the heading apart; capitals, spaces and hyphens in a column's name do not count."""
    cells = next(csv.reader([line], delimiter=separator))
    return tuple("_".join(cell.strip().lower().replace("-", " ").split()) for cell in cells)


def _faults(columns: tuple[str, ...]) -> list[str]:
    """Say everything that is wrong with the columns at once."""
    faults = [
        f"Column {place}: no column “{name[:40]}”; {nearest(name, COLUMNS)}."
        for place, name in enumerate(columns, start=1)
        if name not in COLUMNS
    ]
    twice = dict.fromkeys(name for name in columns if name in COLUMNS and columns.count(name) > 1)
    faults += [f"The column “{name}” stands there {columns.count(name)} times." for name in twice]
    faults += [f"The column “{name}” is missing." for name in NEEDED if name not in columns]
    if not set(columns) & set(CONTENT):
        faults.append(f"No column says what was read. At least one of these is needed: {', '.join(CONTENT)}.")
    return faults
