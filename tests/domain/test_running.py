"""A run as typed: read strictly, and every figure that cannot be is named beside its field."""

from decimal import Decimal

import pytest

from app.domain.errors import InputRefused
from app.domain.running import Steadiness, read_figures, require_usual
from app.domain.running_limits import PressureUnit
from tests.builders import a_good_run


def read(unit: PressureUnit = PressureUnit.BAR, **other: str):
    """The figures of a good run with these in place of its own."""
    return read_figures(a_good_run(**other), 3, unit)


def refused(unit: PressureUnit = PressureUnit.BAR, **other: str) -> dict[str, str]:
    """What is said of a run, by field."""
    with pytest.raises(InputRefused) as refusal:
        read(unit, **other)
    return refusal.value.fields


def test_a_run_is_read_as_typed_with_comma_or_point():
    figures = read(**{"gauge-1": "2,3", "sign-2": "swings"})

    assert [stage.pressure for stage in figures.stages] == [Decimal("2.3"), Decimal("11.3"), Decimal("40.0")]
    assert [stage.steadiness for stage in figures.stages] == [
        Steadiness.STEADY, Steadiness.SWINGS, Steadiness.STEADY,
    ]  # fmt: skip
    assert len(figures.pump_ups) == 3
    assert figures.pump_ups[0].seconds == 500


def test_what_need_not_be_taken_may_be_left_out():
    figures = read(speed="", oil_seconds="", **{"temperature-2": ""})

    assert figures.speed is None
    assert figures.oil_seconds is None
    assert figures.stages[1].temperature is None


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("barometer", "0", "absolute, in bar"),
        ("barometer", "101.3", "absolute, in bar"),
        ("barometer", "", "Nothing is typed"),
        ("intake_temperature", "", "in °C"),
        ("intake_temperature", "293", None),
        ("intake_temperature", "400", "Between -40 and 300 °C"),
        ("temperature-2", "-60", "Between -40 and 300 °C"),
        ("gauge-3", "4000", "More than 600 bar"),
        ("gauge-2", "2.0", "Stage 2 stands above stage 1"),
        ("gauge-1", "2.3 bar", "does not belong here"),
        ("gauge-1", "1e3", "not one plain number"),
        ("sign-1", "dances", "how the gauge stands"),
        ("oil_pressure", "", "Nothing is typed"),
        ("oil_seconds", "900", "From 0 to 600 seconds"),
        ("speed", "9000", "From 20 to 6000"),
        ("volume", "", "Give the volume"),
        ("volume", "0", "From 0.001"),
        ("seconds-2", "", "How many seconds"),
        ("seconds-2", "0", "From 1 to"),
        ("end-3", "20", "not above its start"),
        ("start-1", "", "Nothing is typed"),
    ],
)
def test_a_figure_that_cannot_be_is_refused_beside_its_field(field, typed, words):
    if words is None:
        assert read(**{field: typed}).intake_temperature == 293
        return

    assert words in refused(**{field: typed})[field]


def test_figures_in_psi_are_judged_as_plausible_in_psi():
    typed = {"barometer": "14.7", "intake_temperature": "70", "gauge-1": "32", "gauge-2": "160", "gauge-3": "580"}

    assert read(PressureUnit.PSI, **typed).barometer == Decimal("14.7")
    assert "in psi: about 14.7" in refused(PressureUnit.PSI, **typed | {"barometer": "1.013"})["barometer"]


@pytest.mark.parametrize(
    ("unit", "intake", "words"),
    [
        (PressureUnit.BAR, "60", ""),
        (PressureUnit.BAR, "68", "Air of 68 °C is not taken in. Typed in °C? Such as 20."),
        (PressureUnit.BAR, "293", "Air of 293 °C is not taken in. Typed in °C? Such as 20."),
        (PressureUnit.PSI, "140", ""),
        (PressureUnit.PSI, "293", "Air of 145 °C is not taken in. Typed in °F? Such as 68."),
    ],
)
def test_air_at_the_intake_in_another_unit_is_refused_before_a_run_is_kept(unit, intake, words):
    typed = {"barometer": "14.7" if unit is PressureUnit.PSI else "1.013", "gauge-1": "32", "gauge-2": "160"}
    figures = read_figures(typed | {"intake_temperature": intake}, 2, unit, needs_oil=False)

    if words:
        with pytest.raises(InputRefused) as refusal:
            require_usual(figures)
        assert refusal.value.fields == {"intake_temperature": words}
    else:
        require_usual(figures)


def test_a_run_for_a_fault_needs_no_oil_and_no_pump_up():
    typed = {"barometer": "1.013", "intake_temperature": "20", "gauge-1": "2.3", "gauge-2": "11"}

    figures = read_figures(typed, 2, PressureUnit.BAR, needs_oil=False)

    assert figures.oil_pressure is None
    assert figures.pump_ups == ()


def test_units_of_psi_are_those_of_the_machine_hall():
    psi = PressureUnit.PSI

    assert (psi.temperature, psi.volume, psi.flow) == ("°F", "ft³", "cfm")
    assert (PressureUnit.BAR.temperature, PressureUnit.BAR.volume, PressureUnit.BAR.flow) == ("°C", "m³", "m³/min")
    assert PressureUnit.BAR.bar(Decimal(2)) == PressureUnit.BAR.celsius(Decimal(2)) == 2
    assert PressureUnit.BAR.cubic_metres(Decimal(2)) == 2
