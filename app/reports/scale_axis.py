"""A straight axis with round ticks, and how much room lettering takes on it."""

import math
from dataclasses import dataclass
from decimal import Decimal

LETTER_WIDTH_PX = 8.6
SMALLEST_TICK_GAP_PX = 58.0


@dataclass(frozen=True)
class Axis:
    """A run of values laid along a run of pixels."""

    low: float
    high: float
    start_px: float
    end_px: float
    step: float

    def place(self, value: Decimal | float) -> float:
        """Give the pixel a value stands at."""
        share = (float(value) - self.low) / (self.high - self.low)
        return self.start_px + share * (self.end_px - self.start_px)

    def ticks(self) -> list[float]:
        """List the round values on the axis."""
        count = round((self.high - self.low) / self.step)
        return [round(self.low + number * self.step, 9) for number in range(count + 1)]

    @property
    def decimals(self) -> int:
        """Tell how many decimals the ticks need."""
        return max(0, -math.floor(math.log10(self.step) + 1e-9))


def round_step(least: float) -> float:
    """Give the smallest step of 1, 2 or 5 times a power of ten that is not under the least."""
    power = 10.0 ** math.floor(math.log10(least))
    return next(factor * power for factor in (1, 2, 5, 10) if factor * power >= least * (1 - 1e-9))


def axis_over(values: list[float], start_px: float, end_px: float, tick_gap_px: float = SMALLEST_TICK_GAP_PX) -> Axis:
    """Lay an axis over values: from nought where they are far from each other, else close around them."""
    low, high = min(values), max(values)
    spread = high - low or abs(high) or 1.0
    from_nought = 0 <= low < 0.5 * high or high == low
    low = 0.0 if from_nought else low - 0.2 * spread
    high = high + 0.2 * spread
    step = round_step((high - low) * tick_gap_px / abs(end_px - start_px))
    low, high = math.floor(low / step + 1e-9) * step, math.ceil(high / step - 1e-9) * step
    return Axis(low, high, start_px, end_px, step)


def text_width_px(text: str) -> float:
    """Estimate the room a caption of 18 px takes; on the safe side for all the faces of the house."""
    return len(text) * LETTER_WIDTH_PX
