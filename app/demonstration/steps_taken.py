"""What is confirmed and written down at each step of making safe, boxing up and proving."""

from app.actions.overhauls import confirm_step
from app.demonstration.visit import Visit
from app.domain.overhaul import Overhaul, Phase
from app.domain.readings import Place
from app.domain.steps import Step, permit, steps_of
from app.domain.units import LengthUnit

MINUTES_A_STEP = {Phase.MAKE_SAFE: (3, 9), Phase.BOX_UP: (10, 28), Phase.PROVE: (6, 15)}
# Working values of the invented machines at full delivery, gauge pressure and delivery temperature by stage.
RUNNING = {
    LengthUnit.MM: {1: (2.3, 115), 2: (11.3, 136), 3: (40.0, 129)},
    LengthUnit.INCH: {1: (32.0, 244), 2: (118.0, 268)},
}
SAFETY_VALVES = {
    LengthUnit.MM: "stage 1 at 3.5 bar, 2 at 14 bar, 3 at 43 bar; oil at 1.2 bar; hot air at 170 °C",
    LengthUnit.INCH: "stage 1 at 42 psi, 2 at 135 psi; oil at 18 psi; hot air at 330 °F",
}
FIXED = {
    "oil": {LengthUnit.MM: "ISO VG 100, 6 litres", LengthUnit.INCH: "ISO VG 100, 3.5 litres"},
    "oil-pressure": {LengthUnit.MM: "2.4 bar", LengthUnit.INCH: "36 psi"},
    "covers": {LengthUnit.MM: "75 N.m, W-02", LengthUnit.INCH: "48 lbf.ft, W-03"},
    "heads": {LengthUnit.MM: "110 N.m, W-02", LengthUnit.INCH: "70 lbf.ft, W-03"},
    "load": {LengthUnit.MM: "60", LengthUnit.INCH: "45"},
    "protections": SAFETY_VALVES,
}


def take_steps(visit: Visit, phase: Phase) -> None:
    """Confirm every step of a phase in its order."""
    found = visit.overhaul()
    for step in steps_of(found, phase):
        visit.clock.after(visit.chance("step", step.key).uniform(*MINUTES_A_STEP[phase]))
        value = _value(visit, found, step) if step.asks else ""
        confirm_step(visit.book, visit.fitter, visit.overhaul_id, phase, step.key, value, visit.clock.now)


def _value(visit: Visit, found: Overhaul, step: Step) -> str:
    """Give the value a step asks for."""
    what, _, stage = step.key.partition("-")
    unit = found.sheet.unit
    if step.key in FIXED:
        return FIXED[step.key][unit]
    if what == "gauge":
        return "0.0 bar" if unit is LengthUnit.MM else "0 psi"
    if what == "run":
        return _running(visit, unit, int(stage))
    if step.joint is not None:
        return "W-02" if unit is LengthUnit.MM else "W-03"
    if step.key == "bumping":
        return ", ".join(_bumping(visit, found, number) for number in found.scope.stages)
    if what == "bumping":
        return _bumping(visit, found, int(stage))
    return f"L-{visit.chance('lock').randrange(11, 30)}" if step.key == "locks" else _permit(visit, found)


def _running(visit: Visit, unit: LengthUnit, stage: int) -> str:
    """Give what a stage's gauge and thermometer read on load."""
    draw = visit.chance("run", stage)
    pressure, temperature = RUNNING[unit][stage]
    pressure *= draw.uniform(0.985, 1.015)
    temperature += draw.randint(-4, 4)
    if unit is LengthUnit.INCH:
        return f"{pressure:.0f} psi, {temperature} °F"
    return f"{pressure:.1f} bar, {temperature} °C"


def _bumping(visit: Visit, found: Overhaul, stage: int) -> str:
    """Give a stage's bumping clearance as the lead wire shows it after the final torque."""
    size_mm = visit.condition.size_mm(Place(f"{stage}.head", "bumping-clearance"), float(found.hours))
    shown = f"{size_mm / 25.4:.3f} in" if found.sheet.unit is LengthUnit.INCH else f"{size_mm:.2f} mm"
    return f"stage {stage} {shown}"


def _permit(visit: Visit, found: Overhaul) -> str:
    """The permit the machine was made safe under; the first time it is asked for, the number it got."""
    return permit(found) or f"{found.opened_at:%y}-{visit.chance('permit').randrange(101, 480)}"
