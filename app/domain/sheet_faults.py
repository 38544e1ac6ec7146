"""What is wrong with a limit sheet's file: each fault with its line, its place and what is expected there."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from difflib import get_close_matches

from app.domain.errors import WearbookError
from app.domain.sheet_lines import Path, line_of

MOST_FAULTS = 1000
LONGEST_SHOWN = 40


@dataclass(frozen=True)
class Fault:
    """One fault or doubt: the line in the file where known, the place in the trade's words, what is expected.

    The path leads to the key in the file's tables; what is merely not there yet is told from what is wrong.
    """

    line: int | None
    place: str
    expected: str
    path: Path = field(default=(), compare=False)
    is_missing: bool = field(default=False, compare=False)

    @property
    def words(self) -> str:
        """The fault as one sentence for the page."""
        line = f"Line {self.line}, " if self.line is not None else ""
        return f"{line}{self.place}: {self.expected}"


class SheetRefused(WearbookError):
    """A limit sheet's file was refused; `faults` holds everything that is wrong with it, in line order."""

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(sorted(dict.fromkeys(faults), key=lambda fault: fault.line or 0))
        super().__init__("\n".join(fault.words for fault in self.faults))


@dataclass
class Ledger:
    """Collects the faults of one file while it is read to its end."""

    lines: dict[Path, int]
    faults: list[Fault] = field(default_factory=list)

    def note(self, path: Path, place: str, expected: str, *, is_missing: bool = False) -> None:
        """Put one fault down; a file with a thousand is no limit sheet, and reading it stops there."""
        self.faults.append(Fault(line_of(self.lines, path), place, expected, path, is_missing))
        if len(self.faults) >= MOST_FAULTS:
            self.faults.append(Fault(None, "the file", f"a limit sheet; reading stopped after {MOST_FAULTS} faults"))
            self.settle()

    def settle(self) -> None:
        """Refuse the file if anything was noted."""
        if self.faults:
            raise SheetRefused(self.faults)


def found(value: object) -> str:
    """Show what stands in the file, cut short, so that the person finds it again."""
    match value:
        case bool():
            return f"found {str(value).lower()}"
        case int():
            return f"found {value}" if abs(value) < 10**LONGEST_SHOWN else "found a number far too large"
        case str():
            shown = value if len(value) <= LONGEST_SHOWN else f"{value[:LONGEST_SHOWN]}…"
            return f"found {shown}" if isinstance(value, WrittenNumber) else f"found “{shown}”"
        case list():
            return f"found a list of {len(value)}"
        case dict():
            return "found a table"
    return f"found the {type(value).__name__} {value}"


class WrittenNumber(str):
    """A number with a decimal point, kept as the digits in the file so that 0.70 stays 0.70."""


def listed(words: Iterable[str]) -> str:
    """Write allowed words one after another."""
    return ", ".join(f"“{word}”" for word in words)


def nearest(word: str, known: Iterable[str]) -> str:
    """Name the known word that was most likely meant, or all of them."""
    words = sorted(known)
    close = get_close_matches(word[:LONGEST_SHOWN], words, n=1, cutoff=0.5)
    if close:
        return f"perhaps “{close[0]}” is meant"
    return f"known here: {listed(words)}" if words else "none are known here"
