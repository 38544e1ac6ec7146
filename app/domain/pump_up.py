"""The pump-up test: free air delivered into a closed volume, over several runs, and the share a leak takes."""

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, stdev

from app.domain.errors import WearbookError

FEWEST_RUNS = 3
WIDEST_SPREAD = 0.05  # common practice, no source: runs further apart than this of their mean are taken again


class RunImpossible(WearbookError):
    """A pump-up run was entered with figures that cannot be; says which."""


@dataclass(frozen=True)
class IntakeState:
    """The free state that delivery is counted in: pressure and temperature at the intake."""

    pressure_bar: float  # absolute
    temperature_k: float

    def __post_init__(self) -> None:
        if not 0.5 <= self.pressure_bar <= 1.2:
            raise RunImpossible("The intake's pressure is absolute, between 0.5 and 1.2 bar.")
        if not 223 <= self.temperature_k <= 343:
            raise RunImpossible("The intake's temperature lies between −50 and 70 °C.")


@dataclass(frozen=True)
class PumpUpRun:
    """One run: the receiver rises from one pressure to another in a time; gas temperatures where they are known."""

    from_bar: float  # absolute
    to_bar: float
    seconds: float
    from_k: float | None = None
    to_k: float | None = None
    revolutions_per_min: float | None = None

    def __post_init__(self) -> None:
        if self.to_bar <= self.from_bar or self.from_bar <= 0:
            raise RunImpossible("The receiver's pressure rises, and absolute pressures are above zero.")
        if not 1 <= self.seconds <= 36_000:
            raise RunImpossible("A run takes between 1 second and 10 hours.")
        if any(t is not None and not 223 <= t <= 473 for t in (self.from_k, self.to_k)):
            raise RunImpossible("The air in the receiver lies between −50 and 200 °C.")


@dataclass(frozen=True)
class Delivered:
    """What several runs say together."""

    mean_m3_per_min: float
    runs_m3_per_min: tuple[float, ...]
    has_temperatures: bool
    is_at_rated_speed: bool

    @property
    def spread(self) -> float:
        """Largest less smallest run, as a share of the mean."""
        return (max(self.runs_m3_per_min) - min(self.runs_m3_per_min)) / self.mean_m3_per_min

    @property
    def deviation_m3_per_min(self) -> float:
        """Standard deviation of the runs."""
        return stdev(self.runs_m3_per_min)

    @property
    def is_steady(self) -> bool:
        """Whether the runs agree."""
        return self.spread <= WIDEST_SPREAD


def free_air_delivered_m3_per_min(volume_m3: float, run: PumpUpRun, intake: IntakeState) -> float:
    """Give the free air that one run delivered.

    Formula: Q = V / t x (p2 / T2 - p1 / T1) x T0 / p0; without temperatures T1 = T2 = T0

    Parameters:
        volume_m3 [m^3]: closed volume V, receiver and pipes.
        run [bar, K, s]: the run, pressures absolute.
        intake [bar, K]: the free state p0, T0.

    Returns:
        free air delivered [m^3/min].

    Safe side: smaller; without temperatures the figure comes out too large, as the air has warmed.
    Valid: volume shut off, drains shut, never above working pressure; temperature of the air, not of the shell.

    >>> run = PumpUpRun(1.01325, 31.01325, 600, 293.15, 313.15)
    >>> round(free_air_delivered_m3_per_min(0.5, run, IntakeState(1.01325, 293.15)), 3)
    1.383

    Sources:
        1. Ideal gas law on the air in the volume before and after.
    """
    if not 0 < volume_m3 <= 1000:
        raise RunImpossible("The volume is above 0 and at most 1000 m³.")
    first_k, last_k = run.from_k or intake.temperature_k, run.to_k or intake.temperature_k
    if run.from_k is None or run.to_k is None:
        first_k = last_k = intake.temperature_k
    held = run.to_bar / last_k - run.from_bar / first_k
    delivered = volume_m3 / run.seconds * held * intake.temperature_k / intake.pressure_bar * 60
    if delivered <= 0:
        raise RunImpossible("With these temperatures nothing was delivered: look at both once more.")
    return delivered


def delivered(
    volume_m3: float, runs: Sequence[PumpUpRun], intake: IntakeState, rated_per_min: float | None = None
) -> Delivered:
    """Put the runs together, each brought to the rated speed where its speed is known."""
    if len(runs) < FEWEST_RUNS:
        raise RunImpossible(f"At least {FEWEST_RUNS} runs; {len(runs)} were given.")
    has_speed = rated_per_min is not None and all(run.revolutions_per_min for run in runs)
    each = tuple(
        free_air_delivered_m3_per_min(volume_m3, run, intake)
        * (rated_per_min / run.revolutions_per_min if has_speed and rated_per_min and run.revolutions_per_min else 1)
        for run in runs
    )
    has_temperatures = all(run.from_k is not None and run.to_k is not None for run in runs)
    return Delivered(fmean(each), each, has_temperatures, has_speed)


def leak_share(on_minutes: float, off_minutes: float) -> float:
    """Give the share of the capacity that leaks take, from a machine that only keeps a closed net filled.

    Formula: share = T / (T + t), T on load, t off load

    Parameters:
        on_minutes [min]: time on load T.
        off_minutes [min]: time off load t.

    Returns:
        the share [-].

    Safe side: larger.
    Valid: nothing is drawn but leaks, over several cycles.

    >>> round(100 * leak_share(8, 48), 4)
    14.2857

    Sources:
        1. Arithmetic.
    """
    if on_minutes < 0 or off_minutes < 0 or on_minutes + off_minutes == 0:
        raise RunImpossible("Times on and off load are not below zero, and not both zero.")
    return on_minutes / (on_minutes + off_minutes)
