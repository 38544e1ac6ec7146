"""Compression against printed examples, and figures that cannot be refused."""

import math

import pytest

from app.domain.compression import (
    CompressionImpossible,
    StageSize,
    delivery_temperature_k,
    equal_ratio_pressures_pa,
    estimated_pressures_pa,
    free_air_m3,
    indicated_power_w,
    isothermal_efficiency,
    volumetric_efficiency,
)

RATIO = 550 / 97


def test_single_stage_machine_of_joel_example_14_1():
    # Rayner Joel, Basic Engineering Thermodynamics, example 14.1: 200 x 300 mm, 500 rev/min, c 5 %, n 1.3,
    # 97 to 550 kPa, 20 degC, free air at 101.325 kPa and 15 degC; printed with 273 K at 0 degC.
    swept_m3_per_min = math.pi / 4 * 0.2**2 * 0.3 * 500
    taken_in = swept_m3_per_min * volumetric_efficiency(0.05, RATIO, 1.3)

    free = free_air_m3(taken_in, 97e3, 293, 101.325e3, 288)

    assert free == pytest.approx(3.814, abs=0.005)
    assert delivery_temperature_k(293, RATIO, 1.3) - 273 == pytest.approx(164.3, abs=0.1)
    assert indicated_power_w(taken_in / 60, 97e3, RATIO, 1.3) == pytest.approx(14_000, abs=50)
    assert isothermal_efficiency(RATIO, 1.3) == pytest.approx(0.813, abs=0.001)
    assert free / swept_m3_per_min == pytest.approx(0.809, abs=0.001)


def test_three_stage_machine_of_joel_example_14_3():
    # Rayner Joel, example 14.3: 1 to 15 bar in three stages, intake 18 degC, n 1.3.
    first, second, _ = equal_ratio_pressures_pa(1e5, 15e5, 3)

    assert (first / 1e5, second / 1e5) == (pytest.approx(2.466, abs=0.001), pytest.approx(6.082, abs=0.001))
    assert delivery_temperature_k(291, first / 1e5, 1.3) - 273 == pytest.approx(85.4, abs=0.1)


def test_free_air_of_esposito_example_13_6():
    # Esposito, Fluid Power with Applications, example 13-6, in its own units: cfm, psia, degrees Rankine.
    assert free_air_m3(30, 125 + 14.7, 90 + 460, 14.7, 70 + 460) == pytest.approx(274.7, abs=0.1)


def test_estimate_gives_each_stage_what_the_first_takes_in():
    sizes = [StageSize(0.14**2), StageSize(0.078**2), StageSize(0.04**2)]
    pressures = (1e5, *estimated_pressures_pa(sizes, 1e5, 40e5))

    passed = [
        pressures[i] * size.swept_m3 * volumetric_efficiency(0.05, pressures[i + 1] / pressures[i], 1.3)
        for i, size in enumerate(sizes)
    ]

    assert passed == pytest.approx([passed[0]] * 3, rel=1e-6)


def test_volumetric_efficiency_never_falls_below_nothing():
    assert volumetric_efficiency(0.5, 1000, 1.3) == 0


@pytest.mark.parametrize(
    "impossible",
    [
        lambda: StageSize(0),
        lambda: StageSize(0.01, 1.0),
        lambda: delivery_temperature_k(-1, 2, 1.3),
        lambda: delivery_temperature_k(300, 0.5, 1.3),
        lambda: delivery_temperature_k(300, 2, 1.0),
        lambda: free_air_m3(1, 0, 300, 1, 300),
        lambda: equal_ratio_pressures_pa(2e5, 1e5, 2),
        lambda: isothermal_efficiency(1, 1.3),
        lambda: estimated_pressures_pa([StageSize(0.01, 0.9), StageSize(0.001, 0.9)], 1e5, 400e5),
        lambda: estimated_pressures_pa([StageSize(0.001, 0), StageSize(0.01, 0)], 1e5, 40e5),
    ],
)
def test_what_no_compressor_has_is_refused(impossible):
    with pytest.raises(CompressionImpossible):
        impossible()
