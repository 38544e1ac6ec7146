"""The worst ring gap of each stage over operating hours, which tells best how a machine wears."""

from collections.abc import Iterable, Sequence
from itertools import groupby

from app.actions.past_overhauls import PastOverhaul
from app.actions.trends import LifeReading, Trend, at_place, life_readings, limits_then
from app.actions.verdicts_then import verdict_of_last
from app.domain.limits import Characteristic, LimitSheet, Measure, Part, PartKind, Side, Stage
from app.domain.readings import Place

CLOSED_GAP = "closed-gap"


def ring_trends(past: Sequence[PastOverhaul], sheet: LimitSheet) -> tuple[Trend, ...]:
    """One trend for each stage; where a stage has rings of two kinds, one for each kind."""
    kinds = [(stage, rings) for stage in sheet.stages for rings in _kinds(stage)]
    trends = [_trend(past, stage, rings) for stage, rings in kinds]
    return tuple(trend for trend in trends if trend.readings)


def _kinds(stage: Stage) -> list[list[Part]]:
    """Gather the rings of a stage by their closed gap: rings with another limit are another kind."""
    rings = [part for part in stage.parts if part.kind is PartKind.RING and part.characteristic(CLOSED_GAP)]
    return [list(alike) for _, alike in groupby(rings, key=lambda ring: ring.characteristic(CLOSED_GAP))]


def _trend(past: Sequence[PastOverhaul], stage: Stage, rings: list[Part]) -> Trend:
    """Follow the worst gap of rings of one kind."""
    gap, readings = _gap(rings[0]), _worst(past, _readings(past, rings))
    name = "ring" if len(_kinds(stage)) == 1 else rings[0].name.rstrip(" 0123456789").lower()
    return Trend(
        f"Stage {stage.number}, worst {name} gap",
        gap,
        readings,
        limits_then(past, rings[0], CLOSED_GAP, Measure.VALUE, Side.UPPER),
        verdict_of_last(past, readings, [ring.ref for ring in rings], CLOSED_GAP),
    )


def _gap(ring: Part) -> Characteristic:
    """The closed gap of a ring."""
    gap = ring.characteristic(CLOSED_GAP)
    assert gap is not None  # noqa: S101 - only rings that have it are gathered
    return gap


def _readings(past: Sequence[PastOverhaul], rings: list[Part]) -> list[LifeReading]:
    """Every closed gap of these rings, at every level."""
    places = [(ring, Place(ring.ref, CLOSED_GAP, *where)) for ring in rings for where in _gap(ring).places]
    return [reading for ring, place in places for reading in life_readings(past, ring.ref, at_place(place))]


def _worst(past: Sequence[PastOverhaul], readings: Iterable[LifeReading]) -> tuple[LifeReading, ...]:
    """Keep the widest gap of each opening, before and after the work."""
    worst: dict[tuple[int, int], LifeReading] = {}
    for reading in readings:
        opening = (reading.overhaul_number, reading.life)
        if opening not in worst or reading.size_mm > worst[opening].size_mm:
            worst[opening] = reading
    by_day = {each.overhaul.number: day for day, each in enumerate(past)}
    return tuple(worst[opening] for opening in sorted(worst, key=lambda opening: (by_day[opening[0]], opening[1])))
