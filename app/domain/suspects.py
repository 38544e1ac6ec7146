"""What the gauges of a running machine say against its own baseline: which stage to look at first, and why."""

from dataclasses import dataclass, field

from app.domain.errors import WearbookError

AS_USUAL = 0.04  # share of an absolute pressure or of free air; what gauges in order and steady running keep to
SAME_CONDITIONS = 0.03  # share by which intake, delivery and speed may differ from the baseline's
WARMER_K = 12.0  # by so much a delivery temperature is up


class NotComparable(WearbookError):
    """The run was not made at the baseline's intake, delivery and speed, or not of the same stages."""


@dataclass(frozen=True)
class RunningState:
    """A machine running steadily: absolute pressures before and after the stages, temperatures, free air."""

    intake_bar: float
    gauges_bar: tuple[float, ...]  # absolute, after each stage; the last is the delivery's
    temperatures_c: tuple[float | None, ...] = ()  # of delivery, stage by stage
    free_air_m3_per_min: float | None = None
    revolutions_per_min: float | None = None
    unsteady: frozenset[int] = field(default_factory=frozenset)  # stages whose gauge swings
    climbing: frozenset[int] = field(default_factory=frozenset)  # stages whose gauge climbs until its valve lifts
    hot_covers: tuple[str, ...] = ()  # valves whose cover is hotter than its fellows', by name

    def __post_init__(self) -> None:
        pressures = (self.intake_bar, *self.gauges_bar)
        if not self.gauges_bar or min(pressures) <= 0 or list(pressures) != sorted(set(pressures)):
            raise NotComparable("Absolute pressures rise from the intake over every stage to the delivery.")

    @property
    def between(self) -> tuple[float, ...]:
        """The pressures between stages, over the intake's."""
        return tuple(one / self.intake_bar for one in self.gauges_bar[:-1])


@dataclass(frozen=True)
class Suspect:
    """One thing to look at: the stage, what of it, why, and how strongly the gauges say so."""

    stage: int
    words: str
    reason: str
    strength: float


def suspects(run: RunningState, baseline: RunningState) -> tuple[Suspect, ...]:
    """Name what may be wrong, the strongest first; nothing where all is as usual.

    Raises NotComparable where the run cannot be held against the baseline.
    """
    _must_be_comparable(run, baseline)
    shifts = [now / then - 1 for now, then in zip(run.between, baseline.between, strict=True)]
    air = _air_shift(run, baseline)
    found = [*_high(run, shifts), *_low(run, shifts, air), *_air_alone(len(run.gauges_bar), shifts, air)]
    found += _warm(run, baseline, has_pressures=bool(found))
    found += [_climbing(stage) for stage in sorted(run.climbing)]
    covers = [(name, f"The cover of {name} is hotter than its fellows.") for name in run.hot_covers]
    found += [Suspect(_stage_of(name), name, reason, 1.0) for name, reason in covers]
    return tuple(sorted(found, key=lambda suspect: -suspect.strength))


def _stage_of(name: str) -> int:
    """Give the stage of a part by its item number, 2 of 2-01; nought where its name has none."""
    number = name.partition("-")[0]
    return int(number) if number.isdecimal() else 0


def _must_be_comparable(run: RunningState, baseline: RunningState) -> None:
    """Refuse a run of other stages, or at another intake, delivery or speed than the baseline's."""
    if len(run.gauges_bar) != len(baseline.gauges_bar):
        raise NotComparable("The baseline has another number of stages.")
    pairs = {
        "intake pressure": (run.intake_bar, baseline.intake_bar),
        "delivery pressure": (run.gauges_bar[-1], baseline.gauges_bar[-1]),
        "speed": (run.revolutions_per_min, baseline.revolutions_per_min),
    }
    for name, (now, then) in pairs.items():
        if now is not None and then is not None and abs(now / then - 1) > SAME_CONDITIONS:
            raise NotComparable(
                f"The {name} is {abs(now / then - 1):.0%} off the baseline's: run again at the baseline's, within "
                f"{SAME_CONDITIONS:.0%}, then compare."
            )


def _air_shift(run: RunningState, baseline: RunningState) -> float | None:
    """Give the change of free air against the baseline, None where either was not taken."""
    if run.free_air_m3_per_min is None or baseline.free_air_m3_per_min is None:
        return None
    return run.free_air_m3_per_min / baseline.free_air_m3_per_min - 1


def _high(run: RunningState, shifts: list[float]) -> list[Suspect]:
    """Take a gauge that stands high: the stage after it does not take away what comes."""
    found = []
    for gauge, shift in enumerate(shifts, start=1):
        if shift > AS_USUAL:
            is_unsteady = gauge in run.unsteady
            words = "suction valve" if is_unsteady else f"valves; or the cooler before it, after stage {gauge}"
            how = f"Gauge {gauge} is {shift:.0%} over the baseline{' and swings' if is_unsteady else ''}"
            found.append(Suspect(gauge + 1, words, f"{how}: what stage {gauge + 1} should take away stays.", shift))
    return found


def _low(run: RunningState, shifts: list[float], air: float | None) -> list[Suspect]:
    """Take gauges low from one on to the last: less comes from the stage before the first of them."""
    first = next((gauge for gauge, shift in enumerate(shifts, start=1) if shift < -AS_USUAL), None)
    if first is None:
        return []
    shift = shifts[first - 1]
    how = f"Gauge {first} is {-shift:.0%} under the baseline"
    how += f", the later ones low too ({_listed(shifts[first:])})" if shifts[first:] else ""
    how += ", earlier ones not" if first > 1 else ""
    how += f"; free air {air:+.0%}" if air is not None else ""
    if first in run.unsteady:
        return [Suspect(first, "delivery valve", f"{how}; it swings: the delivery valve before it.", -shift)]
    words = (
        "valves, rings, choked intake or unloader; or a leak at or before gauge 1"
        if first == 1
        else f"rings blowing to the crankcase; or an open drain, passing safety valve or leaking joint at gauge {first}"
    )
    return [Suspect(first, words, f"{how}.", -shift)]


def _listed(shifts: list[float]) -> str:
    """List shifts in per cent."""
    return ", ".join(f"{shift:+.0%}" for shift in shifts)


def _air_alone(stages: int, shifts: list[float], air: float | None) -> list[Suspect]:
    """Take free air down while every gauge is as usual."""
    if air is None or air >= -AS_USUAL or any(abs(shift) > AS_USUAL for shift in shifts):
        return []
    reason = f"Free air is {-air:.0%} under the baseline, the gauges between stages as usual."
    words = "rings blowing to the crankcase; or a leak after it"
    words += "; with one stage its valves, choked intake or unloader too" if stages == 1 else ""
    return [Suspect(stages, words, reason, -air)]


def _warm(run: RunningState, baseline: RunningState, has_pressures: bool) -> list[Suspect]:
    """Take delivery temperatures that are up while the pressures are as usual."""
    if has_pressures or len(run.temperatures_c) != len(baseline.temperatures_c):
        return []
    pairs = list(zip(run.temperatures_c, baseline.temperatures_c, strict=True))
    rises = {i: now - then for i, (now, then) in enumerate(pairs, start=1) if now is not None and then is not None}
    warm = {stage: rise for stage, rise in rises.items() if rise > WARMER_K}
    if len(warm) == len(rises) > 1:
        least = min(warm.values())
        return [Suspect(0, "cooling", f"Every delivery temperature is up by {least:.0f} K or more.", least / 100)]
    return [
        Suspect(stage, "leak-back at a valve or ring", f"Its delivery is {rise:.0f} K hotter, all else as usual.", 0.1)
        for stage, rise in warm.items()
    ]


def _climbing(stage: int) -> Suspect:
    """Take a gauge that climbs until its safety valve lifts."""
    reason = f"Gauge {stage} climbs until its safety valve lifts: air comes back from stage {stage + 1}."
    return Suspect(stage + 1, "delivery valve", reason, 1.0)
