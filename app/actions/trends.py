"""How a size of a part went over operating hours: its readings by life, and the limit as it stood at each opening."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from app.actions.past_overhauls import PastOverhaul
from app.domain.limits import Characteristic, Limit, Measure, Part, Side
from app.domain.readings import Occasion, Place, Reading
from app.domain.verdicts import Verdict
from app.domain.wear import (
    Forecast,
    Life,
    LimitSide,
    NoForecast,
    SizeReading,
    forecast_last_interval,
    forecast_since_new,
    governing_forecast,
)

Gauged = Callable[[PastOverhaul, Occasion], Decimal | None]  # a size [mm] of one opening, before or after the work


@dataclass(frozen=True)
class LifeReading:
    """A size at its operating hours, in the life of the part it was taken on; `began` says how that life began.

    A life that began before the book is 1 and has no beginning.
    """

    operating_hours: Decimal
    size_mm: Decimal
    life: int
    began: str
    overhaul_number: int
    occasion: Occasion


@dataclass(frozen=True)
class LimitThen:
    """A limit as it stood at an opening."""

    operating_hours: Decimal
    limit: Limit


@dataclass(frozen=True)
class Ahead:
    """A size at some hours to come [mm], with the band in which a further reading is expected, where there is one."""

    operating_hours: Decimal
    size_mm: Decimal
    low_mm: Decimal | None = None
    high_mm: Decimal | None = None


@dataclass(frozen=True)
class Trend:
    """A size over operating hours, the oldest reading first."""

    title: str
    characteristic: Characteristic
    readings: tuple[LifeReading, ...]
    limits: tuple[LimitThen, ...]
    verdict: Verdict = Verdict.NOT_GAUGED
    has_new_range: bool = True
    ahead: Ahead | None = None

    @property
    def limit(self) -> Limit | None:
        """The limit as it stands now."""
        return self.limits[-1].limit if self.limits else None

    @property
    def forecast(self) -> Forecast | NoForecast | None:
        """When the limit is reached if wear goes on as it did in this life; None where no limit bounds the size."""
        limit = self.limit
        if limit is None or limit.measure is not Measure.VALUE or not self.readings:
            return None
        now = self.readings[-1].life
        of_life = [r for r in self.readings if r.life == now and r.size_mm > 0]
        life = Life(tuple(SizeReading(r.operating_hours, r.size_mm) for r in of_life))
        side = LimitSide.UPPER if limit.side is Side.UPPER else LimitSide.LOWER
        return governing_forecast([forecast(life, limit.size.mm, side) for forecast in FORECASTS])


FORECASTS = (forecast_since_new, forecast_last_interval)


def gauged_mm(reading: Reading | None) -> Decimal | None:
    """Give the size of a reading; a gap between leaves counts by the leaf that goes, which is what is proven."""
    if reading is None:
        return None
    return reading.goes.mm if reading.goes else reading.size_mm


def at_place(place: Place) -> Gauged:
    """Look at one place."""
    return lambda past, occasion: gauged_mm(past.entry(occasion, place))


def life_readings(past: Sequence[PastOverhaul], ref: str, gauged: Gauged) -> tuple[LifeReading, ...]:
    """Follow a size of a part through its lives; renewed or reworked, it begins a new one."""
    readings: list[LifeReading] = []
    life, began = 1, ""
    for each in past:
        overhaul = each.overhaul
        for occasion in Occasion:
            if occasion is Occasion.AS_FITTED and each.new_life(ref):
                life, began = life + 1, f"{each.new_life(ref)} at overhaul {overhaul.number}"
            size_mm = gauged(each, occasion)
            if size_mm is not None:
                readings.append(LifeReading(overhaul.hours, size_mm, life, began, overhaul.number, occasion))
    return tuple(readings)


def limits_then(
    past: Sequence[PastOverhaul], part: Part, key: str, measure: Measure, side: Side
) -> tuple[LimitThen, ...]:
    """Give a limit as it stood at each opening, once where it stayed the same."""
    steps: list[LimitThen] = []
    for each in past:
        then = each.part(part.ref)
        characteristic = then.characteristic(key) if then else None
        if then is None or characteristic is None:
            continue
        limit = find_limit(each.terms(then, characteristic, Occasion.AS_FOUND).limits, measure, side)
        if limit is not None and (not steps or steps[-1].limit.size.mm != limit.size.mm):
            steps.append(LimitThen(each.overhaul.hours, limit))
    return tuple(steps)


def find_limit(limits: Sequence[Limit], measure: Measure, side: Side) -> Limit | None:
    """Find the first limit of a measure on one side."""
    return next((limit for limit in limits if limit.measure is measure and limit.side is side), None)
