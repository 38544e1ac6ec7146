"""How a machine is closed: ring gaps staggered, nuts tightened in steps and crosswise, and what a torque amounts to."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from app.domain.errors import WearbookError

NEWTON_METRES_PER_POUND_FOOT = Decimal("1.3558179483314")
FULL_TURN_DEGREES = 360
STEPS_PERCENT = (30, 60, 100)  # common practice, no source; the sheet may ask for others


class TighteningImpossible(WearbookError):
    """Nuts, rings or threads were given that no machine has."""


class Thread(StrEnum):
    """How a thread is when it is tightened, which the torque is given for."""

    DRY = "dry"
    OILED = "oiled"


class TorqueUnit(StrEnum):
    """The unit a torque is given in."""

    NEWTON_METRE = "N.m"
    POUND_FOOT = "lbf.ft"


@dataclass(frozen=True)
class Joint:
    """One joint of a stage: how many nuts, to what torque, dry or oiled, in which steps; heads only with the rings."""

    key: str
    name: str
    nuts: int
    torque: Decimal
    unit: TorqueUnit
    thread: Thread
    rings_only: bool = False
    steps_percent: tuple[int, ...] = STEPS_PERCENT

    @property
    def step_torques(self) -> tuple[Decimal, ...]:
        """The torque of each step, to the unit's whole number, the last exactly as the sheet gives it."""
        early = (round(self.torque * percent / 100) for percent in self.steps_percent[:-1])
        return (*map(Decimal, early), self.torque)

    @property
    def words(self) -> str:
        """What is done, in one line."""
        steps = ", ".join(str(one) for one in self.step_torques)
        return f"{self.nuts} nuts crosswise to {steps} {self.unit}, {self.thread}"


@dataclass(frozen=True)
class Closing:
    """How a stage is closed; nothing where the sheet does not say."""

    joints: tuple[Joint, ...] = ()
    stagger_degrees: tuple[Decimal, ...] = ()


CLOSING_NOT_SAID = Closing()


def crosswise(nuts: int) -> tuple[int, ...]:
    """Give the order in which nuts on a circle are tightened, numbered round it from 1.

    Each nut is followed by the one opposite, and each pair by one as far from those done as there is; of an odd
    number every next nut lies nearly opposite. Common practice, no source.

    >>> crosswise(4), crosswise(6), crosswise(8), crosswise(5)
    ((1, 3, 2, 4), (1, 4, 2, 5, 3, 6), (1, 5, 3, 7, 2, 6, 4, 8), (1, 3, 5, 2, 4))
    """
    if not 1 <= nuts <= 48:
        raise TighteningImpossible("A joint has 1 to 48 nuts.")
    if nuts % 2:
        return tuple(index * (nuts // 2) % nuts + 1 for index in range(nuts)) if nuts > 1 else (1,)
    half = nuts // 2
    done: list[int] = [0]
    while len(done) < half:
        left = [first for first in range(half) if first not in done]
        done.append(max(left, key=lambda first: (min(_apart(first, other, half) for other in done), -first)))
    return tuple(nut for first in done for nut in (first + 1, first + half + 1))


def _apart(one: int, other: int, half: int) -> int:
    """How far two pairs of opposite nuts stand apart."""
    return min((one - other) % half, (other - one) % half)


def stagger_degrees(rings: int) -> tuple[int, ...]:
    """Give where the gaps of a piston's rings stand, ring by ring, unless the sheet says otherwise.

    Evenly, which is 120 degrees for three; of four, neighbours opposite. Common practice, no source.

    >>> stagger_degrees(3), stagger_degrees(4), stagger_degrees(2)
    ((0, 120, 240), (0, 180, 90, 270), (0, 180))
    """
    if not 1 <= rings <= 12:
        raise TighteningImpossible("A piston has 1 to 12 rings.")
    if rings == 4:
        return 0, 180, 90, 270
    return tuple(round(FULL_TURN_DEGREES * ring / rings) for ring in range(rings))


def in_newton_metres(torque: Decimal, unit: TorqueUnit) -> Decimal:
    """Give a torque in newton metres.

    Formula: N.m = lbf.ft x 1.3558179483314

    Parameters:
        torque [N*m or lbf*ft]: the torque in its unit.
        unit [-]: its unit.

    Returns:
        the torque [N*m].

    Safe side: exact to the digits of the source, so neither.
    Valid: any torque.

    >>> round(in_newton_metres(Decimal(55), TorqueUnit.POUND_FOOT), 2)
    Decimal('74.57')

    Sources:
        1. NIST Special Publication 811 (2008), appendix B.8: 1 lbf.ft = 1.3558179483314 N.m.
    """
    return torque * NEWTON_METRES_PER_POUND_FOOT if unit is TorqueUnit.POUND_FOOT else torque


def preload_n(stress_area_mm2: float, proof_mpa: float, share: float) -> float:
    """Give the preload that takes a share of a bolt's proof load.

    Formula: F = share x proof stress x stress area

    Parameters:
        stress_area_mm2 [mm^2]: tensile stress area of the thread.
        proof_mpa [MPa]: proof stress of the bolt's class.
        share [-]: the share of the proof load.

    Returns:
        the preload [N].

    Safe side: smaller, for the bolt.
    Valid: plausibility only, never a value to tighten to.

    >>> round(preload_n(84.3, 580, 0.70))
    34226

    Sources:
        1. Arithmetic; M12 class 8.8: 84.3 mm2, 580 MPa.
    """
    return share * proof_mpa * stress_area_mm2


def torque_nm(nut_factor: float, diameter_mm: float, force_n: float) -> float:
    """Give the torque that gives a preload.

    Formula: T = K x d x F

    Parameters:
        nut_factor [-]: nut factor K, about 0.2 dry and 0.12 oiled.
        diameter_mm [mm]: nominal diameter d of the thread.
        force_n [N]: the preload F.

    Returns:
        the torque [N*m].

    Safe side: smaller, for the bolt; an oiled thread takes the same preload from less torque.
    Valid: plausibility only, never a value to tighten to: the sheet gives the torque and whether dry or oiled.

    >>> round(torque_nm(0.2, 12, 34226), 2)
    82.14

    Sources:
        1. Arithmetic of the nut-factor formula.
    """
    return nut_factor * diameter_mm * force_n / 1000


def share_of_proof(torque: float, nut_factor: float, diameter_mm: float, proof_load_n: float) -> float:
    """Give what share of a bolt's proof load a torque reaches.

    Formula: share = T / (K x d) / proof load

    Parameters:
        torque [N*m]: the torque T.
        nut_factor [-]: nut factor K.
        diameter_mm [mm]: nominal diameter d.
        proof_load_n [N]: proof load of the bolt.

    Returns:
        the share [-].

    Safe side: larger.
    Valid: plausibility only.

    >>> round(100 * share_of_proof(82.14, 0.12, 12, 84.3 * 580))
    117

    Sources:
        1. Arithmetic of the nut-factor formula.
    """
    return torque * 1000 / (nut_factor * diameter_mm) / proof_load_n
