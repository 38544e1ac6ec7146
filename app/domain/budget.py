"""The uncertainty budget of a measurement: its named contributions, their sum and the expanded uncertainty."""

from dataclasses import dataclass
from decimal import Decimal
from math import floor
from statistics import NormalDist

from app.domain.errors import WearbookError
from app.domain.student_t import DegreesOfFreedomMissing, student_t_quantile
from app.domain.uncertainty import require_not_negative

# The share of a normal distribution within two standard deviations, so that many readings give U = 2u.
LEVEL_OF_TWO_U = 2 * NormalDist().cdf(2) - 1


class BudgetNotClear(WearbookError):
    """A budget has no contribution, or two of one name."""


@dataclass(frozen=True)
class Contribution:
    """One source of uncertainty; degrees of freedom None means as good as certain."""

    name: str
    u_mm: Decimal
    degrees_of_freedom: Decimal | None = None

    def __post_init__(self) -> None:
        require_not_negative(self.u_mm, self.name)
        if self.degrees_of_freedom is not None and self.degrees_of_freedom < 1:
            raise DegreesOfFreedomMissing(f"{self.name} needs at least two readings")


@dataclass(frozen=True)
class Budget:
    """All sources of uncertainty of one measurement."""

    contributions: tuple[Contribution, ...]

    def __post_init__(self) -> None:
        names = {contribution.name for contribution in self.contributions}
        if not names or len(names) != len(self.contributions):
            raise BudgetNotClear("a budget needs at least one contribution, each with a name of its own")

    @property
    def combined_u_mm(self) -> Decimal:
        """Combine the contributions in quadrature.

        Formula: u = sqrt(sum of u_i^2)

        Returns:
            the combined standard uncertainty [mm].

        Safe side: larger.
        Valid: contributions that do not depend on each other.

        >>> Budget((Contribution("setting", Decimal("0.003")), Contribution("display", Decimal("0.004")))).combined_u_mm
        Decimal('0.005')

        Sources:
            1. JCGM 100:2008 (GUM), 5.1.2.
        """
        return sum((c.u_mm**2 for c in self.contributions), Decimal(0)).sqrt()

    @property
    def effective_degrees_of_freedom(self) -> Decimal | None:
        """Work out how many degrees of freedom the combined uncertainty has.

        Formula: v_eff = u^4 / sum of (u_i^4 / v_i), Welch-Satterthwaite

        Returns:
            the effective degrees of freedom [-], or None where nothing limits them.

        Safe side: smaller.
        Valid: contributions that do not depend on each other.

        >>> Budget((Contribution("five readings", Decimal("0.002"), Decimal(4)),)).effective_degrees_of_freedom
        Decimal('4')

        Sources:
            1. JCGM 100:2008 (GUM), G.4.1, formula G.2b.
        """
        limited = [(c.u_mm, c.degrees_of_freedom) for c in self.contributions if c.degrees_of_freedom is not None]
        divisor = sum((u_mm**4 / degrees for u_mm, degrees in limited), Decimal(0))
        fourth_power = sum((c.u_mm**2 for c in self.contributions), Decimal(0)) ** 2
        return fourth_power / divisor if divisor else None

    def coverage_factor(self, level: float = LEVEL_OF_TWO_U) -> Decimal:
        """Give the factor from standard to expanded uncertainty.

        Formula: k = t((1 + level) / 2, v_eff cut to a whole number); 2 at the usual level where nothing limits v_eff.

        Parameters:
            level [-]: the level of confidence; the usual one gives U = 2u for many readings.

        Returns:
            the coverage factor k [-], to six decimals.

        Safe side: larger; v_eff is cut down, not rounded.
        Valid: a combined value near to normal.

        >>> Budget((Contribution("certificate", Decimal("0.001")),)).coverage_factor()
        Decimal('2.000000')

        Sources:
            1. JCGM 100:2008 (GUM), G.4.1 with note 1, and table G.2.
        """
        degrees = self.effective_degrees_of_freedom
        probability = (1 + level) / 2
        if degrees is None:
            factor = NormalDist().inv_cdf(probability)
        else:
            # Rounded first, since division may have left 3.999... where 4 was meant.
            factor = student_t_quantile(probability, floor(round(degrees, 9)))
        return Decimal(f"{factor:.6f}")

    def expanded_u_mm(self, level: float = LEVEL_OF_TWO_U) -> Decimal:
        """Give the expanded uncertainty.

        Formula: U = k x u

        Parameters:
            level [-]: the level of confidence; the usual one gives U = 2u for many readings.

        Returns:
            the expanded uncertainty U [mm].

        Safe side: larger.
        Valid: as for the coverage factor.

        >>> Budget((Contribution("certificate", Decimal("0.001")),)).expanded_u_mm()
        Decimal('0.002000000')

        Sources:
            1. JCGM 100:2008 (GUM), 6.2.1.
        """
        return self.coverage_factor(level) * self.combined_u_mm
