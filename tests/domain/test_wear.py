"""Wear rates and hours left, held against worked values; no forecast is ever dressed up as endless life."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.domain.sizes import SizeNotPositive
from app.domain.wear import (
    Forecast,
    ForecastBasis,
    HoursNotInOrder,
    Life,
    LimitSide,
    NoForecast,
    NoForecastReason,
    SizeReading,
    fit_life,
    forecast_last_interval,
    forecast_line,
    forecast_since_new,
    governing_forecast,
    size_at_mm,
    wear_rate_mm_per_1000_h,
)

LIMIT_MM = Decimal("201.20")
FORECASTS = (forecast_since_new, forecast_last_interval, forecast_line)
# Bore 200.00 new, 200.24 at 8,000 h, 200.40 at 12,000 h, limit 201.20; arithmetic from the stated inputs.
WORKED = "0/200.00 8000/200.24 12000/200.40"


def a_life(written):
    """Build a life from readings written hours/size."""
    return Life(tuple(SizeReading(*map(Decimal, reading.split("/"))) for reading in written.split()))


def test_the_worked_bore_wears_0033_since_new_and_0040_in_the_last_interval():
    new, middle, now = a_life(WORKED).readings

    assert round(wear_rate_mm_per_1000_h(new, now), 4) == Decimal("0.0333")
    assert wear_rate_mm_per_1000_h(middle, now) == Decimal("0.040")


def test_the_worked_bore_has_20000_hours_left_by_the_last_interval_which_governs():
    life = a_life(WORKED)
    forecasts = [forecast(life, LIMIT_MM, LimitSide.UPPER) for forecast in FORECASTS]

    governing = governing_forecast(forecasts)

    assert forecasts[0].hours_left(Decimal(12000)) == 24000
    assert governing.basis is ForecastBasis.LAST_INTERVAL
    assert governing.hours_left(Decimal(12000)) == 20000


def test_the_line_through_all_readings_reaches_the_limit_where_its_formula_says():
    # Arithmetic from the stated inputs, as fractions: mean 20000/3 h, Sxx 224e6/3, slope 2.46e-3/74.6667.
    forecast = forecast_line(a_life(WORKED), LIMIT_MM, LimitSide.UPPER)

    slope = (0.24 * 8000 + 0.40 * 12000 - 3 * (20000 / 3) * (0.64 / 3)) / (8000**2 + 12000**2 - 3 * (20000 / 3) ** 2)
    crossing = 20000 / 3 + (1.20 - 0.64 / 3) / slope

    assert float(forecast.rate_mm_per_1000_h) == pytest.approx(1000 * slope)
    assert 0 <= crossing - float(forecast.limit_at_hours) < 0.11


@pytest.mark.parametrize("forecast", FORECASTS)
def test_a_pin_wears_down_to_its_lower_limit(forecast):
    life = a_life("0/14.30 5000/14.29 10000/14.28")

    result = forecast(life, Decimal("14.26"), LimitSide.LOWER)

    assert result.hours_left(Decimal(10000)) == pytest.approx(Decimal(10000), abs=Decimal("0.1"))
    assert float(result.rate_mm_per_1000_h) == pytest.approx(-0.002)


@pytest.mark.parametrize("forecast", FORECASTS)
@pytest.mark.parametrize(
    ("written", "side"),
    [
        ("0/200.00 8000/200.00 12000/200.00", LimitSide.UPPER),
        ("0/200.40 8000/200.24 12000/200.00", LimitSide.UPPER),
        ("0/200.00 8000/200.00 12000/200.00", LimitSide.LOWER),
        ("0/200.00 8000/200.24 12000/200.40", LimitSide.LOWER),
    ],
)
def test_readings_that_do_not_move_towards_the_limit_give_no_forecast(forecast, written, side):
    result = forecast(a_life(written), LIMIT_MM, side)

    assert isinstance(result, NoForecast)
    assert result.reason is NoForecastReason.NOT_TOWARDS_LIMIT


@pytest.mark.parametrize("forecast", FORECASTS)
@pytest.mark.parametrize("written", ["", "0/200.00", "8000/200.00 8000/200.10 8000/200.20"])
def test_readings_at_fewer_than_two_different_hours_give_no_forecast(forecast, written):
    result = forecast(a_life(written), LIMIT_MM, LimitSide.UPPER)

    assert isinstance(result, NoForecast)
    assert result.reason is NoForecastReason.TOO_FEW_READINGS


def test_a_second_look_at_the_same_hours_does_not_spoil_the_last_interval():
    life = a_life("0/200.00 8000/200.24 12000/200.38 12000/200.40")

    result = forecast_last_interval(life, LIMIT_MM, LimitSide.UPPER)

    assert result.limit_at_hours == 32000


def test_a_flat_last_interval_leaves_the_rate_since_new_to_govern():
    life = a_life("0/200.00 8000/200.24 12000/200.24")
    forecasts = [forecast(life, LIMIT_MM, LimitSide.UPPER) for forecast in FORECASTS[:2]]

    governing = governing_forecast(forecasts)

    assert isinstance(forecasts[1], NoForecast)
    assert governing.basis is ForecastBasis.SINCE_NEW


def test_where_every_forecast_is_refused_the_refusal_is_handed_on():
    refusals = [forecast(a_life("0/200.00"), LIMIT_MM, LimitSide.UPPER) for forecast in FORECASTS]

    assert governing_forecast(refusals) is refusals[0]


@pytest.mark.parametrize(("now", "left"), [("31999", "1"), ("32000", "0"), ("32001", "0")])
def test_once_the_limit_is_passed_no_hours_are_left(now, left):
    forecast = Forecast(ForecastBasis.SINCE_NEW, Decimal("0.04"), Decimal(32000))

    assert forecast.hours_left(Decimal(now)) == Decimal(left)


def test_a_part_over_its_limit_has_no_hours_left():
    life = a_life("0/200.00 8000/201.24")

    forecasts = [forecast(life, LIMIT_MM, LimitSide.UPPER) for forecast in FORECASTS]

    assert [forecast.hours_left(Decimal(8000)) for forecast in forecasts] == [0, 0, 0]


def test_a_size_is_forecast_along_the_line_of_two_readings():
    _, middle, now = a_life(WORKED).readings

    assert size_at_mm(middle, now, Decimal(15000)) == Decimal("200.52")
    assert size_at_mm(middle, now, Decimal(32000)) == LIMIT_MM


def test_a_life_is_fitted_as_its_readings_are():
    line = fit_life(a_life("0/200.00 1000/200.10"))

    assert line.size_at_mm(2000) == pytest.approx(200.2)


@pytest.mark.parametrize("later_hours", ["8000", "7999"])
def test_a_rate_between_readings_not_in_order_is_refused(later_hours):
    earlier, later = (SizeReading(Decimal(hours), Decimal("200.00")) for hours in ("8000", later_hours))

    for measure in (wear_rate_mm_per_1000_h, lambda first, last: size_at_mm(first, last, Decimal(9000))):
        with pytest.raises(HoursNotInOrder, match="more operating hours"):
            measure(earlier, later)


def test_a_life_whose_hours_run_backwards_is_refused():
    with pytest.raises(HoursNotInOrder, match="must not run backwards"):
        a_life("8000/200.00 7999/200.10")


@pytest.mark.parametrize("hours", ["-1", "NaN", "Infinity"])
def test_hours_that_no_meter_shows_are_refused(hours):
    with pytest.raises(HoursNotInOrder, match="must be 0 or more"):
        SizeReading(Decimal(hours), Decimal("200.00"))


def test_a_reading_of_nothing_is_refused():
    with pytest.raises(SizeNotPositive, match="the size"):
        SizeReading(Decimal(0), Decimal(0))


@given(
    st.decimals(min_value="0.01", max_value=1, places=2),
    st.decimals(min_value="0.01", max_value=1, places=2),
    st.integers(min_value=1, max_value=50_000),
)
def test_more_wear_never_brings_a_later_forecast(one_mm, other_mm, hours):
    less_mm, more_mm = sorted((one_mm, other_mm))

    lives = [a_life(f"0/200.00 {hours}/{200 + wear_mm}") for wear_mm in (less_mm, more_mm)]

    for forecast in FORECASTS:
        crossings = [forecast(life, LIMIT_MM, LimitSide.UPPER).limit_at_hours for life in lives]
        assert crossings[1] <= crossings[0]
