"""What compression does to air: temperatures, volumetric efficiency, free air, pressures between stages."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from app.domain.errors import WearbookError

KELVIN_AT_0_C = 273.15
EXPONENTS = (1.0, 1.7)


class CompressionImpossible(WearbookError):
    """Pressures, temperatures or sizes were given that no compressor has."""


@dataclass(frozen=True)
class StageSize:
    """What of a stage fills it: swept volume of all its cylinders a revolution, and clearance as a share of it."""

    swept_m3: float
    clearance: float = 0.05

    def __post_init__(self) -> None:
        if not 0 < self.swept_m3 < 10 or not 0 <= self.clearance < 1:
            raise CompressionImpossible("A stage has a swept volume, and a clearance that is a share of it below 1.")


def delivery_temperature_k(intake_k: float, ratio: float, exponent: float) -> float:
    """Give the temperature of air after compression.

    Formula: T2 = T1 x (p2 / p1)^((n - 1) / n)

    Parameters:
        intake_k [K]: temperature T1 before.
        ratio [-]: absolute pressure after over absolute pressure before.
        exponent [-]: exponent n of the compression.

    Returns:
        the temperature after [K].

    Safe side: larger; hotter air carbonises oil.
    Valid: 1 < n < 1.7, ratio 1 or more, pressures absolute.

    >>> round(delivery_temperature_k(293, 550 / 97, 1.3) - 273, 1)
    164.3

    Sources:
        1. Rayner Joel, Basic Engineering Thermodynamics, example 14.1: 164.3 degC with 273 K at 0 degC.
    """
    check_exponent(exponent)
    if intake_k <= 0 or ratio < 1:
        raise CompressionImpossible("Temperatures are above absolute zero, and a stage compresses.")
    return float(intake_k * ratio ** ((exponent - 1) / exponent))


def volumetric_efficiency(clearance: float, ratio: float, exponent: float) -> float:
    """Give the share of its swept volume that a stage takes in, at intake pressure and temperature.

    Formula: eta = 1 + c - c x (p2 / p1)^(1 / n)

    Parameters:
        clearance [-]: clearance volume over swept volume, c.
        ratio [-]: absolute pressure after over absolute pressure before.
        exponent [-]: exponent n of the re-expansion.

    Returns:
        the volumetric efficiency on intake basis [-].

    Safe side: smaller.
    Valid: without leaks, throttling or heating at intake; not below 0.

    >>> round(volumetric_efficiency(0.05, 550 / 97, 1.3), 3)
    0.86

    Sources:
        1. Rayner Joel, Basic Engineering Thermodynamics, example 14.1 (86.0 % on intake basis).
    """
    check_exponent(exponent)
    return max(0.0, 1 + clearance - clearance * float(ratio ** (1 / exponent)))


def free_air_m3(
    volume_m3: float, pressure_pa: float, temperature_k: float, free_pressure_pa: float, free_temperature_k: float
) -> float:
    """Bring a volume of air to the free state.

    Formula: V_free = V x p / p_free x T_free / T

    Parameters:
        volume_m3 [m^3]: the volume V.
        pressure_pa [Pa]: its absolute pressure p.
        temperature_k [K]: its temperature T.
        free_pressure_pa [Pa]: absolute pressure of the free state.
        free_temperature_k [K]: temperature of the free state.

    Returns:
        the volume of free air [m^3].

    Safe side: smaller, where delivery is promised.
    Valid: dry air as an ideal gas.

    >>> psi, cubic_foot = 6894.757, 0.3048**3
    >>> free = free_air_m3(30 * cubic_foot, (125 + 14.7) * psi, 305.37, 14.7 * psi, 294.26)
    >>> round(free / cubic_foot, 1)
    274.7

    Sources:
        1. Esposito, Fluid Power with Applications, example 13-6: 30 cfm at 125 psig and 90 degF is 274.7 cfm free.
    """
    if min(volume_m3, pressure_pa, temperature_k, free_pressure_pa, free_temperature_k) <= 0:
        raise CompressionImpossible("Volumes, absolute pressures and absolute temperatures are above zero.")
    return volume_m3 * pressure_pa / free_pressure_pa * free_temperature_k / temperature_k


def equal_ratio_pressures_pa(intake_pa: float, delivery_pa: float, stages: int) -> tuple[float, ...]:
    """Give the pressure after each stage where every stage compresses by the same ratio.

    Formula: p_i = p1 x (p_delivery / p1)^(i / N)

    Parameters:
        intake_pa [Pa]: absolute intake pressure p1.
        delivery_pa [Pa]: absolute delivery pressure.
        stages [-]: number of stages N.

    Returns:
        the absolute pressures after the stages [Pa], the last is the delivery's.

    Safe side: neither; a designer's first guess, from which a sound machine may be far off.
    Valid: perfect cooling between stages, no losses.

    >>> [round(p / 1e5, 3) for p in equal_ratio_pressures_pa(1e5, 15e5, 3)]
    [2.466, 6.082, 15.0]

    Sources:
        1. Rayner Joel, Basic Engineering Thermodynamics, example 14.3 (2.466 and 6.082 bar).
    """
    if not 0 < intake_pa < delivery_pa or stages < 1:
        raise CompressionImpossible("Delivery is above intake, both absolute, and there is one stage at least.")
    return tuple(intake_pa * (delivery_pa / intake_pa) ** (i / stages) for i in range(1, stages + 1))


def indicated_power_w(free_flow_m3_per_s: float, pressure_pa: float, ratio: float, exponent: float) -> float:
    """Give the power that one stage puts into the air.

    Formula: P = n / (n - 1) x p1 x V1 x ((p2 / p1)^((n - 1) / n) - 1), V1 the flow at intake

    Parameters:
        free_flow_m3_per_s [m^3/s]: flow taken in, at intake pressure and temperature.
        pressure_pa [Pa]: absolute intake pressure p1.
        ratio [-]: absolute pressure after over absolute pressure before.
        exponent [-]: exponent n of the compression.

    Returns:
        the power [W].

    Safe side: larger.
    Valid: one stage, no losses in valves.

    >>> flow = 3.814 / 60 * 101.325 / 97 * 293 / 288
    >>> round(indicated_power_w(flow, 97e3, 550 / 97, 1.3) / 1e3, 1)
    14.0

    Sources:
        1. Rayner Joel, Basic Engineering Thermodynamics, example 14.1 (14.0 kW).
    """
    check_exponent(exponent)
    power = exponent / (exponent - 1) * pressure_pa * free_flow_m3_per_s
    return float(power * (ratio ** ((exponent - 1) / exponent) - 1))


def isothermal_efficiency(ratio: float, exponent: float) -> float:
    """Give the work of compressing at one temperature over the work actually put in.

    Formula: eta_iso = ln(p2 / p1) / (n / (n - 1) x ((p2 / p1)^((n - 1) / n) - 1))

    Parameters:
        ratio [-]: absolute pressure after over absolute pressure before.
        exponent [-]: exponent n of the compression.

    Returns:
        the isothermal efficiency [-].

    Safe side: smaller.
    Valid: one stage, ratio above 1.

    >>> round(isothermal_efficiency(550 / 97, 1.3), 3)
    0.813

    Sources:
        1. Rayner Joel, Basic Engineering Thermodynamics, example 14.1 (81.3 %).
    """
    check_exponent(exponent)
    if ratio <= 1:
        raise CompressionImpossible("Nothing is compressed at a ratio of 1.")
    return math.log(ratio) / (exponent / (exponent - 1) * float(ratio ** ((exponent - 1) / exponent) - 1))


def estimated_pressures_pa(
    stages: Sequence[StageSize], intake_pa: float, delivery_pa: float, exponent: float = 1.3
) -> tuple[float, ...]:
    """Estimate the pressures between stages from the swept volumes: what each stage passes, the first takes in.

    Formula: p_i = p1 x (V_1 x eta_1) / (V_(i+1) x eta_(i+1)), eta from the ratio of each stage, found by repeating

    Parameters:
        stages [m^3, -]: sizes of the stages, in the order of compression.
        intake_pa [Pa]: absolute intake pressure.
        delivery_pa [Pa]: absolute delivery pressure.
        exponent [-]: exponent of compression and re-expansion.

    Returns:
        the absolute pressures after the stages [Pa], the last is the delivery's.

    Safe side: neither; an estimate to look at, never a standard to judge by.
    Valid: air cooled back to intake temperature between stages, no leaks.

    >>> sizes = [StageSize(d * d, 0.05) for d in (0.140, 0.078, 0.040)]
    >>> [round(p / 1e5, 2) for p in estimated_pressures_pa(sizes, 1e5, 40e5)]
    [3.27, 12.25, 40.0]

    Sources:
        1. Conservation of mass; volumetric efficiency as above.
    """
    pressures = [intake_pa, *equal_ratio_pressures_pa(intake_pa, delivery_pa, len(stages))]
    for _ in range(200):
        taken_in = [
            stage.swept_m3 * volumetric_efficiency(stage.clearance, pressures[i + 1] / pressures[i], exponent)
            for i, stage in enumerate(stages)
        ]
        if min(taken_in) <= 0:
            raise CompressionImpossible("With these sizes a stage would take nothing in at this delivery pressure.")
        wanted = [intake_pa * taken_in[0] / one for one in taken_in[1:]]
        pressures[1:-1] = [math.sqrt(now * new) for now, new in zip(pressures[1:-1], wanted, strict=True)]
    if sorted(pressures) != pressures:
        raise CompressionImpossible("With these sizes a stage would not compress at this delivery pressure.")
    return tuple(pressures[1:])


def check_exponent(exponent: float) -> None:
    """Refuse an exponent at which nothing is compressed."""
    if not EXPONENTS[0] < exponent < EXPONENTS[1]:
        raise CompressionImpossible(f"The exponent lies between {EXPONENTS[0]} and {EXPONENTS[1]}.")
