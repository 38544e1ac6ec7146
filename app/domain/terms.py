"""What a characteristic is judged by: its limits on an occasion, and how near a value is to each of them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from functools import lru_cache

from app.domain.budget import Budget
from app.domain.judgement import makeable, margin_mm
from app.domain.limits import Characteristic, Limit, LimitSheet, Measure, Part, Rule, Side
from app.domain.measured import Gauging
from app.domain.numbers import Length
from app.domain.verdicts import Verdict

made_once = lru_cache(maxsize=16)(makeable)  # for each feeler set


@dataclass(frozen=True)
class Terms:
    """What a characteristic is judged by: the sheet, the part, the limits of the occasion and the base size."""

    sheet: LimitSheet
    part: Part
    characteristic: Characteristic
    limits: tuple[Limit, ...]
    base: Length | None = None
    by_level: Mapping[str, tuple[Limit, ...]] = field(default_factory=dict)  # where a level has limits of its own

    def limits_at(self, level: str) -> tuple[Limit, ...]:
        """The limits that hold at one level."""
        return self.by_level.get(level, self.limits)

    @property
    def base_mm(self) -> Decimal | None:
        """The base size in millimetres, where there is one."""
        return self.base.mm if self.base else None

    @property
    def gauging(self) -> Gauging:
        """Where and with what the sizes are gauged."""
        return Gauging(self.sheet, self.part, self.characteristic)

    @property
    def is_guarded(self) -> bool:
        """Whether the sheet asks for the guarded rule, which alone needs the uncertainty to judge."""
        return self.sheet.rule is Rule.GUARDED

    def proves(self, budget: Budget | None) -> bool:
        """Whether a value within its limit is proven: under the guarded rule nothing is without an uncertainty."""
        return not self.is_guarded or budget is not None

    @property
    def makeable_mm(self) -> tuple[Decimal, ...]:
        """Every thickness the sheet's feeler set makes."""
        return made_once(self.sheet.leaves_mm)

    def room(self, value_mm: Decimal, limit: Limit) -> Decimal | None:
        """Give the share of the way to a limit that is left; None of a bound that is only asked about.

        Formula: share = margin / way; way = limit - new minimum, or new maximum - limit, of a size with a new range;
        |limit - base size| of a diameter; the limit itself of all else, which begins at nothing

        Parameters:
            value_mm [mm]: the value compared.
            limit [mm]: the limit.

        Returns:
            the share left [-]: 1 at new, 0 on the limit, below 0 beyond it; it orders reasons and decides nothing.

        Safe side: neither; a part's reason is the one with the least room left.
        Valid: any limit over nothing.

        >>> from app.domain.limits import Method
        >>> from app.domain.numbers import millimetres
        >>> from app.domain.units import LengthUnit
        >>> limit = Limit(Measure.VALUE, Side.UPPER, millimetres("0.65"))
        >>> gap = Characteristic("gap", "Gap", Method.FEELER, LengthUnit.MM, 2)
        >>> Terms(None, None, gap, (limit,)).room(Decimal("0.52"), limit)
        Decimal('0.2')

        Sources:
            1. Arithmetic.
        """
        if limit.outcome is Verdict.UNDECIDED:
            return None
        return margin_mm(value_mm, limit) / (self._way_mm(limit) or Decimal(1))

    def _way_mm(self, limit: Limit) -> Decimal:
        """How far it is from new to the limit."""
        size_mm, new = limit.size.mm, self.characteristic.new
        if limit.measure is Measure.VALUE and new is not None:
            way_mm = size_mm - new.lower.mm if limit.side is Side.UPPER else new.upper.mm - size_mm
            return way_mm if way_mm > 0 else size_mm
        if limit.measure is Measure.VALUE and self.base_mm is not None:
            return abs(size_mm - self.base_mm)
        return size_mm
