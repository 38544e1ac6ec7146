"""A machine worked out from its swept volumes alone, in which a fault can be planted stage by stage."""

from dataclasses import dataclass, replace

from app.domain.suspects import RunningState

EXPONENT = 1.3


@dataclass(frozen=True)
class Machine:
    """Swept volumes, what each stage still takes in and loses, and how warm its cooler leaves the air."""

    swept: tuple[float, ...]
    takes: tuple[float, ...]  # share of what a sound stage takes in: worn valves lower it
    loses: tuple[float, ...]  # share of what it took in that never leaves it: rings blowing by
    cooled_k: tuple[float, ...]  # air after each stage's cooler
    intake_bar: float = 1.0
    delivery_bar: float = 40.0
    clearance: float = 0.05

    def with_fault(self, what: str, stage: int, value: float) -> "Machine":
        """Plant a fault in one stage."""
        changed = list(getattr(self, what))
        changed[stage - 1] = value
        return replace(self, **{what: tuple(changed)})


def sound(bores: tuple[float, ...], delivery_bar: float) -> Machine:
    """A machine in good order, of equal strokes."""
    count = len(bores)
    return Machine(
        tuple(bore**2 for bore in bores), (1.0,) * count, (0.0,) * count, (303.0,) * count, delivery_bar=delivery_bar
    )


def running(machine: Machine) -> RunningState:
    """Let the machine settle: what each stage passes is what the one before it gives."""
    count = len(machine.swept)
    ratio = (machine.delivery_bar / machine.intake_bar) ** (1 / count)
    pressures = [machine.intake_bar * ratio**i for i in range(count + 1)]
    warmth = (293.0, *machine.cooled_k)
    for _ in range(400):
        passed = machine.takes[0] * pressures[0] * fills(machine, pressures, 0) / warmth[0]
        for i in range(1, count):
            passed *= 1 - machine.loses[i - 1]
            wanted = passed * warmth[i] / (machine.takes[i] * fills(machine, pressures, i))
            pressures[i] = (pressures[i] * wanted) ** 0.5
    delivered = passed * (1 - machine.loses[-1])
    return RunningState(machine.intake_bar, tuple(pressures[1:]), free_air_m3_per_min=delivered)


def fills(machine: Machine, pressures: list[float], stage: int) -> float:
    """Swept volume of a stage that fills, after the air left in its clearance has spread out again."""
    ratio = pressures[stage + 1] / pressures[stage]
    return machine.swept[stage] * (1 + machine.clearance - machine.clearance * ratio ** (1 / EXPONENT))
