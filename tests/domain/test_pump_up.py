"""Pump-up runs: the worked figure, runs that do not agree, and figures that cannot be."""

import pytest

from app.domain.pump_up import (
    IntakeState,
    PumpUpRun,
    RunImpossible,
    delivered,
    free_air_delivered_m3_per_min,
    leak_share,
)

INTAKE = IntakeState(1.01325, 293.15)
WORKED = PumpUpRun(1.01325, 31.01325, 600, 293.15, 313.15)


def test_worked_run_with_and_without_temperatures():
    # Arithmetic from the stated inputs: 0.5 m3, 600 s.
    without = PumpUpRun(1.01325, 31.01325, 600)

    assert free_air_delivered_m3_per_min(0.5, WORKED, INTAKE) == pytest.approx(1.383, abs=0.0005)
    assert free_air_delivered_m3_per_min(0.5, without, INTAKE) == pytest.approx(1.480, abs=0.0005)


def test_one_temperature_alone_is_no_temperature():
    half = PumpUpRun(1.01325, 31.01325, 600, from_k=280)

    assert free_air_delivered_m3_per_min(0.5, half, INTAKE) == pytest.approx(1.480, abs=0.0005)


def test_three_runs_that_agree_are_steady():
    runs = [PumpUpRun(1.01325, 31.01325, seconds, 293.15, 313.15) for seconds in (595, 600, 606)]

    result = delivered(0.5, runs, INTAKE)

    assert result.is_steady
    assert result.has_temperatures
    assert not result.is_at_rated_speed
    assert result.mean_m3_per_min == pytest.approx(1.382, abs=0.002)
    assert result.deviation_m3_per_min == pytest.approx(0.0127, abs=0.0005)


def test_runs_far_apart_are_not_steady():
    runs = [PumpUpRun(1.01325, 31.01325, seconds) for seconds in (560, 600, 640)]

    assert not delivered(0.5, runs, INTAKE).is_steady


def test_runs_are_brought_to_the_rated_speed():
    runs = [PumpUpRun(1.01325, 31.01325, 600, 293.15, 313.15, 891)] * 3

    result = delivered(0.5, runs, INTAKE, rated_per_min=900)

    assert result.is_at_rated_speed
    assert result.mean_m3_per_min == pytest.approx(1.383 * 900 / 891, abs=0.001)


def test_two_runs_are_too_few():
    with pytest.raises(RunImpossible, match="At least 3 runs; 2 were given"):
        delivered(0.5, [WORKED, WORKED], INTAKE)


def test_leak_share_of_8_minutes_on_and_48_off():
    # Arithmetic.
    assert 100 * leak_share(8, 48) == pytest.approx(14.2857, abs=0.0001)


@pytest.mark.parametrize(
    "impossible",
    [
        lambda: IntakeState(101.3, 293),
        lambda: IntakeState(1.0, 20),
        lambda: PumpUpRun(5, 5, 60),
        lambda: PumpUpRun(0, 5, 60),
        lambda: PumpUpRun(1, 5, 0),
        lambda: PumpUpRun(1, 5, 60, 20, 40),
        lambda: free_air_delivered_m3_per_min(0, WORKED, INTAKE),
        lambda: free_air_delivered_m3_per_min(0.5, PumpUpRun(1.0, 1.1, 60, 250, 400), INTAKE),
        lambda: leak_share(0, 0),
        lambda: leak_share(-1, 5),
    ],
)
def test_figures_that_cannot_be_are_refused(impossible):
    with pytest.raises(RunImpossible):
        impossible()
