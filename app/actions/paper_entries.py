"""A row of old paper put into the words of the entry form: which place it is for, of which kind it is, when it was."""

from collections.abc import Iterable
from datetime import date, datetime, time
from decimal import Decimal
from functools import lru_cache

from app.actions.meter import MOST_HOURS
from app.actions.reading_file import Row
from app.domain.entries import Typed
from app.domain.errors import InputRefused, NumberRefused, UnitMismatch
from app.domain.findings import findings_for
from app.domain.limits import Characteristic, LimitSheet, Part
from app.domain.numbers import parse_number
from app.domain.readings import SEEN, Kind, Occasion, Place
from app.domain.sheet_faults import listed, nearest
from app.domain.units import LENGTH_WORDS

# Which columns each kind of entry may fill. What stands in another would be lost, so it is refused.
BELONGS = {
    Kind.SIZE: frozenset({"value"}),
    Kind.DIAL: frozenset({"value", "set_size"}),
    Kind.PAIR: frozenset({"goes", "does_not_go"}),
    Kind.GOES: frozenset({"goes"}),
    Kind.CANNOT: frozenset({"reason"}),
    Kind.SEEN: frozenset({"findings", "reason"}),
}
CONDITION = (SEEN, "condition")  # what the sight of a part is called in the record, and on pages
KEPT_PLACES = 8192


def plain(text: str) -> str:
    """Make two writings of one name alike: capitals and spaces do not count.

    >>> plain("  Ring  1 ")
    'ring 1'
    """
    return " ".join(text.casefold().split())


class SheetNames:
    """Finds the places of a limit sheet by the names that a person writes."""

    def __init__(self, sheet: LimitSheet) -> None:
        self._parts: dict[str, list[Part]] = {}
        for part in sheet.parts:
            words = f"{part.stage} {part.name}"
            for name in dict.fromkeys(plain(n) for n in (part.ref, part.item, part.name, words, f"stage {words}")):
                self._parts.setdefault(name, []).append(part)
        self._refs = [part.ref for part in sheet.parts]
        # The same places come again in every opening.
        self.place = lru_cache(KEPT_PLACES)(self._place)

    def part(self, typed: str) -> Part:
        """Find a part by its reference, its item number or its name, where only one has that name."""
        named = self._parts.get(plain(typed), [])
        if len(named) == 1:
            return named[0]
        if named:
            raise InputRefused({"part": f"Several parts have this name: write {_either(p.ref for p in named)}."})
        shown = f"The sheet has no part “{typed[:40]}”; " if typed else "Name the part, such as "
        raise InputRefused({"part": f"{shown}{nearest(typed, self._refs) if typed else self._refs[0]}."})

    def part_or_none(self, typed: str) -> Part | None:
        """Find a part, or nothing where the name does not tell which."""
        named = self._parts.get(plain(typed), [])
        return named[0] if len(named) == 1 else None

    def _place(self, part: str, characteristic: str, level: str, axis: str) -> tuple[Part, Place]:
        """Find the place that a row is for."""
        found = self.part(part)
        if plain(characteristic) in CONDITION:
            return found, _condition(found, level, axis)
        gauged = _characteristic(found, characteristic)
        refused: dict[str, str] = {}
        place = Place(
            found.ref,
            gauged.key,
            _one_of("level", level, gauged.levels, gauged, refused),
            _one_of("axis", axis, gauged.axes, gauged, refused),
        )
        if refused:
            raise InputRefused(refused)
        return found, place


def _condition(part: Part, level: str, axis: str) -> Place:
    """Give the place where the sight of a part is recorded."""
    written = [column for column, typed in (("level", level), ("axis", axis)) if typed]
    if written:
        raise InputRefused(dict.fromkeys(written, "The condition is of the whole part: leave this empty."))
    return Place(part.ref, SEEN)


def _either(words: Iterable[str]) -> str:
    """Join choices."""
    return " or ".join(words)


def _characteristic(part: Part, typed: str) -> Characteristic:
    """Find a characteristic of a part by its key or its name."""
    for characteristic in part.characteristics:
        if plain(typed) in (plain(characteristic.key), plain(characteristic.name)):
            return characteristic
    known = [characteristic.key for characteristic in part.characteristics] + [SEEN]
    shown = f"{part.ref} has no characteristic “{typed[:40]}”; {nearest(typed, known)}."
    raise InputRefused({"characteristic": shown if typed else f"Name what the row is about: {_either(known)}."})


def _one_of(
    column: str, typed: str, known: tuple[str, ...], characteristic: Characteristic, refused: dict[str, str]
) -> str:
    """Find a level or an axis by its name; where there is only one it may be left out."""
    if not typed and len(known) == 1:
        return known[0]
    for name in known:
        if typed and plain(name) == plain(typed):
            return name
    if known == ("",):
        refused[column] = f"{characteristic.name} has no {column} on the sheet: leave this empty."
    else:
        refused[column] = f"Name the {column} of {characteristic.name.lower()}: {listed(known)}."
    return ""


def typed_from(row: Row, part: Part, place: Place, now: datetime) -> Typed:
    """Put a row into what would have been typed at its place."""
    cells = row.cells
    return Typed(
        id=str(row.line),
        place=place,
        occasion=_occasion(cells["occasion"]),
        kind=_kind(row),
        value=cells["value"],
        goes=cells["goes"],
        does_not_go=cells["does_not_go"],
        set_size=cells["set_size"],
        findings=_findings(part, cells["findings"]),
        reason=cells["reason"],
        instrument=cells["instrument"],
        temperature=cells["temperature"],
        unit=_unit(cells["unit"]),
        measured_by=cells["measured_by"],
        measured_at=measured_at(cells["date"], now),
    )


def _kind(row: Row) -> Kind:
    """Read the kind, or tell it from the columns that are filled; what belongs to another kind is refused."""
    written = plain(row.cells["kind"])
    if written and written not in BELONGS:
        raise InputRefused({"kind": f"There is no kind “{written[:40]}”; {nearest(written, BELONGS)}."})
    if not written:
        return _kind_told(row.filled)
    kind = Kind(written)
    strange = sorted(row.filled - BELONGS[kind])
    if strange:
        raise InputRefused(dict.fromkeys(strange, "This does not belong to an entry of this kind."))
    return kind


def _kind_told(filled: frozenset[str]) -> Kind:
    """Tell the kind from the columns that are filled: the first that has them all."""
    for kind, belongs in BELONGS.items():
        if filled <= belongs:
            return kind
    raise InputRefused({"kind": f"These do not go together in one entry: {', '.join(sorted(filled))}."})


def _findings(part: Part, typed: str) -> tuple[str, ...]:
    """Read what was seen, by code or by the words of the page."""
    if not typed:
        return ()
    known = {plain(word): finding.code for finding in findings_for(part) for word in (finding.code, finding.words)}
    words = [plain(word) for word in typed.split(";") if word.strip()]
    for word in words:
        if word not in known:
            raise InputRefused({"findings": f"“{word[:40]}” is not seen on {part.ref}; {nearest(word, known)}."})
    return tuple(known[word] for word in words)


def _occasion(typed: str) -> Occasion:
    """Read the occasion; as found where nothing is said."""
    if not typed:
        return Occasion.AS_FOUND
    words = plain(typed.replace("-", " ").replace("_", " "))
    if words not in tuple(Occasion):
        raise InputRefused({"occasion": f"Write {_either(Occasion)}, or leave this empty for {Occasion.AS_FOUND}."})
    return Occasion(words)


def _unit(typed: str) -> str:
    """Read the unit of a row's figures; nothing is the sheet's own."""
    if not typed:
        return ""
    if typed.lower() not in LENGTH_WORDS:
        raise InputRefused({"unit": f"“{typed[:12]}” is not a unit of length. Write mm or in, or leave this empty."})
    return LENGTH_WORDS[typed.lower()]


@lru_cache(maxsize=64)
def measured_at(typed: str, now: datetime) -> datetime:
    """Read a date, as the beginning of that day where the paper comes from; now where none is given."""
    if not typed:
        return now
    try:
        day = _day(typed)
    except ValueError:
        raise InputRefused({"date": "Give the date as 2026-11-24 or 24.11.2026."}) from None
    return datetime.combine(day, time.min, now.tzinfo)


def _day(typed: str) -> date:
    """Read a day written as year-month-day, or with dots as day.month.year; with strokes it could mean two days."""
    if "." not in typed:
        return date.fromisoformat(typed)
    day, month, year = (int(number) for number in typed.split("."))
    return date(year, month, day)


def hours_from(typed: str) -> Decimal:
    """Read the operating hours of an opening."""
    try:
        hours = parse_number(typed, example="10300")
    except (NumberRefused, UnitMismatch) as refusal:
        raise InputRefused({"hours": str(refusal)}) from None
    if hours > MOST_HOURS:
        raise InputRefused({"hours": f"More than {MOST_HOURS} h cannot be."})
    return hours
