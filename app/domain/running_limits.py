"""What a limit sheet says of the running machine: rated figures, gauges, temperatures, oil, and in which units."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

PASCAL_PER_PSI = Decimal("6894.757")
CUBIC_METRES_PER_CUBIC_FOOT = Decimal("0.028316846592")


class PressureUnit(StrEnum):
    """The unit of pressures; temperatures and volumes go with it."""

    BAR = "bar"
    PSI = "psi"

    @property
    def temperature(self) -> str:
        """The unit of temperatures beside it."""
        return "°C" if self is PressureUnit.BAR else "°F"

    @property
    def volume(self) -> str:
        """The unit of volumes beside it."""
        return "m³" if self is PressureUnit.BAR else "ft³"

    @property
    def flow(self) -> str:
        """The unit of free air beside it."""
        return "m³/min" if self is PressureUnit.BAR else "cfm"

    def bar(self, pressure: Decimal) -> Decimal:
        """Give a pressure in bar.

        Formula: bar = psi x 6894.757 / 100 000 for psi

        Parameters:
            pressure [bar or psi]: the pressure in this unit.

        Returns:
            the pressure [bar].

        Safe side: exact to the digits of the source, so neither.
        Valid: gauge stays gauge, absolute stays absolute.

        >>> PressureUnit.PSI.bar(Decimal(100))
        Decimal('6.894757')

        Sources:
            1. NIST Special Publication 811 (2008), appendix B.8: 1 psi = 6894.757 Pa.
        """
        return pressure if self is PressureUnit.BAR else pressure * PASCAL_PER_PSI / 100_000

    def celsius(self, temperature: Decimal) -> Decimal:
        """Give a temperature in degrees Celsius.

        Formula: degC = (degF - 32) x 5 / 9 for degF

        Parameters:
            temperature [degC or degF]: the temperature in this unit.

        Returns:
            the temperature [degC].

        Safe side: exact, so neither.
        Valid: any temperature.

        >>> PressureUnit.PSI.celsius(Decimal(212))
        Decimal('100')

        Sources:
            1. NIST Special Publication 811 (2008), appendix B.8.
        """
        return temperature if self is PressureUnit.BAR else (temperature - 32) * 5 / 9

    def cubic_metres(self, volume: Decimal) -> Decimal:
        """Give a volume, or a flow of it, in cubic metres.

        Formula: m^3 = ft^3 x 0.3048^3 for cubic feet

        Parameters:
            volume [m^3 or ft^3]: the volume in this unit.

        Returns:
            the volume [m^3].

        Safe side: exact, so neither.
        Valid: any volume.

        >>> PressureUnit.PSI.cubic_metres(Decimal(1000))
        Decimal('28.316846592000')

        Sources:
            1. NIST Special Publication 811 (2008), appendix B.8: 1 ft = 0.3048 m exactly.
        """
        return volume if self is PressureUnit.BAR else volume * CUBIC_METRES_PER_CUBIC_FOOT


@dataclass(frozen=True)
class Span:
    """A lower and an upper end; on either is within."""

    lower: Decimal
    upper: Decimal


@dataclass(frozen=True)
class StageRunning:
    """What one stage shows at working pressure; None where the sheet does not say."""

    gauge: Span | None = None
    delivery_temperature: Decimal | None = None  # at most
    clearance: Decimal | None = None  # clearance volume over swept volume, for the estimate alone


@dataclass(frozen=True)
class Proving:
    """What the running machine is proved against; None where the sheet does not say."""

    unit: PressureUnit
    speed: Decimal | None = None  # rated, revolutions a minute
    free_air: Decimal | None = None  # rated
    least_free_air: Decimal | None = None  # share of the rated, or of the baseline, that must be delivered
    oil_pressure: Span | None = None
    oil_within_s: Decimal | None = None
    volume: Decimal | None = None  # of receiver and pipes, shut off for the pump-up test
