"""How the invented fitter writes a size down: rounded as the instrument is read, typed as a text."""

from dataclasses import dataclass, replace
from decimal import ROUND_HALF_EVEN, Decimal
from random import Random

from app.domain.entries import Typed
from app.domain.limits import Characteristic, Method, Part, PartKind
from app.domain.numbers import Length
from app.domain.readings import Kind
from app.domain.units import LengthUnit, from_mm

INSTRUMENTS = {
    Method.FEELER: "F-07",
    Method.BORE_GAUGE: "B-03",
    Method.MICROMETER: "M-11",
    Method.DEPTH_GAUGE: "D-02",
    Method.LEAD_WIRE: "M-11",  # the wire is squeezed, then measured
    Method.CALIPER: "C-05",
}
READ_AT_A_TEMPERATURE = (Method.BORE_GAUGE, Method.MICROMETER)
LEAF_STEP = {LengthUnit.MM: Decimal("0.05"), LengthUnit.INCH: Decimal("0.001")}
COARSE_STEP = {LengthUnit.MM: Decimal("0.10"), LengthUnit.INCH: Decimal("0.003")}
# Read to 0.0005 in although the sheet shows 0.0001 in.
HALF_THOUSANDTHS = (PartKind.CYLINDER, PartKind.PISTON, PartKind.RING)
LEAVES_SHARE, COMMA_SHARE = 0.35, 0.1


@dataclass(frozen=True)
class Hand:
    """How one size is about to be written: by which chance, and whether coarsely or from a set size."""

    draw: Random
    is_coarse: bool = False
    set_size: Length | None = None


def written(
    blank: Typed, part: Part, characteristic: Characteristic, size_mm: float, bounds_mm: list[Decimal], hand: Hand
) -> Typed:
    """Fill an empty entry in with a true size, in the way this size is taken."""
    size = from_mm(Decimal(repr(size_mm)), characteristic.unit)
    blank = replace(blank, instrument=INSTRUMENTS[characteristic.method])
    if hand.set_size is not None:
        off = _read(size - hand.set_size.value, part, characteristic)
        return replace(blank, kind=Kind.DIAL, value=_figures(off, hand.draw, "+"), set_size=hand.set_size.typed)
    if characteristic.key == "closed-gap" and (hand.is_coarse or hand.draw.random() < LEAVES_SHARE):
        goes, stops = _leaves(size, characteristic.unit, is_coarse=hand.is_coarse)
        if hand.is_coarse or not _straddles(goes, stops, characteristic.unit, bounds_mm):
            return replace(
                blank, kind=Kind.PAIR, goes=_figures(goes, hand.draw), does_not_go=_figures(stops, hand.draw)
            )
    return replace(blank, kind=Kind.SIZE, value=_figures(_read(size, part, characteristic), hand.draw))


def _read(size: Decimal, part: Part, characteristic: Characteristic) -> Decimal:
    """Round a size to what the instrument shows."""
    last_place = Decimal(1).scaleb(-characteristic.decimals)
    is_half = characteristic.unit is LengthUnit.INCH and characteristic.decimals == 4 and part.kind in HALF_THOUSANDTHS
    step = last_place * 5 if is_half else last_place
    return (size / step).quantize(Decimal(1), rounding=ROUND_HALF_EVEN) * step


def _leaves(size: Decimal, unit: LengthUnit, *, is_coarse: bool) -> tuple[Decimal, Decimal]:
    """Give the leaf that goes and the next one tried, which does not."""
    goes = size // LEAF_STEP[unit] * LEAF_STEP[unit]
    return goes, goes + (COARSE_STEP if is_coarse else LEAF_STEP)[unit]


def _straddles(goes: Decimal, stops: Decimal, unit: LengthUnit, bounds_mm: list[Decimal]) -> bool:
    """Whether a bound lies between the leaves: the fitter then stacks leaves and takes the size instead."""
    return any(goes <= from_mm(bound_mm, unit) < stops for bound_mm in bounds_mm)


def _figures(size: Decimal, draw: Random, sign: str = "") -> str:
    """Write the figures as they are typed, now and then with a decimal comma."""
    text = format(size, f"{sign}f")
    return text.replace(".", ",") if draw.random() < COMMA_SHARE else text
