"""A gauge shows that a stage is vented only at nought, or where it rests a little off it and the person says why."""

import pytest

from app.domain.running_limits import PressureUnit
from app.domain.vented import wrong_gauge


@pytest.mark.parametrize(
    "typed", ["0", "0.0 bar", "0,00", "0 psi", "0 kPa", "0bar", "0.2 bar, pointer rests there", "0 bar by PI-2"]
)
def test_nought_or_a_pointer_off_it_with_a_reason_is_vented(typed: str) -> None:
    assert wrong_gauge(typed, PressureUnit.BAR) == ""


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("3 bar", "There is pressure in this stage"),
        ("0.51, pointer rests there", "There is pressure in this stage"),
        ("45 psi", "There is pressure in this stage"),
        ("0.2", "Not nought. Vent on"),
        ("0.2 bar, bent", "Not nought. Vent on"),
        ("none", "one figure first"),
        ("", "one figure first"),
        ("-1", "one figure first"),
        ("0,,3 bar", "one figure first"),
        ("0 3", "one figure first"),
        ("0/3 bar", "one figure first"),
        ("0.0 bar -3 bar", "one figure first"),
    ],
)
def test_what_is_not_vented_is_refused_in_words(typed: str, words: str) -> None:
    assert words in wrong_gauge(typed, PressureUnit.BAR)


@pytest.mark.parametrize(("typed", "unit"), [("1.013", PressureUnit.BAR), ("14.7", PressureUnit.PSI)])
def test_air_around_on_an_absolute_gauge_is_told_apart(typed: str, unit: PressureUnit) -> None:
    assert "A gauge that counts absolute shows the air around" in wrong_gauge(typed, unit)
    assert "absolute" not in wrong_gauge("30", unit)
