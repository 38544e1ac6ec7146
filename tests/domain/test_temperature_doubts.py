"""Temperatures typed in another unit: taken at the word behind them, and asked about where none stands there."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain.errors import InputRefused
from app.domain.limits import LimitSheet
from app.domain.running import read_figures
from app.domain.running_limits import PressureUnit
from app.domain.sheet_file import read_sheet
from app.domain.temperature_doubts import temperature_doubts
from tests.builders import a_good_run, a_sheet_text

IN_PSI = {"barometer": "14.7", "intake_temperature": "68", "gauge-1": "33", "gauge-2": "164", "gauge-3": "580"}
IN_PSI |= {"temperature-1": "239", "temperature-2": "277", "temperature-3": "264"}


def a_sheet(highest: str = "") -> LimitSheet:
    """The three-stage sheet; highest: the delivery temperature of every stage in its place."""
    sheet = read_sheet(a_sheet_text())
    if not highest:
        return sheet
    stages = (replace(each, running=replace(each.running, delivery_temperature=Decimal(highest)))  # type: ignore[type-var]
              for each in sheet.stages)  # fmt: skip
    return replace(sheet, stages=tuple(stages))


def asked(sheet: LimitSheet, unit: PressureUnit = PressureUnit.BAR, **other: str) -> dict[str, str]:
    """What is asked of a run."""
    typed = a_good_run(**other)
    return temperature_doubts(read_figures(typed, 3, unit), typed, sheet)


@pytest.mark.parametrize(
    ("typed", "celsius"),
    [("239 °F", "115"), ("239F", "115"), ("388.15 K", "115"), ("115 °C", "115"), ("115", "115"), ("-40 f", "-40")],
)
def test_temperature_with_a_unit_behind_it_is_taken_at_its_word(typed: str, celsius: str) -> None:
    figures = read_figures(a_good_run(**{"temperature-1": typed}), 3, PressureUnit.BAR)

    assert figures.stages[0].temperature == Decimal(celsius)


def test_celsius_behind_a_figure_is_brought_to_the_fahrenheit_of_the_form() -> None:
    figures = read_figures(a_good_run(**IN_PSI | {"temperature-1": "115 °C"}), 3, PressureUnit.PSI)

    assert figures.stages[0].temperature == Decimal(239)


def test_temperature_that_cannot_be_in_the_unit_behind_it_is_refused() -> None:
    with pytest.raises(InputRefused) as refusal:
        read_figures(a_good_run(**{"temperature-1": "900 °F", "intake_temperature": "hot C"}), 3, PressureUnit.BAR)

    assert "Between -40 and 300 °C" in refusal.value.fields["temperature-1"]
    assert "not one plain number" in refusal.value.fields["intake_temperature"]


def test_run_in_good_order_and_one_that_is_merely_hot_are_asked_nothing() -> None:
    assert asked(a_sheet()) == {}
    assert asked(a_sheet(), **{"temperature-1": "165"}) == {}
    assert asked(a_sheet("302"), PressureUnit.PSI, **IN_PSI) == {}


def test_fahrenheit_on_a_form_of_celsius_is_asked_about_until_the_unit_is_said() -> None:
    found = asked(a_sheet(), **{"temperature-1": "239"})

    assert found == {
        "temperature-1": "In °C or in °F? The sheet’s highest is 150 °C; 239 °F would be 115 °C. Say which below."
    }
    assert asked(a_sheet(), **{"temperature-1": "239 °C"}) == {}
    assert asked(a_sheet(), **{"temperature-1": "239", "temperature-1-is": "F"}) == {}
    assert asked(a_sheet(), **{"temperature-1": "239", "temperature-1-is": "?"}) == found


def test_celsius_on_a_form_of_fahrenheit_is_asked_about() -> None:
    found = asked(a_sheet("302"), PressureUnit.PSI, **IN_PSI | {"temperature-2": "136"})

    assert "136 °C would be 277 °F" in found["temperature-2"]


def test_nothing_is_asked_where_the_sheet_says_no_highest_or_nothing_was_read() -> None:
    sheet = a_sheet()
    bare = replace(sheet, stages=tuple(replace(stage, running=None) for stage in sheet.stages))

    assert asked(bare, **{"temperature-1": "239"}) == {}
    assert asked(sheet, **{"temperature-1": ""}) == {}
