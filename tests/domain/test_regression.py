"""Straight lines and prediction bands, held against NIST reference data sets, scipy and numpy."""

from decimal import Decimal
from math import sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from app.domain.regression import LineUndetermined, fit_line, prediction_interval

# NIST Statistical Reference Datasets, linear regression, Norris: 36 points written x/y.
NORRIS = """
0.2/0.1 337.4/338.8 118.2/118.1 884.6/888.0 10.1/9.2 226.5/228.1 666.3/668.5 996.3/998.5 448.6/449.1 777.0/778.9
558.2/559.2 0.4/0.3 0.6/0.1 775.5/778.1 666.9/668.8 338.0/339.3 447.5/448.9 11.6/10.8 556.0/557.7 228.1/228.3
995.8/998.0 887.6/888.8 120.2/119.6 0.3/0.3 0.3/0.6 556.8/557.6 339.1/339.3 887.2/888.0 999.0/998.5 779.0/778.9
11.1/10.2 118.3/117.6 229.2/228.9 669.1/668.4 448.9/449.2 0.5/0.2
"""
# The same, NoInt1 and NoInt2: lines through the origin.
NO_INTERCEPT_1 = " ".join(f"{x}/{x + 70}" for x in range(60, 71))
NO_INTERCEPT_2 = "4/3 5/4 6/4"

POINTS = st.lists(
    st.tuples(st.integers(min_value=0, max_value=60_000), st.decimals(min_value=100, max_value=102, places=3)),
    min_size=3,
    max_size=12,
    unique_by=lambda point: point[0],
)


def line_through(written):
    """Fit a line to points written x/y."""
    xs, ys = zip(*(map(Decimal, point.split("/")) for point in written.split()), strict=True)
    return fit_line(xs, ys)


def mirrored(written):
    """Add each point's image in the origin, which makes an ordinary line run through the origin."""
    images = [f"{-Decimal(x)}/{-Decimal(y)}" for x, y in (point.split("/") for point in written.split())]
    return " ".join([written, *images])


def test_norris_has_its_certified_line_and_scatter():
    # NIST StRD, Norris, certified values.
    line = line_through(NORRIS)

    assert line.count == 36
    assert line.intercept_mm == pytest.approx(-0.262323073774029, rel=1e-13)
    assert line.slope_mm_per_hour == pytest.approx(1.00211681802045, rel=1e-14)
    assert line.residual_sd_mm == pytest.approx(0.884796396144373, rel=1e-14)


def test_norris_has_its_prediction_interval_at_500():
    # NIST StRD, Norris, for the data; the interval is arithmetic from the stated inputs.
    band = prediction_interval(line_through(NORRIS), 500, reading_u_mm=0)

    assert (round(band.low_mm, 6), round(band.high_mm, 6)) == (498.971794, 502.620378)


@pytest.mark.parametrize(
    ("written", "slope", "slope_sd", "residual_sd"),
    [
        (NO_INTERCEPT_1, 2.07438016528926, 0.0165289256198347, 3.56753034006338),
        (NO_INTERCEPT_2, 0.727272727272727, 0.0420827318078432, 0.369274472937998),
    ],
)
def test_lines_through_the_origin_have_their_certified_values(written, slope, slope_sd, residual_sd):
    # NIST StRD, NoInt1 and NoInt2. Mirroring doubles squares and degrees of freedom alike, so s stays what it was.
    line = line_through(mirrored(written))

    assert line.intercept_mm == 0
    assert line.slope_mm_per_hour == pytest.approx(slope, rel=1e-14)
    assert line.residual_sd_mm == pytest.approx(residual_sd, rel=1e-14)
    assert line.residual_sd_mm / sqrt(line.spread_hours2 / 2) == pytest.approx(slope_sd, rel=1e-13)


@settings(deadline=None)  # scipy and numpy are slow when they are first used
@given(POINTS)
def test_lines_agree_with_scipy(points):
    hours, sizes = zip(*points, strict=True)
    reference = stats.linregress([float(x) for x in hours], [float(y) for y in sizes])

    line = fit_line([Decimal(x) for x in hours], sizes)

    assert line.slope_mm_per_hour == pytest.approx(reference.slope, rel=1e-6, abs=1e-12)
    assert line.intercept_mm == pytest.approx(reference.intercept, rel=1e-6)


@settings(deadline=None)  # scipy and numpy are slow when they are first used
@given(POINTS, st.integers(min_value=0, max_value=80_000))
def test_prediction_bands_agree_with_matrix_algebra_in_numpy(points, where):
    hours, sizes = (np.array(column, dtype=float) for column in zip(*points, strict=True))
    # Hours are counted in thousands from their mean, which keeps the reference well conditioned.
    thousands, place = (hours - hours.mean()) / 1000, np.array([1, (where - hours.mean()) / 1000])
    design = np.column_stack([np.ones_like(thousands), thousands])
    coefficients = np.linalg.lstsq(design, sizes, rcond=None)[0]
    scatter = max(sqrt(((sizes - design @ coefficients) ** 2).sum() / (len(sizes) - 2)), 0.01)
    half = stats.t.ppf(0.975, len(sizes) - 2) * scatter * sqrt(1 + place @ np.linalg.inv(design.T @ design) @ place)

    line = fit_line([Decimal(x) for x, _ in points], [y for _, y in points])
    band = prediction_interval(line, where, reading_u_mm=0.01)

    assert band.central_mm == pytest.approx(place @ coefficients, rel=1e-6, abs=1e-6)
    assert band.high_mm - band.central_mm == pytest.approx(half, rel=1e-5)
    assert band.central_mm - band.low_mm == pytest.approx(half, rel=1e-5)


def test_three_readings_in_a_line_keep_the_uncertainty_of_the_readings():
    line = line_through("0/100 1000/100.1 2000/100.2")

    band = prediction_interval(line, 1000, reading_u_mm=0.01)

    assert line.residual_sd_mm == 0
    assert band.high_mm - band.central_mm == pytest.approx(stats.t.ppf(0.975, 1) * 0.01 * sqrt(1 + 1 / 3))


def test_scatter_above_the_readings_own_uncertainty_is_kept():
    line = line_through("0/100 1000/100.2 2000/100.2")

    bands = [prediction_interval(line, 1000, reading_u_mm) for reading_u_mm in (0, 0.01)]

    assert bands[0] == bands[1]


def test_a_higher_level_widens_the_band():
    line = line_through("0/100 1000/100.2 2000/100.2")

    usual, high = prediction_interval(line, 1000, 0), prediction_interval(line, 1000, 0, level=0.99)

    assert high.low_mm < usual.low_mm < usual.high_mm < high.high_mm


def test_two_readings_fix_a_line_but_no_band():
    line = line_through("0/100 1000/100.1")

    assert line.size_at_mm(2000) == pytest.approx(100.2)
    assert line.residual_sd_mm is None
    assert prediction_interval(line, 2000, reading_u_mm=0.01) is None


@pytest.mark.parametrize("written", ["1000/100", "1000/100 1000/100.1 1000.0/100.2"])
def test_readings_at_one_number_of_hours_fix_no_line(written):
    with pytest.raises(LineUndetermined, match="two different operating hours"):
        line_through(written)


def test_no_readings_fix_no_line():
    with pytest.raises(LineUndetermined):
        fit_line([], [])


def test_level_readings_have_a_slope_of_exactly_nothing():
    line = line_through("0/100.1 3333/100.1 7777/100.1 12345/100.1")

    assert (line.slope_mm_per_hour, line.residual_sd_mm) == (0, 0)


def test_the_thermometer_of_the_gum_is_calibrated_as_printed():
    # JCGM 100:2008 (GUM), H.3 (figures from memory): corrections of a thermometer, the line from 20 degC on.
    warm = [
        "21.521",
        "22.012",
        "22.512",
        "23.003",
        "23.507",
        "23.999",
        "24.513",
        "25.002",
        "25.503",
        "26.010",
        "26.511",
    ]
    milli = (171, 169, 166, 159, 164, 165, 156, 157, 159, 161, 160)
    line = fit_line([Decimal(t) - 20 for t in warm], [-Decimal(b) / 1000 for b in milli])

    assert round(line.intercept_mm, 4) == -0.1712
    assert round(line.slope_mm_per_hour, 5) == 0.00218
    assert round(line.residual_sd_mm, 4) == 0.0035
    assert round(line.residual_sd_mm / sqrt(line.spread_hours2), 5) == 0.00067
    assert round(line.size_at_mm(10), 4) == -0.1494
