"""Temperatures typed in another unit: taken at the word behind them, and asked about where none stands there."""

from collections.abc import Mapping
from decimal import Decimal

from app.domain.limits import LimitSheet
from app.domain.running import Figures
from app.domain.running_limits import PressureUnit
from app.domain.temperature_words import fahrenheit, said_temperature

TWICE = Decimal(2)  # so far under the highest a delivery temperature is asked about: own choice, no source


def temperature_doubts(figures: Figures, typed: Mapping[str, str], sheet: LimitSheet) -> dict[str, str]:
    """Ask, stage by stage, of a delivery temperature that only the other unit brings within the sheet's highest."""
    asked: dict[str, str] = {}
    for stage, read in zip(sheet.stages, figures.stages, strict=False):
        name, highest = f"temperature-{stage.number}", stage.running.delivery_temperature if stage.running else None
        if read.temperature is None or highest is None or said_temperature(typed, name)[1]:
            continue
        other = in_other_unit(read.temperature, figures.unit)
        is_off = read.temperature > highest or read.temperature * TWICE < highest
        if is_off and max(figures.intake_temperature, highest / TWICE) <= other <= highest:
            asked[name] = _question(typed[name].strip(), other, highest, figures.unit)
    return asked


def in_other_unit(temperature: Decimal, unit: PressureUnit) -> Decimal:
    """Give what a figure is in a form's unit, had it been typed in the other one."""
    return (temperature - 32) * 5 / 9 if unit is PressureUnit.BAR else fahrenheit(temperature)


def _question(written: str, other: Decimal, highest: Decimal, unit: PressureUnit) -> str:
    """Put the question."""
    own, its = (unit.temperature, "°F") if unit is PressureUnit.BAR else (unit.temperature, "°C")
    return (
        f"In {own} or in {its}? The sheet’s highest is {highest} {own}; {written} {its} would be {other:.0f} {own}. "
        "Say which below."
    )
