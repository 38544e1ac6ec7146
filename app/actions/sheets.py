"""Limit sheets come into the book whole or not at all, and a used revision never changes."""

from dataclasses import dataclass
from datetime import datetime

from app.domain.errors import InputRefused
from app.domain.limits import Characteristic, LimitSheet, Part, Stage
from app.domain.people import Person, Right
from app.domain.sheet_faults import Fault, SheetRefused
from app.domain.sheet_file import read_sheet, sheet_warnings
from app.store.book import Book
from app.store.sheets import SheetSummary, current_sheet, get_sheet, get_sheet_text, list_sheets, save_sheet


class WarningsStand(InputRefused):
    """The sheet has traps that a person must accept by name before it comes in."""

    def __init__(self, warnings: tuple[Fault, ...]) -> None:
        super().__init__({"accepted": "Accept these by name, or put the sheet right."})
        self.warnings = warnings


def import_sheet(book: Book, by: Person, text: str, is_accepted: bool, now: datetime) -> LimitSheet:
    """Bring a sheet in; SheetRefused names every fault, WarningsStand what a person must accept."""
    by.must(Right.MANAGE_SHEETS)
    text, sheet, warnings = checked_sheet(text)
    if warnings and not is_accepted:
        raise WarningsStand(warnings)
    with book.writing(by.name, now) as writing:
        save_sheet(writing, text, sheet, by.name if warnings else "")
    return sheet


def checked_sheet(text: str) -> tuple[str, LimitSheet, tuple[Fault, ...]]:
    """Read a text that is to become a revision: as it will be kept, its sheet, and its traps; SheetRefused else."""
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")  # a pasted text and the same file are one text
    sheet = read_sheet(text)
    _require_address(sheet)
    return text, sheet, sheet_warnings(sheet)


def _require_address(sheet: LimitSheet) -> None:
    """Refuse a name or revision that cannot stand in a page's address."""
    words = {"name": sheet.name, "revision": sheet.revision}
    wrong = [key for key, word in words.items() if "/" in word or not word.strip(".")]
    if wrong:
        expected = "a word without a stroke, and not dots alone; found"
        raise SheetRefused(Fault(None, f"sheet, {key}", f"{expected} “{words[key]}”") for key in wrong)


@dataclass(frozen=True)
class SharedLimits:
    """A characteristic with every part of a stage that has the very same, as a page lists it once."""

    parts: tuple[Part, ...]
    characteristic: Characteristic


def shared_limits(stage: Stage) -> tuple[SharedLimits, ...]:
    """List the characteristics of a stage, each once, in item order."""
    alike: dict[Characteristic, list[Part]] = {}
    for part in stage.parts:
        for characteristic in part.characteristics:
            alike.setdefault(characteristic, []).append(part)
    return tuple(SharedLimits(tuple(parts), characteristic) for characteristic, parts in alike.items())


def sheets(book: Book) -> list[SheetSummary]:
    """Every revision of every sheet."""
    with book.reading() as session:
        return list_sheets(session)


def sheet_names(book: Book) -> list[str]:
    """The names of all sheets, each once."""
    return sorted({summary.name for summary in sheets(book)})


def one_sheet(book: Book, name: str, revision: str) -> tuple[LimitSheet, str]:
    """One revision and its text as imported."""
    with book.reading() as session:
        return get_sheet(session, name, revision), get_sheet_text(session, name, revision)


def newest_sheet(book: Book, name: str) -> LimitSheet:
    """The revision that a new overhaul would be judged by."""
    with book.reading() as session:
        return current_sheet(session, name)
