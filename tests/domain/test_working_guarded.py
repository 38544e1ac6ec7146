"""The working of guarded verdicts, of clearances, and of what is expected at the next opening."""

from dataclasses import replace
from decimal import Decimal

import pytest
from scipy import stats

from app.domain.limits import Limit
from app.domain.numbers import inches, millimetres
from app.domain.outlook import Outlook, look_ahead
from app.domain.overhaul import Overhaul
from app.domain.readings import Occasion
from app.domain.units import LengthUnit
from app.domain.wear import Life, SizeReading
from app.domain.working import working_of
from app.domain.working_outlook import outlook_step
from tests.domain.builders import a_gap, a_lower, a_part, an_upper, verdict_of
from tests.domain.test_guarded_verdicts import SOUND_BORE, a_guarded_bore, a_skirt, an_overhaul, pin_and_bush


def lines_of(overhaul: Overhaul, ref: str) -> str:
    steps = working_of(overhaul, verdict_of(overhaul, ref), Occasion.AS_FOUND, "", {})
    return "\n".join(line for step in steps for line in step.lines)


def a_life(*points: tuple[int, str]) -> Life:
    return Life(tuple(SizeReading(Decimal(hours), Decimal(size)) for hours, size in points))


def an_outlook(life: Life, limit: Limit | None = None, ahead: int = 24000, **other) -> Outlook:
    limit = limit or an_upper("201.20")
    return look_ahead(a_gap(limit, **other), "worst place", limit, life, Decimal(ahead), Decimal("0.003"))


def test_a_guarded_size_shows_its_correction_its_uncertainty_and_its_probability():
    lines = lines_of(an_overhaul(a_skirt("159.436", temperature_c=Decimal(35))), "1.piston")

    assert "Part and instrument at 35 °C brought to 20 °C." in lines
    assert "At 20 °C: 159.412085 mm." in lines
    assert "it must be at least the guard w = 0.00418 mm, or below −w to fail: does not conform: RENEW." in lines
    assert "Standard uncertainty u = √(sum of squares) = 0.00253 mm" in lines
    # Phi((159.412085 - 159.420) / 0.0025331) = Phi(-3.1247) = 0.00089, normal distribution.
    assert "Φ((y − T) / u) = 0.00089" in lines


def test_a_size_between_the_guards_is_shown_as_not_proven():
    lines = lines_of(an_overhaul(a_skirt("159.420")), "1.piston")

    assert "not proven either way" in lines
    assert "Φ((y − T) / u) = 0.500000" in lines


def test_a_guarded_bore_shows_the_budget_of_its_measures():
    lines = lines_of(an_overhaul(*a_guarded_bore(SOUND_BORE)), "1.cylinder")

    assert "Φ((T − y) / u) = 1.000000" in lines
    assert "resolution, first reading" in lines


def test_a_clearance_is_shown_at_both_ends():
    lines = lines_of(an_overhaul(*a_guarded_bore(SOUND_BORE), a_skirt("159.530")), "1.piston")

    assert "Least: smallest cylinder bore − largest piston skirt diameter = 160.020" in lines
    assert "Largest: largest cylinder bore − smallest piston skirt diameter = 160.020" in lines


def test_a_clearance_that_waits_says_for_what():
    pin, _ = pin_and_bush("35.990", "36.030")

    assert "Waits until bush bore and pin diameter are gauged everywhere." in lines_of(an_overhaul(pin), "1.pin")


def test_bore_200_at_three_openings_reaches_its_limit_after_20_000_hours_more():
    # 200.00 new, 200.24 at 8,000 h, 200.40 at 12,000 h, limit 201.20: arithmetic from the stated inputs.
    outlook = an_outlook(a_life((0, "200.00"), (8000, "200.24"), (12000, "200.40")), ahead=17000)

    step = outlook_step(outlook)

    assert outlook.limit_at_hours == 32000
    assert not outlook.is_renewal_advised
    assert "Since new: 1000 × (200.40 − 200.00) / (12000 − 0) ≈ 0.0333 mm per 1000 h." in step.lines
    assert "Last interval: 1000 × (200.40 − 200.24) / (12000 − 8000) = 0.04 mm per 1000 h." in step.lines
    assert (
        "200.60 mm expected at 17000 h, limit 201.20 mm reached at 32000 h (last interval); 95 % band" in step.lines[-1]
    )


def test_a_limit_crossed_before_the_next_opening_advises_renewal():
    assert an_outlook(a_life((0, "200.00"), (12000, "200.80")), ahead=20000).is_renewal_advised
    assert not an_outlook(a_life((0, "200.00"), (12000, "200.80")), ahead=18000).is_renewal_advised


def test_two_readings_give_no_band():
    outlook = an_outlook(a_life((0, "200.00"), (12000, "200.40")))

    assert outlook.band is None
    assert outlook.words.endswith("(since new).")


def test_three_readings_at_the_same_hours_give_no_band_and_no_forecast():
    outlook = an_outlook(a_life((100, "0.30"), (100, "0.31"), (100, "0.32")))

    assert outlook.band is None
    assert "no forecast, fewer than two readings" in outlook.words
    assert not outlook.is_renewal_advised
    assert outlook.limit_at_hours == Decimal("Infinity")


@pytest.mark.parametrize(("first", "last"), [("0.40", "0.40"), ("0.40", "0.38")])
def test_wear_away_from_the_limit_is_never_called_endless(first: str, last: str):
    outlook = an_outlook(a_life((0, first), (5000, last)), an_upper("0.65"))

    assert outlook.words == "Closed gap, worst place: no forecast, the readings do not move towards the limit."
    assert len(outlook_step(outlook).lines) == 4


def test_a_lower_limit_is_forecast_downwards_and_an_inch_sheet_is_written_in_inches():
    limit = a_lower("17.0")
    down = an_outlook(a_life((0, "18.2"), (6000, "17.6")), limit, ahead=10000)
    inch = Limit(limit.measure, an_upper("1").side, inches("0.018"))
    small = look_ahead(
        a_gap(inch, new=None, unit=LengthUnit.INCH, decimals=3), "", inch,
        a_life((0, "0.254"), (5000, "0.3556")), Decimal(10000), Decimal("0.003"),
    )  # fmt: skip

    assert down.limit_at_hours == 12000
    assert small.words.startswith("Closed gap: 0.018 in expected at 10000 h, limit 0.018 in reached at 10000 h")
    assert millimetres("0.4572").mm == inch.size.mm


def test_a_size_between_two_limits_shows_the_probability_of_both():
    skirt = a_part("1.piston", "qm-guarded.toml").characteristic("skirt")
    both = replace(skirt, limits=(a_lower("159.420"), an_upper("159.440")))
    piston = replace(a_part("1.piston", "qm-guarded.toml"), characteristics=(both,))
    found = an_overhaul(a_skirt("159.430", temperature_c=Decimal(20)))
    sheet = found.sheet
    stages = tuple(replace(s, parts=tuple(piston if p.ref == piston.ref else p for p in s.parts)) for s in sheet.stages)

    lines = lines_of(replace(found, sheet=replace(sheet, stages=stages)), "1.piston")

    # u = sqrt((0.001 / sqrt 12)^2 + ... ) as the budget line says; either end is 0.010 away: 2 Phi(0.010 / u) - 1.
    u = float(lines.partition("√(sum of squares) = ")[2].partition(" mm")[0])
    expected = stats.norm.cdf(0.010 / u) - stats.norm.cdf(-0.010 / u)
    shown = float(lines.partition("Φ((T upper − y) / u) − Φ((T lower − y) / u) = ")[2].partition(".\n")[0])
    assert shown == pytest.approx(expected, abs=1e-4)


def test_the_outlook_of_a_bore_speaks_of_wear_and_follows_its_largest_diameter():
    diameters = an_outlook(a_life((0, "78.02"), (5000, "78.06")), an_upper("78.09"), ahead=10000)

    outlook = replace(diameters, wear_from_mm=Decimal("78.00"))

    assert outlook.words.startswith("Wear of the closed gap: 0.10 mm expected at 10000 h, limit 0.09 mm reached")
