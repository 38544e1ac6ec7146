"""Whether a run proves the machine: figures held to the sheet, free air to rated and baseline, and the suspects."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from app.domain.compression import CompressionImpossible, StageSize, estimated_pressures_pa
from app.domain.limits import LimitSheet, Stage
from app.domain.pump_up import FEWEST_RUNS, Delivered, IntakeState, PumpUpRun, RunImpossible, delivered
from app.domain.running import Figures, GaugeRead, PumpUp, Run, Steadiness
from app.domain.running_limits import PressureUnit, Proving, Span
from app.domain.suspects import NotComparable, RunningState, Suspect, suspects

KELVIN = 273.15
USUAL_CLEARANCE = 0.05
PA_PER_BAR = 1e5


@dataclass(frozen=True)
class Line:
    """One figure of a run: what was read, what the sheet says, and whether it is within; None where it says nothing."""

    name: str
    reading: str
    limit: str
    is_within: bool | None
    baseline: str = ""


@dataclass(frozen=True)
class Proof:
    """What a run says: line by line, the free air, and against the baseline the suspects, or why there are none."""

    lines: tuple[Line, ...]
    free_air: Delivered | None
    suspects: tuple[Suspect, ...]
    no_suspects: str  # why none are named, where that is not because all is as usual
    estimate: tuple[str, ...]  # pressures from the swept volumes, only while there is no baseline

    @property
    def outside(self) -> tuple[Line, ...]:
        """The lines that are not within what the sheet says."""
        return tuple(line for line in self.lines if line.is_within is False)

    @property
    def is_proved(self) -> bool:
        """Whether nothing is outside."""
        return not self.outside


def prove(run: Run, sheet: LimitSheet, baseline: Run | None) -> Proof:
    """Hold a run to the sheet, and to the machine's own baseline where there is one."""
    air = free_air(run.figures, sheet.proving)
    lines = (
        *_oil(run.figures, sheet.proving),
        *_stages(run.figures, sheet, baseline),
        *_air(run, air, sheet, baseline),
    )
    if baseline is None:
        words = "No run of this machine is its baseline yet: an estimate is shown, and no suspect is named."
        return Proof(lines, air, (), words, _estimate(run.figures, sheet))
    try:
        found = suspects(running_state(run, sheet.proving), running_state(baseline, sheet.proving))
    except NotComparable as reason:
        return Proof(lines, air, (), str(reason), ())
    return Proof(lines, air, found, "", ())


def free_air(figures: Figures, proving: Proving | None) -> Delivered | None:
    """Give the free air that the pump-up runs delivered, None where there are too few of them."""
    if len(figures.pump_ups) < FEWEST_RUNS or figures.volume is None:
        return None
    unit, rated = figures.unit, proving.speed if proving else None
    try:
        intake = IntakeState(float(unit.bar(figures.barometer)), _kelvin(unit, figures.intake_temperature))
        runs = [_pump_up(figures, one) for one in figures.pump_ups]
        return delivered(float(unit.cubic_metres(figures.volume)), runs, intake, float(rated) if rated else None)
    except RunImpossible:
        return None


def _pump_up(figures: Figures, one: PumpUp) -> PumpUpRun:
    """Give one pump-up run in absolute pressures and temperatures."""
    unit = figures.unit
    start, end = (float(unit.bar(figures.barometer + gauge)) for gauge in (one.start, one.end))
    warmth = _kelvin_or_none(unit, one.start_temperature), _kelvin_or_none(unit, one.end_temperature)
    return PumpUpRun(start, end, float(one.seconds), *warmth, float(figures.speed) if figures.speed else None)


def running_state(run: Run, proving: Proving | None) -> RunningState:
    """Give a run as the comparison with a baseline needs it: absolute pressures in bar, temperatures in degC."""
    figures, air = run.figures, free_air(run.figures, proving)
    unit = figures.unit
    return RunningState(
        intake_bar=float(unit.bar(figures.barometer)),
        gauges_bar=tuple(float(unit.bar(figures.barometer + stage.pressure)) for stage in figures.stages),
        temperatures_c=tuple(_celsius(unit, stage.temperature) for stage in figures.stages),
        free_air_m3_per_min=air.mean_m3_per_min if air else None,
        revolutions_per_min=float(figures.speed) if figures.speed else None,
        unsteady=_standing(figures.stages, Steadiness.SWINGS),
        climbing=_standing(figures.stages, Steadiness.CLIMBS),
        hot_covers=run.hot_covers,
    )


def _standing(stages: Sequence[GaugeRead], how: Steadiness) -> frozenset[int]:
    """The stages whose gauge stands so."""
    return frozenset(number for number, stage in enumerate(stages, start=1) if stage.steadiness is how)


def _oil(figures: Figures, proving: Proving | None) -> list[Line]:
    """Hold the oil to the sheet: its pressure, and how soon it stood."""
    lines = []
    if figures.oil_pressure is not None:
        span = proving.oil_pressure if proving else None
        lines.append(_line("Oil pressure", figures.oil_pressure, span, figures.unit.value))
    within = proving.oil_within_s if proving else None
    if figures.oil_seconds is not None:
        at_most = None if within is None else Span(Decimal(0), within)
        lines.append(_line("Oil pressure stood after", figures.oil_seconds, at_most, "s"))
    return lines


def _stages(figures: Figures, sheet: LimitSheet, baseline: Run | None) -> list[Line]:
    """Hold every gauge and delivery temperature to the sheet, with the baseline's beside."""
    lines = []
    usual = baseline.figures if baseline and baseline.figures.unit is figures.unit else None
    for stage, read in zip(sheet.stages, figures.stages, strict=False):
        before = usual.stages[stage.number - 1] if usual and len(usual.stages) >= stage.number else None
        lines += _stage(stage, read, before, figures.unit)
    return lines


def _stage(stage: Stage, read: GaugeRead, before: GaugeRead | None, unit: PressureUnit) -> list[Line]:
    """Hold one stage to the sheet."""
    running, name = stage.running, f"Stage {stage.number}"
    gauge = _line(f"{name} gauge", read.pressure, running.gauge if running else None, unit.value)
    if read.steadiness is not Steadiness.STEADY:
        gauge = Line(gauge.name, f"{gauge.reading}, {read.steadiness}", gauge.limit or "steady", False)
    lines = [_beside(gauge, before.pressure if before else None)]
    if read.temperature is not None:
        highest = running.delivery_temperature if running else None
        span = None if highest is None else Span(Decimal(-1000), highest)
        line = _line(f"{name} delivery", read.temperature, span, unit.temperature)
        lines.append(_beside(line, before.temperature if before else None))
    return lines


def _air(run: Run, air: Delivered | None, sheet: LimitSheet, baseline: Run | None) -> list[Line]:
    """Hold free air to the rated, and to the baseline's, by the share that the sheet asks for."""
    proving = sheet.proving
    if air is None:
        return []
    unit = run.figures.unit
    in_unit = air.mean_m3_per_min / float(unit.cubic_metres(Decimal(1)))
    read = f"{in_unit:.3g} {unit.flow}, mean of {len(air.runs_m3_per_min)}"
    least = proving.least_free_air if proving else None
    lines = [Line("Pump-up runs apart by", f"{air.spread:.1%}", "at most 5% of their mean", air.is_steady)]
    if proving and proving.free_air and least:
        floor = float(proving.free_air * least)
        lines.append(Line("Free air delivered", read, f"at least {floor:.3g} {unit.flow}", in_unit >= floor))
    else:
        lines.append(Line("Free air delivered", read, "", None))
    usual = free_air(baseline.figures, proving) if baseline else None
    if usual and least:
        share = air.mean_m3_per_min / usual.mean_m3_per_min
        lines.append(
            Line("Free air against the baseline", f"{share:.0%}", f"at least {least:.0%}", share >= float(least))
        )
    return lines


def _line(name: str, read: Decimal, span: Span | None, unit: str) -> Line:
    """Hold one figure to its span; on either end is within."""
    if span is None:
        return Line(name, f"{read} {unit}", "", None)
    at_most = f"at most {span.upper} {unit}"
    limit = at_most if span.lower <= 0 else f"{span.lower} to {span.upper} {unit}"
    return Line(name, f"{read} {unit}", limit, span.lower <= read <= span.upper)


def _beside(line: Line, before: Decimal | None) -> Line:
    """Put the baseline's figure beside."""
    return line if before is None else Line(line.name, line.reading, line.limit, line.is_within, str(before))


def _estimate(figures: Figures, sheet: LimitSheet) -> tuple[str, ...]:
    """Say what the gauges before the last are by the estimate."""
    return tuple(
        f"stage {number} about {gauge:.3g} {figures.unit}"
        for number, gauge in enumerate(estimated_gauges(figures, sheet), start=1)
    )


def estimated_gauges(figures: Figures, sheet: LimitSheet) -> tuple[float, ...]:
    """Estimate the gauges before the last from the swept volumes; nothing where the sheet gives no strokes."""
    sizes = [_size(stage) for stage in sheet.stages if stage.stroke is not None]
    if len(sizes) != len(figures.stages):
        return ()
    barometer = float(figures.unit.bar(figures.barometer)) * PA_PER_BAR
    delivery = barometer + float(figures.unit.bar(figures.stages[-1].pressure)) * PA_PER_BAR
    try:
        pressures = estimated_pressures_pa(sizes, barometer, delivery)
    except CompressionImpossible:
        return ()
    scale = float(figures.unit.bar(Decimal(1))) * PA_PER_BAR
    return tuple((pressure - barometer) / scale for pressure in pressures[:-1])


def _size(stage: Stage) -> StageSize:
    """Give what fills a stage in one revolution; pi and the units fall out of the estimate."""
    stroke = stage.stroke.mm if stage.stroke else Decimal(0)
    clearance = stage.running.clearance if stage.running else None
    swept = float(stage.bore.mm**2 * stroke * stage.cylinders) * 1e-9
    return StageSize(swept, USUAL_CLEARANCE if clearance is None else float(clearance))


def _celsius(unit: PressureUnit, temperature: Decimal | None) -> float | None:
    """Give a temperature in degC, None where it was not taken."""
    return None if temperature is None else float(unit.celsius(temperature))


def _kelvin(unit: PressureUnit, temperature: Decimal) -> float:
    """Give a temperature in kelvin."""
    return float(unit.celsius(temperature)) + KELVIN


def _kelvin_or_none(unit: PressureUnit, temperature: Decimal | None) -> float | None:
    """Give a temperature in kelvin, None where it was not taken."""
    return None if temperature is None else _kelvin(unit, temperature)
