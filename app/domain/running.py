"""A run of the machine as it is typed: gauges, temperatures, oil and pump-up, read strictly and kept as written."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from enum import StrEnum

from app.domain.errors import InputRefused, NumberRefused, UnitMismatch
from app.domain.numbers import parse_number
from app.domain.pressure_words import Counted, counted
from app.domain.running_limits import PressureUnit
from app.domain.temperature_words import in_unit, said_temperature

MOST_RUNS = 5
LONGEST_WORDS = 500
NOTHING = Decimal(0)
HIGHEST_BAR, HIGHEST_C, LOWEST_C = Decimal(600), Decimal(300), Decimal(-40)
HIGHEST_INTAKE_C = Decimal(60)  # warmer air was typed in another unit: common practice, no source
BAROMETER_BAR = (Decimal("0.5"), Decimal("1.2"))


class Steadiness(StrEnum):
    """How a gauge stands; the value is the wording shown on pages."""

    STEADY = "steady"
    SWINGS = "swings"
    CLIMBS = "climbs until the safety valve lifts"


@dataclass(frozen=True)
class GaugeRead:
    """What one stage shows: gauge pressure, delivery temperature, and whether the gauge stands still."""

    pressure: Decimal
    temperature: Decimal | None
    steadiness: Steadiness


@dataclass(frozen=True)
class PumpUp:
    """One pump-up run: the receiver's gauge before and after, seconds, and its air's temperature where it was taken."""

    start: Decimal
    end: Decimal
    seconds: Decimal
    start_temperature: Decimal | None = None
    end_temperature: Decimal | None = None


@dataclass(frozen=True)
class Figures:
    """The figures of one run as typed; gauges count from the air around, the barometer is absolute."""

    unit: PressureUnit
    barometer: Decimal
    intake_temperature: Decimal
    stages: tuple[GaugeRead, ...]
    speed: Decimal | None = None
    oil_pressure: Decimal | None = None
    oil_seconds: Decimal | None = None
    volume: Decimal | None = None
    pump_ups: tuple[PumpUp, ...] = ()


@dataclass(frozen=True)
class Run:
    """One run in the book: who made it, when, at which hours, and its figures; `typed` is what was written."""

    id: int
    machine_id: int
    overhaul_id: int | None
    hours: Decimal
    person: str
    at: datetime
    typed: Mapping[str, str]
    figures: Figures

    @property
    def seen(self) -> str:
        """What was seen, where a fault made the run."""
        return self.typed.get("seen", "")

    @property
    def hot_covers(self) -> tuple[str, ...]:
        """The valves whose cover is hotter than its fellows'."""
        return tuple(name for name in self.typed.get("hot_covers", "").split("; ") if name)

    @property
    def why_no_pump_up(self) -> str:
        """Why no pump-up test was made, where none was."""
        return self.typed.get("no_pump_up", "")


def read_figures(typed: Mapping[str, str], stages: int, unit: PressureUnit, needs_oil: bool = True) -> Figures:
    """Read the figures of a run; InputRefused holds what is wrong, field by field."""
    form = _Form(typed, unit)
    figures = Figures(
        unit=unit,
        barometer=form.air_around("barometer"),
        intake_temperature=form.temperature("intake_temperature"),
        stages=tuple(_gauge(form, number) for number in range(1, stages + 1)),
        speed=form.optional("speed", "900", Decimal(20), Decimal(6000), "revolutions a minute"),
        oil_pressure=form.pressure("oil_pressure", "2.4") if needs_oil or form.has("oil_pressure") else None,
        oil_seconds=form.optional("oil_seconds", "8", NOTHING, Decimal(600), "seconds"),
        volume=form.optional("volume", "0.5", Decimal("0.001"), Decimal(100_000), unit.volume),
        pump_ups=tuple(run for number in range(1, MOST_RUNS + 1) if (run := _pump_up(form, number)) is not None),
    )
    for stage, (low, high) in enumerate(zip(figures.stages, figures.stages[1:], strict=False), start=2):
        if high.pressure <= low.pressure and f"gauge-{stage}" not in form.refused:
            form.refused[f"gauge-{stage}"] = f"Stage {stage} stands above stage {stage - 1}; read both gauges again."
    if figures.pump_ups and figures.volume is None and "volume" not in form.refused:
        form.refused["volume"] = f"Give the volume that was shut off, in {unit.volume}."
    if form.refused:
        raise InputRefused(form.refused)
    return figures


def require_usual(figures: Figures) -> None:
    """Refuse a run with air at the intake that was typed in another unit; a run in the book stays as it was kept."""
    unit = figures.unit
    intake_c = unit.celsius(figures.intake_temperature)
    if intake_c > HIGHEST_INTAKE_C:
        usual = "20" if unit is PressureUnit.BAR else "68"
        words = f"Air of {intake_c:.0f} °C is not taken in. Typed in {unit.temperature}? Such as {usual}."
        raise InputRefused({"intake_temperature": words})


def _gauge(form: "_Form", stage: int) -> GaugeRead:
    """Read what one stage shows."""
    sign = form.typed.get(f"sign-{stage}", "") or Steadiness.STEADY.value
    known = [one for one in Steadiness if one.value == sign]
    if not known:
        form.refused[f"sign-{stage}"] = "Choose how the gauge stands."
    pressure = form.pressure(f"gauge-{stage}", "2.3" if stage == 1 else "11.3")
    temperature = form.optional_temperature(f"temperature-{stage}")
    return GaugeRead(pressure, temperature, known[0] if known else Steadiness.STEADY)


def _pump_up(form: "_Form", number: int) -> PumpUp | None:
    """Read one pump-up run; None where nothing of it is typed."""
    names = [f"{name}-{number}" for name in ("start", "end", "seconds", "start_temperature", "end_temperature")]
    if not any(form.has(name) for name in names):
        return None
    start, end = form.pressure(names[0], "20"), form.pressure(names[1], "40")
    seconds = form.optional(names[2], "300", Decimal(1), Decimal(36_000), "seconds")
    if seconds is None and names[2] not in form.refused:
        form.refused[names[2]] = "How many seconds did it take? Type them, or use the clock."
    if end <= start and not {names[0], names[1]} & form.refused.keys():
        form.refused[names[1]] = "The receiver's pressure rises in a pump-up run: this is not above its start."
    return PumpUp(
        start, end, seconds or Decimal(1), form.optional_temperature(names[3]), form.optional_temperature(names[4])
    )


class _Form:
    """The typed fields, and what is wrong with them."""

    def __init__(self, typed: Mapping[str, str], unit: PressureUnit) -> None:
        self.typed, self.unit = typed, unit
        self.refused: dict[str, str] = {}
        self.barometer = NOTHING

    def optional(self, name: str, example: str, low: Decimal, high: Decimal, words: str) -> Decimal | None:
        """Read a number within its bounds, None where nothing is typed."""
        if not self.has(name):
            return None
        number = self._number(name, example)
        if number is not None and not low <= number <= high:
            self.refused[name] = f"From {low} to {high} {words}."
        return number

    def has(self, name: str) -> bool:
        """Whether anything is typed in a field."""
        return bool(self.typed.get(name, "").strip())

    def pressure(self, name: str, example: str) -> Decimal:
        """Read a gauge; one that was said to be absolute counts from the air around."""
        text, said = counted(self.typed, name, self.unit)
        number = self._number(name, example, text=text)
        if number is None:
            return NOTHING
        if self.unit.bar(number) > HIGHEST_BAR:
            self.refused[name] = f"More than {HIGHEST_BAR} bar cannot be. Gauge pressure, in {self.unit}."
        if said is not Counted.ABSOLUTE:
            return number
        if number < self.barometer:
            self.refused[name] = f"Absolute, {number} {self.unit} is less than the air around, {self.barometer}."
        return max(number - self.barometer, NOTHING)

    def air_around(self, name: str) -> Decimal:
        """Read the pressure of the air around, which is absolute."""
        text, said = counted(self.typed, name, self.unit)
        number = self._number(name, "1.013", text=text)
        if number is None:
            return NOTHING
        if said is Counted.GAUGE or not BAROMETER_BAR[0] <= self.unit.bar(number) <= BAROMETER_BAR[1]:
            about = "1.013" if self.unit is PressureUnit.BAR else "14.7"
            self.refused[name] = f"The air around, absolute, in {self.unit}: about {about}. A gauge shows 0 for it."
        self.barometer = number
        return number

    def temperature(self, name: str) -> Decimal:
        """Read a temperature that is needed."""
        read = self.optional_temperature(name)
        if read is None and name not in self.refused:
            self.refused[name] = f"Type the temperature in {self.unit.temperature}, such as 20."
        return read or NOTHING

    def optional_temperature(self, name: str) -> Decimal | None:
        """Read a temperature, None where none is typed."""
        if not self.has(name):
            return None
        text, said = said_temperature(self.typed, name)
        number = self._number(name, "20", signed=True, text=text)
        number = None if number is None else in_unit(number, said, self.unit)
        if number is not None and not LOWEST_C <= self.unit.celsius(number) <= HIGHEST_C:
            self.refused[name] = f"Between {LOWEST_C} and {HIGHEST_C} °C, typed in {self.unit.temperature}."
        return number

    def _number(self, name: str, example: str, signed: bool = False, text: str | None = None) -> Decimal | None:
        """Read one number, or note why it is none."""
        try:
            return parse_number(self.typed.get(name, "") if text is None else text, signed=signed, example=example)
        except (NumberRefused, UnitMismatch) as refusal:
            self.refused[name] = str(refusal)
            return None
