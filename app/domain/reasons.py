"""The sentences that say why a verdict is what it is; every page, print and export takes them from here."""

from decimal import Decimal

from app.domain.judgement import Against
from app.domain.limits import Characteristic, Limit, LimitSheet, Side
from app.domain.numbers import Length, figure, in_inches, in_mm
from app.domain.readings import Reading
from app.domain.units import LengthUnit

MORE_DECIMALS = 2  # a hundredth of a millimetre is four tenths of a thousandth of an inch
MOST_INCH_DECIMALS = 6


def size(length_mm: Decimal, characteristic: Characteristic) -> str:
    """Write a length in its characteristic's unit, with the limit's decimals, and in the other where both are given."""
    words = _in_its_unit(length_mm, characteristic)
    return f"{words} ({_in_the_other(length_mm, characteristic)})" if characteristic.is_in_both else words


def _in_its_unit(length_mm: Decimal, characteristic: Characteristic) -> str:
    """Write a length in the unit of its characteristic."""
    return f"{figure(length_mm, characteristic.unit, characteristic.decimals)} {characteristic.unit}"


def _in_the_other(length_mm: Decimal, characteristic: Characteristic) -> str:
    """Write a length in the other unit: inches as fine as the millimetres, millimetres whole."""
    if characteristic.unit is LengthUnit.INCH:
        return f"{in_mm(length_mm)} {LengthUnit.MM}"
    return f"{in_inches(length_mm, inch_decimals(characteristic))} {LengthUnit.INCH}"


def inch_decimals(characteristic: Characteristic) -> int:
    """With how many decimals inches stand beside millimetres."""
    return min(characteristic.decimals + MORE_DECIMALS, MOST_INCH_DECIMALS)


def as_printed(length: Length, characteristic: Characteristic) -> str:
    """Write a size of the sheet: in both units where it is printed in both, else with the limit's decimals."""
    if "=" in length.typed:
        return " ".join(length.typed.split())
    return figure(length.mm, characteristic.unit, characteristic.decimals)


def as_read(length: Length, characteristic: Characteristic) -> str:
    """Write a reading; typed in another unit than the sheet's, both stand there."""
    if length.unit is characteristic.unit:
        return size(length.mm, characteristic)
    return f"{length.value} {length.unit} ({_in_its_unit(length.mm, characteristic)})"


def limit_words(limit: Limit, characteristic: Characteristic) -> str:
    """Write a limit as printed in both units, else in its own; an inch limit with the millimetres it is compared in."""
    if "=" in limit.size.typed:
        return as_printed(limit.size, characteristic)
    if characteristic.unit is LengthUnit.MM:
        return size(limit.size.mm, characteristic)
    return f"{_in_its_unit(limit.size.mm, characteristic)} ({_in_the_other(limit.size.mm, characteristic)})"


def cited(sheet: LimitSheet, source: str) -> str:
    """Cite the sheet and the place in it or in its source."""
    return f"Sheet {sheet.title}, {source}" if source else f"Sheet {sheet.title}"


def against_limit(words: str, stands: Against, margin: Decimal, limit: Limit, characteristic: Characteristic) -> str:
    """Say how one value stands against a limit."""
    bound = f"the {limit.called} {limit_words(limit, characteristic)}"
    if stands is Against.UNPROVEN:
        return f"{words} is too near {bound} to be proven either way."
    if margin == 0:
        ending = "on it passes" if stands is Against.CONFORMS else "it must not be reached"
        return f"{words} is on {bound}: {ending}."
    beyond = "over" if limit.side is Side.UPPER else "under"
    return f"{words} is {'within' if stands is Against.CONFORMS else beyond} {bound}."


def leaves_against_limit(reading: Reading, stands: Against, limit: Limit, characteristic: Characteristic) -> str:
    """Say how a gap between two leaves stands against a limit."""
    bound = f"the {limit.called} {limit_words(limit, characteristic)}"
    leaves = leaf_figures(reading, characteristic)
    if stands is Against.UNPROVEN and reading.does_not_go is None:
        return f"{leaves}: find the leaf that does not go. {bound.capitalize()} is not settled by this leaf."
    if stands is Against.UNPROVEN and not _is_between(reading, limit):
        return f"{leaves}: with the leaves' own errors {bound} is too near to be proven either way."
    if stands is Against.UNPROVEN:
        is_on = reading.goes is not None and reading.goes.mm == limit.size.mm
        return f"{leaves}: " + (
            f"the gap is on {bound} or over it." if is_on else f"{bound} lies between the two leaves."
        )
    if _reads_as_limit(reading, stands, limit):
        return f"{leaves}: no leaf lies between, so the gap reads as {bound}: on it passes."
    beyond = "over" if limit.side is Side.UPPER else "under"
    return f"{leaves}: the gap is {beyond if stands is Against.FAILS else 'within'} {bound}."


def _is_between(reading: Reading, limit: Limit) -> bool:
    """Whether the limit lies between the two leaves, or on the one that goes."""
    goes, stops = reading.goes, reading.does_not_go
    return goes is not None and stops is not None and goes.mm <= limit.size.mm < stops.mm


def _reads_as_limit(reading: Reading, stands: Against, limit: Limit) -> bool:
    """Whether the gap passed although the leaf that does not go is over an upper limit."""
    is_over = reading.does_not_go is not None and reading.does_not_go.mm > limit.size.mm
    return stands is Against.CONFORMS and limit.side is Side.UPPER and is_over


def leaf_figures(reading: Reading, characteristic: Characteristic) -> str:
    """Write the leaves tried, the one that goes first."""
    goes = f"Goes {as_read(reading.goes, characteristic)}" if reading.goes else ""
    return f"{goes}, does not go {as_read(reading.does_not_go, characteristic)}" if reading.does_not_go else goes


def many(places: list[str]) -> str:
    """Join places as a sentence does.

    >>> many(["top", "middle", "bottom"])
    'top, middle and bottom'
    """
    return f"{', '.join(places[:-1])} and {places[-1]}" if len(places) > 1 else "".join(places)
