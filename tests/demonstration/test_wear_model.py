"""The wear model of the invented machines obeys the trade's own formulas."""

from math import pi

import pytest

from app.demonstration.wear_model import BoreLife, Life, RingLife, steady_kh

LEVELS = {"top of ring travel": 0.8, "mid stroke": 1.0, "bottom of ring travel": 0.5}
AXES = {"along the pin": 0.5, "across the pin": 1.0}


def test_the_first_hours_wear_faster_than_the_later_ones() -> None:
    first, later = steady_kh(500) - steady_kh(0), steady_kh(5500) - steady_kh(5000)

    assert first > 1.5 * later
    assert later == pytest.approx(0.5, rel=1e-3)


def test_a_part_has_its_size_as_fitted_at_the_hours_it_was_fitted() -> None:
    life = Life(fitted_mm=2.10, rate_mm=0.01, since_hours=4500)

    assert life.size_mm(4500) == 2.10
    assert life.size_mm(9500) == pytest.approx(2.10 + 0.01 * steady_kh(5000))


def test_a_bore_wears_by_level_and_axis_from_the_size_it_was_made_to() -> None:
    bore = BoreLife(140.25, 0.01, 0, LEVELS, AXES)
    worn_mm = 0.01 * steady_kh(8000)

    assert bore.diameter_mm("mid stroke", "across the pin", 8000) == pytest.approx(140.25 + worn_mm)
    assert bore.diameter_mm("mid stroke", "along the pin", 8000) == pytest.approx(140.25 + worn_mm / 2)
    assert bore.mean_diameter_mm("top of ring travel", 8000) == pytest.approx(140.25 + worn_mm * 0.8 * 0.75)
    assert (bore.worst_level, bore.best_level) == ("mid stroke", "bottom of ring travel")


def test_a_gap_opens_by_pi_times_the_bore_and_two_pi_times_the_face() -> None:
    # The shares 0.157 from the bore and 0.203 from the ring add up to 0.36, the face wear being 0.0323.
    # Growth of a gap by pi times that of the diameter: Bloch & Hoefner, Reciprocating Compressors:
    # Operation and Maintenance, p. 281; the face wear worked out from it.
    ring = RingLife(fitted_gap_mm=0.40, fitted_bore_mm=140.00, face_rate_mm=0.0323 / steady_kh(6000), since_hours=0)

    opened_mm = ring.gap_mm(140.05, 6000) - ring.gap_mm(140.00, 0)

    assert opened_mm == pytest.approx(pi * 0.05 + 2 * pi * 0.0323)
    assert opened_mm == pytest.approx(0.36, abs=0.001)
