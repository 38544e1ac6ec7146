"""Bands of the verdict: from which figure on the book says what, found by asking the judging code itself.

Nothing here judges. Figures are counted in millionths of the unit, finer than anything that can be typed, so that a
band begins at a whole number and whoever looks a figure up only compares.
"""

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from itertools import pairwise

from app.domain.errors import WearbookError
from app.domain.numbers import figure, in_inches, in_mm
from app.domain.units import LengthUnit, from_mm
from app.domain.verdicts import Verdict

MILLIONTHS = 10**6
NUMBER = re.compile(r"-?\d+(?:\.\d+)?")
BESIDE = re.compile(r" (mm|in) \(")  # what parts a size from the same size in the other unit
PER_INCH = 254  # ten-millionths of a millimetre in a millionth of an inch


class BandsUnclear(WearbookError):
    """What is said cannot be laid out in bands; only the book can say it."""


@dataclass(frozen=True)
class Said:
    """What is said of one figure: the verdict, what is renewed, and each sentence with its role in the box."""

    verdict: Verdict
    renews: str
    lines: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Formed:
    """A number in a sentence that grows or falls with the figure: slope x figure + constant, in millionths."""

    slope: int
    constant: int

    def at(self, n: int) -> Decimal:
        """The number beside a figure of n millionths, in units."""
        return Decimal(self.slope * n + self.constant) / MILLIONTHS

    def written(self, n: int, decimals: int) -> str:
        """The number as a sentence writes it."""
        return figure(self.at(n), LengthUnit.MM, decimals)


@dataclass(frozen=True)
class InMm:
    """Millimetres that stand beside inches, whole: 254 x slope x figure + constant, in ten-millionths."""

    slope: int
    constant: int

    def written(self, n: int, _decimals: int) -> str:
        """The number as a sentence writes it."""
        return in_mm(Decimal(PER_INCH * self.slope * n + self.constant) / MILLIONTHS / 10)


@dataclass(frozen=True)
class InInches:
    """Inches that stand beside millimetres, rounded: of slope x figure + constant, in millionths of a millimetre."""

    slope: int
    constant: int
    decimals: int

    def written(self, n: int, _decimals: int) -> str:
        """The number as a sentence writes it."""
        return in_inches(Decimal(self.slope * n + self.constant) / MILLIONTHS, self.decimals)


Number = str | Formed | InMm | InInches | None


@dataclass(frozen=True)
class Line:
    """A sentence taken apart: the words around its numbers, and each number: as written, formed, or left out."""

    role: str
    words: tuple[str, ...]
    numbers: tuple[Number, ...]

    def fits(self, line: tuple[str, str], n: int, decimals: int) -> bool:
        """Whether the sentence formed for a figure is the one that was said of it."""
        other = _apart(line)
        if (self.role, self.words) != (other.role, other.words):
            return False
        return all(_is(mine, n, decimals, said) for mine, said in zip(self.numbers, other.numbers, strict=True))


@dataclass(frozen=True)
class Band:
    """From a figure on, up to the next band: the verdict and the sentences, with their numbers formed."""

    start: int
    verdict: Verdict
    renews: str
    lines: tuple[Line, ...]

    def fits(self, said: Said, n: int, decimals: int) -> bool:
        """Whether this is what was said of a figure."""
        if (self.verdict, self.renews, len(self.lines)) != (said.verdict, said.renews, len(said.lines)):
            return False
        return all(mine.fits(line, n, decimals) for mine, line in zip(self.lines, said.lines, strict=True))


Ask = Callable[[int], Said]


def millionths(length_mm: Decimal, unit: LengthUnit, rounding: str = ROUND_FLOOR) -> int:
    """Count a length in millionths of a unit; one between two of them is rounded as asked.

    >>> millionths(Decimal("0.4572"), LengthUnit.INCH)
    18000
    """
    return int((from_mm(length_mm, unit) * MILLIONTHS).to_integral_value(rounding))


def within(bounds_mm: tuple[Decimal, Decimal], unit: LengthUnit) -> tuple[int, int]:
    """Give the first and the last figure of a range of lengths.

    >>> within((Decimal("0.05"), Decimal("2")), LengthUnit.MM)
    (50000, 2000000)
    """
    return millionths(bounds_mm[0], unit, ROUND_CEILING), millionths(bounds_mm[1], unit)


def find_bands(ask: Ask, marks: Iterable[int], ends: tuple[int, int], decimals: int) -> tuple[Band, ...]:
    """Find the bands between two figures: asked at every mark and beside it, and halved wherever two answers differ."""
    answers: dict[int, Said] = {}

    def asked(n: int) -> Said:
        """Ask once for each figure."""
        if n not in answers:
            answers[n] = ask(n)
        return answers[n]

    beside = {mark + step for mark in marks for step in (0, 1) if ends[0] < mark + step <= ends[1]}
    points = sorted({ends[0], ends[1], *beside})
    starts = sorted({ends[0], *beside, *(turn for pair in pairwise(points) for turn in _turns(asked, *pair))})
    lasts = [start - 1 for start in starts[1:]] + [ends[1]]
    bands = [_band(asked, first, last) for first, last in zip(starts, lasts, strict=True)]
    found = _joined(asked, bands, lasts, decimals)
    _prove(asked, found, ends[1], decimals)
    return found


def _turns(asked: Ask, low: int, high: int) -> list[int]:
    """The figures in a range, after its first, at which something else begins to be said."""
    if high <= low or _skeleton(asked(low)) == _skeleton(asked(high)):
        return []
    if high == low + 1:
        return [high]
    middle = (low + high) // 2
    return [*_turns(asked, low, middle), *_turns(asked, middle, high)]


def _skeleton(said: Said) -> tuple[object, ...]:
    """What is said without its numbers."""
    return said.verdict, said.renews, tuple((role, *NUMBER.split(text)) for role, text in said.lines)


def _apart(line: tuple[str, str]) -> Line:
    """Take a sentence apart as it was said."""
    role, text = line
    return Line(role, tuple(NUMBER.split(text)), tuple(NUMBER.findall(text)))


def _band(asked: Ask, first: int, last: int) -> Band:
    """Make the band between two figures of which the same is said, its numbers formed from both ends."""
    low, high = asked(first), asked(last)
    pairs = zip(low.lines, high.lines, strict=True)
    return Band(first, low.verdict, low.renews, tuple(_line(*pair, first, last) for pair in pairs))


def _line(low: tuple[str, str], high: tuple[str, str], first: int, last: int) -> Line:
    """Form one sentence from what is said at both ends of a band."""
    one, other = _apart(low), _apart(high)
    pairs = [(str(a), str(b)) for a, b in zip(one.numbers, other.numbers, strict=True)]
    numbers: list[Number] = [_formed(*pair, first, last) for pair in pairs]
    for place in range(1, len(numbers)):
        before, unit = numbers[place - 1], BESIDE.fullmatch(one.words[place])
        if unit and isinstance(before, Formed):
            numbers[place] = _beside(before, unit[1], *pairs[place], (first, last))
    return Line(one.role, one.words, tuple(numbers))


def _beside(before: Formed, unit: str, low: str, high: str, ends: tuple[int, int]) -> Number:
    """Form a number that gives the one before it in the other unit; nothing where that is not what is said."""
    at_low = Decimal(low) * MILLIONTHS * 10
    if unit == LengthUnit.MM:
        formed: InMm | InInches = InInches(before.slope, before.constant, len(low.partition(".")[2]))
    else:
        formed = InMm(before.slope, int(at_low) - PER_INCH * before.slope * ends[0])
    is_said = [formed.written(n, 0) for n in ends] == [low, high]
    return formed if is_said else None


def _formed(low: str, high: str, first: int, last: int) -> str | Formed | None:
    """Form one number: the same at both ends, or going with the figure or against it; anything else is not formed."""
    if low == high:
        return low
    at_low, at_high = Decimal(low) * MILLIONTHS, Decimal(high) * MILLIONTHS
    for slope in (1, -1):
        if at_high - at_low == slope * (last - first) and at_low == at_low.to_integral_value():
            return Formed(slope, int(at_low) - slope * first)
    return None


def _is(mine: Number, n: int, decimals: int, said: object) -> bool:
    """Whether a number formed for a figure is the one said; one that is not formed is none that could be wrong."""
    return mine is None or said == (mine if isinstance(mine, str) else mine.written(n, decimals))


def _joined(asked: Ask, bands: list[Band], lasts: list[int], decimals: int) -> tuple[Band, ...]:
    """Join neighbours of which one says what is said of the other too."""
    joined: list[tuple[Band, int]] = []
    for band, last in zip(bands, lasts, strict=True):
        while joined and _says(asked, band, joined[-1][0].start, joined[-1][1], decimals):
            band = Band(joined.pop()[0].start, band.verdict, band.renews, band.lines)  # noqa: PLW2901
        if joined and _says(asked, joined[-1][0], band.start, last, decimals):
            joined[-1] = joined[-1][0], last
        else:
            joined.append((band, last))
    return tuple(band for band, _ in joined)


def _says(asked: Ask, band: Band, first: int, last: int, decimals: int) -> bool:
    """Whether a band says what is said at both ends of another."""
    return all(band.fits(asked(n), n, decimals) for n in (first, last))


def _prove(asked: Ask, bands: tuple[Band, ...], end: int, decimals: int) -> None:
    """Ask in the middle of every band as well; one that says anything else there is not laid."""
    for band, last in zip(bands, [band.start - 1 for band in bands[1:]] + [end], strict=True):
        middle = (band.start + last) // 2
        if not band.fits(asked(middle), middle, decimals):
            raise BandsUnclear(f"something else is said at {middle} millionths than on both sides of it")
