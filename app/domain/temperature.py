"""What heat does to a size: lengths brought to 20 degC, gaps corrected, expansion coefficients with sources."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from app.domain.errors import WearbookError
from app.domain.sizes import positive_mm

PI = Decimal("3.1415926535897932384626433832795028842")
REFERENCE_C = Decimal(20)
GAUGING_RANGE_C = (Decimal(-20), Decimal(120))
WORKING_RANGE_C = (Decimal(-20), Decimal(300))
LARGEST_EXPANSION_PER_K = Decimal("0.0005")


class TemperatureOutOfRange(WearbookError):
    """A temperature was given at which nobody gauges, or no ring works."""


class ExpansionNotPlausible(WearbookError):
    """An expansion coefficient was given that no solid has; most often the 1e-6 was left out."""


class Material(StrEnum):
    """Materials whose expansion is known here; the value is the word shown on pages."""

    GREY_IRON = "grey iron"
    STEEL_1020 = "steel 1020"
    STEEL_4140 = "steel 4140"
    ALUMINIUM_356 = "aluminium 356"
    BEARING_BRONZE = "bearing bronze"
    FILLED_PTFE = "filled PTFE"


@dataclass(frozen=True)
class ExpansionCoefficient:
    """How much a material grows per kelvin, and who says so."""

    per_k: Decimal
    source: str


_CALLISTER = "Callister, Materials Science and Engineering, table B.6"

EXPANSION = {
    Material.GREY_IRON: ExpansionCoefficient(Decimal("11.4e-6"), _CALLISTER),
    Material.STEEL_1020: ExpansionCoefficient(Decimal("11.7e-6"), _CALLISTER),
    Material.STEEL_4140: ExpansionCoefficient(Decimal("12.3e-6"), _CALLISTER),
    Material.ALUMINIUM_356: ExpansionCoefficient(Decimal("21.5e-6"), _CALLISTER),
    Material.BEARING_BRONZE: ExpansionCoefficient(Decimal("18.0e-6"), _CALLISTER),
    Material.FILLED_PTFE: ExpansionCoefficient(Decimal("60e-6"), "from memory; depends on the filler"),
}


@dataclass(frozen=True)
class Warmth:
    """The temperature of a part or instrument together with the expansion of what it is made of."""

    temperature_c: Decimal
    expansion_per_k: Decimal

    def __post_init__(self) -> None:
        _require_within(self.temperature_c, WORKING_RANGE_C)
        plausible = self.expansion_per_k.is_finite() and 0 <= self.expansion_per_k <= LARGEST_EXPANSION_PER_K
        if not plausible:
            raise ExpansionNotPlausible(
                f"an expansion of {self.expansion_per_k} per kelvin is not plausible; "
                f"0 to {LARGEST_EXPANSION_PER_K} is allowed, grey iron has 0.0000114"
            )

    @property
    def strain(self) -> Decimal:
        """Growth since 20 degC per unit of length, a x (t - 20) [-]."""
        return self.expansion_per_k * (self.temperature_c - REFERENCE_C)


def length_at_20_mm(reading_mm: Decimal, part: Warmth, instrument: Warmth | None = None) -> Decimal:
    """Bring a length to 20 degC, the part warm and the instrument too unless it is left out.

    Formula: L20 = L x (1 + a_i x (t_i - 20) - a_p x (t_p - 20)); a_i and a_p are the expansions of instrument and part.

    Parameters:
        reading_mm [mm]: the length as read.
        part [degC, 1/K]: temperature and expansion of the part.
        instrument [degC, 1/K]: the same of the instrument, or None where it is true at its own temperature.

    Returns:
        the length the part has at 20 degC [mm].

    Safe side: neither; terms of second order are left out, below 0.001 % of the length.
    Valid: both between -20 and 120 degC, each at one temperature all through.

    >>> warm_iron = Warmth(Decimal(35), EXPANSION[Material.GREY_IRON].per_k)
    >>> round(length_at_20_mm(Decimal("200.0342"), warm_iron), 4)
    Decimal('200.0000')

    Sources:
        1. ISO 1: sizes are stated at 20 degC.
        2. Callister, Materials Science and Engineering, table B.6 (coefficients).
    """
    _require_within(part.temperature_c, GAUGING_RANGE_C)
    if instrument is None:
        return positive_mm(reading_mm, "the length read") * (1 - part.strain)
    _require_within(instrument.temperature_c, GAUGING_RANGE_C)
    return positive_mm(reading_mm, "the length read") * (1 + instrument.strain - part.strain)


def bore_at_20_mm(reading_mm: Decimal, part: Warmth, setting_master: Warmth) -> Decimal:
    """Bring a bore gauge's reading to 20 degC; the gauge has the warmth of the master it was set on.

    Formula: L20 = L x (1 + a_m x (t_m - 20) - a_p x (t_p - 20)); a_m and t_m are those of the setting master.

    Parameters:
        reading_mm [mm]: the diameter as read.
        part [degC, 1/K]: temperature and expansion of the cylinder.
        setting_master [degC, 1/K]: the same of the ring or micrometer, at the time the gauge was set on it.

    Returns:
        the diameter the bore has at 20 degC [mm].

    Safe side: neither; a master set cold and a warm bore make the bore read large.
    Valid: both between -20 and 120 degC, the gauge not warmed by hand or bore since it was set.

    >>> iron, steel = EXPANSION[Material.GREY_IRON].per_k, EXPANSION[Material.STEEL_1020].per_k
    >>> round(bore_at_20_mm(Decimal("200.03"), Warmth(Decimal(35), iron), Warmth(Decimal(20), steel)), 4)
    Decimal('199.9958')

    Sources:
        1. ISO 1: sizes are stated at 20 degC.
    """
    return length_at_20_mm(reading_mm, part, setting_master)


def gap_at_20_mm(
    gap_mm: Decimal,
    bore_mm: Decimal,
    cylinder_expansion_per_k: Decimal,
    ring_expansion_per_k: Decimal,
    temperature_c: Decimal,
) -> Decimal:
    """Bring a closed gap, gauged with ring and cylinder equally warm, to 20 degC.

    Formula: gap20 = gap - pi x D x (a_cylinder - a_ring) x (t - 20)

    Parameters:
        gap_mm [mm]: the closed gap as gauged.
        bore_mm [mm]: the bore diameter D.
        cylinder_expansion_per_k [1/K]: expansion of the cylinder.
        ring_expansion_per_k [1/K]: expansion of the ring.
        temperature_c [degC]: temperature of both.

    Returns:
        the closed gap at 20 degC [mm]; below zero would mean that the ends meet before 20 degC is reached.

    Safe side: neither; ring and cylinder of one material need no correction at all.
    Valid: -20 to 120 degC. A gap never scales as a length does.

    >>> aluminium, iron = EXPANSION[Material.ALUMINIUM_356].per_k, EXPANSION[Material.GREY_IRON].per_k
    >>> round(gap_at_20_mm(Decimal("0.30"), Decimal(78), aluminium, iron, Decimal(35)), 4)
    Decimal('0.2629')

    Sources:
        1. Geometry of the circle: the circumference grows by pi times the diameter.
    """
    _require_within(temperature_c, GAUGING_RANGE_C)
    cylinder, ring = Warmth(temperature_c, cylinder_expansion_per_k), Warmth(temperature_c, ring_expansion_per_k)
    return gap_mm - PI * positive_mm(bore_mm, "the bore") * (cylinder.strain - ring.strain)


def _require_within(temperature_c: Decimal, allowed_c: tuple[Decimal, Decimal]) -> None:
    """Refuse a temperature outside the allowed range, naming the range."""
    lowest_c, highest_c = allowed_c
    if not temperature_c.is_finite() or not lowest_c <= temperature_c <= highest_c:
        raise TemperatureOutOfRange(
            f"{temperature_c} degC is outside what is allowed here: {lowest_c} to {highest_c} degC"
        )
