"""The invented machines run: to prove an overhaul, and once because a fault was seen."""

from random import Random

from app.actions.proving import choose_baseline, keep_fault, keep_run
from app.demonstration.chance import chance
from app.demonstration.visit import FITTER, Visit
from app.demonstration.working_days import Clock
from app.domain.people import Person
from app.domain.running_limits import PressureUnit
from app.store.book import Book

# Working values of the invented machines at full delivery, gauge pressure and delivery temperature by stage.
USUAL = {
    PressureUnit.BAR: ((2.3, 115), (11.3, 136), (40.0, 129)),
    PressureUnit.PSI: ((32.0, 244), (118.0, 268)),
}
AROUND = {PressureUnit.BAR: ("1.012", 21, 2.4), PressureUnit.PSI: ("14.7", 70, 36.0)}
# Receiver's gauge before and after a pump-up run, how long it takes, and how warm its air is before and after.
PUMP_UP = {PressureUnit.BAR: (20, 40, 498, 22, 31), PressureUnit.PSI: (60, 115, 148, 70, 83)}
SPEED = 900
MINUTES_RUNNING = 75
FAULT_TAG, FAULT_DAYS_AGO = "GA-2", 9
FAULT_SEEN = "Gauge 2 stands low and swings since the morning round; free air seems short."


def run_to_prove(visit: Visit) -> None:
    """Run a closed machine at working pressure, and keep what it shows."""
    found = visit.overhaul()
    if found.sheet.proving is None:
        return
    visit.clock.after(MINUTES_RUNNING)
    typed = _figures(found.sheet.proving.unit, visit.chance("running")) | {"request_id": f"run {visit.overhaul_id:08}"}
    run_id = keep_run(visit.book, visit.fitter, visit.overhaul_id, typed, visit.clock.now)
    if visit.overhaul().baseline is None:
        reason = "First run after an overhaul, everything renewed that was due."
        choose_baseline(visit.book, visit.chief, run_id, reason, visit.clock.after(20))


def _figures(unit: PressureUnit, draw: Random) -> dict[str, str]:
    """Give what a machine in good order shows."""
    barometer, around, oil = AROUND[unit]
    decimals = 1 if unit is PressureUnit.BAR else 0
    typed = {
        "barometer": barometer, "intake_temperature": str(around + draw.randint(-3, 3)), "speed": str(SPEED),
        "oil_pressure": f"{oil * draw.uniform(0.97, 1.03):.{decimals}f}", "oil_seconds": str(draw.randint(5, 9)),
    }  # fmt: skip
    for stage, (pressure, temperature) in enumerate(USUAL[unit], start=1):
        typed[f"gauge-{stage}"] = f"{pressure * draw.uniform(0.99, 1.01):.{decimals}f}"
        typed[f"temperature-{stage}"] = str(temperature + draw.randint(-4, 4))
    return typed | _pump_ups(unit, draw)


def _pump_ups(unit: PressureUnit, draw: Random) -> dict[str, str]:
    """Give three pump-up runs."""
    start, end, seconds, before, after = PUMP_UP[unit]
    typed = {"volume": "0.5" if unit is PressureUnit.BAR else "30"}
    for run in range(1, 4):
        typed |= {f"start-{run}": str(start), f"end-{run}": str(end)}
        typed |= {f"start_temperature-{run}": str(before), f"end_temperature-{run}": str(after)}
        typed[f"seconds-{run}"] = f"{seconds * draw.uniform(0.99, 1.01):.1f}"
    return typed


def see_a_fault(book: Book, by: Person, hours: int, clock: Clock) -> None:
    """Keep what was seen on GA-2 in the week before it was opened."""
    typed = _figures(PressureUnit.BAR, chance(FAULT_TAG, FITTER, "fault"))
    typed = {name: text for name, text in typed.items() if name[0] not in "esv" or name == "speed"}
    typed |= {"gauge-2": "9.6", "sign-2": "swings", "seen": FAULT_SEEN, "hours": str(hours), "request_id": "fault-0001"}
    keep_fault(book, by, FAULT_TAG, typed, clock.now)
