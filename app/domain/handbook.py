"""Rules of thumb from handbooks: a factor times a size, with the source that gives it."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from app.domain.errors import WearbookError
from app.domain.sizes import positive_mm

BLOCH_HOEFNER = "Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance"
COMMON_PRACTICE = "common practice, no source"


class BasisMissing(WearbookError):
    """A rule was asked for without the size that it multiplies."""


class Basis(StrEnum):
    """Which size a rule multiplies; the value is the word shown on pages."""

    BORE = "nominal bore"
    STROKE = "stroke"
    RING_WIDTH = "ring width"
    JOURNAL = "journal diameter"
    NEW_GAP = "new closed gap"


@dataclass(frozen=True)
class RuleOfThumb:
    """One rule: so much per unit of its basis, perhaps never below a least or above a greatest value."""

    measure: str
    per_unit: Decimal
    basis: Basis
    source: str
    at_least_mm: Decimal | None = None
    at_most_mm: Decimal | None = None

    def size_mm(self, basis_mm: Decimal | None) -> Decimal:
        """Work the rule out for one machine.

        Formula: size = per unit x basis, raised to the least value or lowered to the greatest where the rule has one.

        Parameters:
            basis_mm [mm]: the size the rule multiplies, or None where the sheet does not give it.

        Returns:
            what the rule says [mm].

        Safe side: none by itself, a handbook figure only illustrates; the maker's limit comes first.
        Valid: any basis above zero; without a basis the rule is refused, not guessed.

        >>> rule = RuleOfThumb("ovality", Decimal("0.001"), Basis.BORE, "p. 259", at_most_mm=Decimal("0.381"))
        >>> rule.size_mm(Decimal("100")), rule.size_mm(Decimal("500"))
        (Decimal('0.100'), Decimal('0.381'))

        Sources:
            1. Each rule carries its own, with the page.
        """
        if basis_mm is None:
            raise BasisMissing(f"{self.measure} goes by the {self.basis}; the sheet does not give it")
        size_mm = self.per_unit * positive_mm(basis_mm, f"the {self.basis}")
        if self.at_least_mm is not None:
            size_mm = max(size_mm, self.at_least_mm)
        return size_mm if self.at_most_mm is None else min(size_mm, self.at_most_mm)
