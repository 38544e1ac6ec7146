"""One table of a limit sheet's file: gives its values by key and kind, and notes whatever is not as expected."""

import re
import unicodedata
from collections.abc import Sequence
from decimal import Decimal
from enum import StrEnum
from typing import TypeVar

from app.domain.errors import NumberRefused, UnitMismatch
from app.domain.numbers import Length
from app.domain.sheet_faults import Ledger, WrittenNumber, found, listed, nearest
from app.domain.sheet_lines import Path
from app.domain.sheet_sizes import SHARE_WORDS, SIZE_WORDS, read_number, read_share, read_size
from app.domain.units import LengthUnit

LONGEST_TEXT = 300
LONGEST_NOTE = 4000
KEY = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
Choice = TypeVar("Choice", bound=StrEnum)
Kind = TypeVar("Kind")


class Table:
    """One table at its place. What is missing or wrong is noted and answered by a stand-in, so that reading goes on."""

    def __init__(self, values: dict[str, object], ledger: Ledger, path: Path, unit: LengthUnit) -> None:
        self.values = values
        self.ledger = ledger
        self.path = path
        self.unit = unit
        self.place = ""
        self.is_sound = True
        self.is_absent = False
        self.asked: set[str] = set()

    def refuse(self, key: str, expected: str, *, is_missing: bool = False) -> None:
        """Note a fault at a key of this table, or at the table itself where the key is empty."""
        place = ", ".join(word for word in (self.place, key) if word)
        self._note(key, place, expected, is_missing=is_missing)

    def _note(self, key: str, place: str, expected: str, *, is_missing: bool = False) -> None:
        """Put a fault down at the line of a key, or of the table."""
        path = (*self.path, key) if key else self.path
        self.ledger.note(path, place or "the file", expected, is_missing=is_missing)
        self.is_sound = False

    def close(self) -> None:
        """Note every key that nobody asked for: it is misspelt or does not belong here."""
        for key in self.values.keys() - self.asked:
            self._note(key, self.place, f"no key “{key[:LONGEST_TEXT]}”; {nearest(key, self.asked)}")

    def has(self, key: str) -> bool:
        """Whether the key stands in the table; asking makes it known."""
        self.asked.add(key)
        return key in self.values

    def only_for(self, words: str, *keys: str) -> None:
        """Note keys that belong to another kind of thing."""
        for key in keys:
            if self.has(key):
                self.refuse(key, f"{words} has this key")

    def text(self, key: str, default: str | None = None, longest: int = LONGEST_TEXT) -> str:
        """Give a text: on one line unless it is a note, with no digits but 0 to 9."""
        if not self.has(key):
            return self._missing(key, default, "")
        return self._checked(key, self.values[key], longest)

    def _missing(self, key: str, default: Kind | None, stand_in: Kind) -> Kind:
        """Answer for a key that does not stand there: its default, else a fault and a stand-in."""
        if default is not None:
            return default
        if not self.is_absent:
            self.refuse(key, "this key, which is missing", is_missing=True)
        return stand_in

    def _checked(self, key: str, value: object, longest: int = LONGEST_TEXT) -> str:
        """Give a text as it stands without the space around it, or note what is wrong with it."""
        if not isinstance(value, str) or isinstance(value, WrittenNumber):
            self.refuse(key, f"a text in quotes; {found(value)}")
            return ""
        text = value.strip()
        wrong = _wrong_text(text if longest == LONGEST_TEXT else text.replace("\n", ""), longest)
        if wrong:
            self.refuse(key, f"{wrong}; {found(value)}", is_missing=not text)
        return text

    def key(self) -> str:
        """Give the table's own key, which references are made of."""
        key = self.text("key")
        if key and not KEY.fullmatch(key):
            self.refuse("key", f"small letters a to z, digits and single hyphens, such as closed-gap; {found(key)}")
        return key

    def texts(self, key: str, default: tuple[str, ...], most: int) -> tuple[str, ...]:
        """Give a list of different texts."""
        texts = tuple(self._checked(key, value) for value in self._list(key, most)) if self.has(key) else default
        if len(set(texts)) < len(texts):
            self.refuse(key, f"different texts; found {listed(repeated(texts))} more than once")
        return texts

    def choice(self, key: str, allowed: Sequence[Choice], default: Choice | None = None) -> Choice:
        """Give one of a closed list of words."""
        if not self.has(key):
            return self._missing(key, default, allowed[0])
        value = self.values[key]
        chosen = next((word for word in allowed if word == value), None)
        if chosen is None:
            self.refuse(key, f"one of {listed(allowed)}; {found(value)}")
        return chosen or allowed[0]

    def whole(self, key: str, smallest: int, largest: int, default: int | None = None) -> int:
        """Give a whole number within its bounds."""
        if not self.has(key):
            return self._missing(key, default, smallest)
        value = self.values[key]
        if isinstance(value, int) and not isinstance(value, bool) and smallest <= value <= largest:
            return value
        self.refuse(key, f"a whole number from {smallest} to {largest}; {found(value)}")
        return smallest

    def number(self, key: str, bounds: tuple[Decimal, Decimal], words: str) -> Decimal | None:
        """Give a number within its bounds, or None where the key does not stand there."""
        if not self.has(key):
            return None
        try:
            number = read_number(self.values[key])
        except NumberRefused:
            number = None
        if number is not None and bounds[0] <= number <= bounds[1]:
            return number
        self.refuse(key, f"{words}, a number from {bounds[0]} to {bounds[1]}; {found(self.values[key])}")
        return None

    def numbers(self, key: str, count: int, bounds: tuple[Decimal, Decimal], words: str) -> tuple[Decimal, ...]:
        """Give a list of so many numbers within their bounds; none where the key does not stand there or is wrong."""
        if not self.has(key):
            return ()
        written = self.values[key]
        try:
            read = tuple(read_number(one) for one in written) if isinstance(written, list) else ()
        except NumberRefused:
            read = ()
        if len(read) == count and all(bounds[0] <= number <= bounds[1] for number in read):
            return read
        self.refuse(key, f"{words}, a list of {count} numbers from {bounds[0]} to {bounds[1]}; {found(written)}")
        return ()

    def size(self, key: str) -> Length:
        """Give a size above zero."""
        return self._size(key, self.values[key]) if self.has(key) else self._missing(key, None, self._nothing)

    def optional_size(self, key: str) -> Length | None:
        """Give a size above zero, or None where the key does not stand there."""
        return self._size(key, self.values[key]) if self.has(key) else None

    def sizes(self, key: str, most: int) -> tuple[Length, ...]:
        """Give a list of sizes above zero; a key that does not stand there gives none."""
        return tuple(self._size(key, value) for value in self._list(key, most)) if self.has(key) else ()

    def span(self, key: str) -> tuple[Length, Length] | None:
        """Give a lower and an upper size, written as a list of two; the lower may be zero."""
        if not self.has(key):
            return None
        written = self.values[key]
        if not isinstance(written, list) or len(written) != 2:
            self.refuse(key, f"a list of two sizes, lower and upper; {found(written)}")
            return None
        ends = self._size(key, written[0], is_from_zero=True), self._size(key, written[1])
        if ends[1].value and ends[0].mm > ends[1].mm:
            self.refuse(key, f"the lower size first; found {ends[0].typed} before {ends[1].typed}")
            return None
        return ends if ends[1].value else None

    def share(self, key: str) -> Decimal:
        """Give a share of a bore or stroke."""
        try:
            share = read_share(self.values[key])
        except (NumberRefused, UnitMismatch):
            share = Decimal(0)
        if not 0 < share < Decimal("0.1"):
            self.refuse(key, f"{SHARE_WORDS}; {found(self.values[key])}")
        return share

    def _size(self, key: str, value: object, *, is_from_zero: bool = False) -> Length:
        """Read one size, or note what is wrong with it; one left empty is still to be filled in."""
        if value == "":
            self.refuse(key, "a size, which is still to be filled in", is_missing=True)
            return self._nothing
        try:
            size = read_size(value, self.unit)
        except (NumberRefused, UnitMismatch):
            self.refuse(key, f"{SIZE_WORDS}; {found(value)}")
            return self._nothing
        if size.value == 0 and not is_from_zero:
            self.refuse(key, f"a size above zero; {found(value)}")
        return size

    @property
    def _nothing(self) -> Length:
        """The stand-in for a size that could not be read."""
        return Length("0", Decimal(0), self.unit)

    def _list(self, key: str, most: int) -> list[object]:
        """Give a list with at least one thing in it."""
        value = self.values[key]
        if isinstance(value, list) and 0 < len(value) <= most:
            return value
        self.refuse(key, f"a list of 1 to {most}; {found(value)}")
        return []

    def table(self, key: str, *, is_needed: bool = True) -> "Table":
        """Give a table within this one; one that is missing is noted once, not key by key."""
        value = self.values.get(key) if self.has(key) else None
        values: dict[str, object] = value if isinstance(value, dict) else {}
        table = Table(values, self.ledger, (*self.path, key), self.unit)
        table.place = ", ".join(word for word in (self.place, key) if word)
        table.is_absent = value is not values
        if table.is_absent and (is_needed or value is not None):
            words = "it is missing" if value is None else found(value)
            self.refuse(key, f"a table; {words}", is_missing=value is None)
        return table

    def tables(self, key: str, most: int) -> list["Table"]:
        """Give the tables of a list, each placed by its own key or its number; none where the list is missing."""
        value = self.values.get(key, []) if self.has(key) else []
        if not isinstance(value, list) or not all(isinstance(item, dict) for item in value):
            self.refuse(key, f"a list of tables, [[{key}]]; {found(value)}")
            return []
        if len(value) > most:
            self.refuse(key, f"at most {most} of these; {found(value)}")
        tables = [
            Table(item, self.ledger, (*self.path, key, index), self.unit) for index, item in enumerate(value[:most])
        ]
        for index, table in enumerate(tables):
            own = table.values.get("key")
            number = str(index + 1) if len(tables) > 1 or key in ("stage", "always") else ""
            called = own[:60] if isinstance(own, str) and own else number
            table.place = ", ".join(word for word in (self.place, f"{key} {called}".strip()) if word)
        return tables


def _wrong_text(text: str, longest: int) -> str:
    """Say what a text should be that it is not; nothing where it is well."""
    if not text:
        return "a text that is not empty"
    if len(text) > longest:
        return f"a text of at most {longest} signs"
    if not text.isprintable():
        return "a text of printed signs and plain spaces"
    if any(unicodedata.category(sign) == "Nd" and not sign.isascii() for sign in text):
        return "digits 0 to 9 only"
    return ""


def repeated(texts: Sequence[str]) -> list[str]:
    """Name the texts that stand more than once in a list, each once."""
    return sorted({text for index, text in enumerate(texts) if text in texts[:index]})
