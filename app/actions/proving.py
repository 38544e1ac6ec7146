"""The machine is run: to prove an overhaul, or because a fault was seen; and a run is made its baseline."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from sqlmodel import Session

from app.actions.meter import MOST_HOURS
from app.actions.overhauls import LONGEST_ID, SHORTEST_ID
from app.domain.errors import InputRefused, NotAllowed, NotThere, NumberRefused, Sealed, UnitMismatch
from app.domain.limits import LimitSheet
from app.domain.numbers import parse_number
from app.domain.overhaul import Machine, Overhaul, Phase
from app.domain.people import Person, Right
from app.domain.phases import require_phase
from app.domain.pressure_doubts import pressure_doubts
from app.domain.proving import Proof, prove
from app.domain.pump_up import FEWEST_RUNS
from app.domain.running import LONGEST_WORDS, Figures, Run, read_figures, require_usual
from app.domain.running_limits import PressureUnit
from app.domain.temperature_doubts import temperature_doubts
from app.store.book import Book
from app.store.machines import find_machine, get_machine_by_number
from app.store.overhauls import get_overhaul
from app.store.running import find_baseline, get_run, list_runs, save_baseline, save_run
from app.store.sheets import current_sheet


@dataclass(frozen=True)
class ShownRun:
    """A run with its machine, what it says, and whether it is the machine's baseline."""

    run: Run
    machine: Machine
    sheet: LimitSheet
    proof: Proof
    is_baseline: bool


def unit_of(sheet: LimitSheet) -> PressureUnit:
    """The unit that a sheet wants pressures in; a sheet that does not say, bar."""
    return sheet.proving.unit if sheet.proving else PressureUnit.BAR


def keep_run(book: Book, by: Person, overhaul_id: int, typed: Mapping[str, str], now: datetime) -> int:
    """Keep a run that is to prove an overhaul; sent twice, it is kept once."""
    by.must(Right.GAUGE)
    with book.writing(by.name, now) as writing:
        found = get_overhaul(writing.session, overhaul_id)
        require_phase(found, Phase.PROVE)
        unit, stages = unit_of(found.sheet), len(found.sheet.stages)
        figures = read_figures(typed, stages, unit)
        require_usual(figures)
        _must_be_plain(writing.session, found.machine, found.sheet, figures, typed)
        _must_be_complete(found, figures, typed)
        return save_run(writing, found.machine, overhaul_id, found.hours, (unit, stages), typed, _request(typed))


def _must_be_plain(
    session: Session, machine: Machine, sheet: LimitSheet, figures: Figures, typed: Mapping[str, str]
) -> None:
    """Ask of what was likely typed as absolute, or in another unit, until it is said which it is."""
    baseline = find_baseline(session, machine.id)
    doubts = pressure_doubts(figures, typed, sheet, baseline.figures if baseline else None)
    doubts |= temperature_doubts(figures, typed, sheet)
    if doubts:
        raise InputRefused(doubts)


def _must_be_complete(found: Overhaul, figures: Figures, typed: Mapping[str, str]) -> None:
    """Ask for the pump-up test that the sheet wants, or for the reason why there is none."""
    wants = found.sheet.proving is not None and found.sheet.proving.free_air is not None
    if wants and len(figures.pump_ups) < FEWEST_RUNS and not typed.get("no_pump_up", "").strip():
        words = f"{FEWEST_RUNS} pump-up runs at least; or say here why none could be made."
        raise InputRefused({"no_pump_up": words})


def keep_fault(book: Book, by: Person, tag: str, typed: Mapping[str, str], now: datetime) -> int:
    """Keep what was seen on a machine in service, with its gauges; sent twice, it is kept once."""
    by.must(Right.GAUGE)
    with book.writing(by.name, now) as writing:
        machine = _machine(writing.session, tag)
        sheet = current_sheet(writing.session, machine.sheet_name)
        refused: dict[str, str] = {}
        if not typed.get("seen", "").strip():
            refused["seen"] = "Say what was seen or heard, in a few words."
        hours = _hours(typed, refused)
        try:
            figures = read_figures(typed, len(sheet.stages), unit_of(sheet), needs_oil=False)
            require_usual(figures)
            _must_be_plain(writing.session, machine, sheet, figures, typed)
        except InputRefused as refusal:
            refused |= refusal.fields
        if refused:
            raise InputRefused(refused)
        unit, stages = unit_of(sheet), len(sheet.stages)
        return save_run(writing, machine, None, hours, (unit, stages), typed, _request(typed))


def _machine(session: Session, tag: str) -> Machine:
    """Find a machine by its tag, or say that there is none."""
    machine = find_machine(session, tag)
    if machine is None:
        raise NotThere(f"No machine “{tag[:40]}” is in the book.")
    return machine


def _hours(typed: Mapping[str, str], refused: dict[str, str]) -> Decimal:
    """Read the hours at which a fault was seen."""
    try:
        hours = parse_number(typed.get("hours", ""), example="10300")
    except (NumberRefused, UnitMismatch) as refusal:
        refused["hours"] = str(refusal)
        return Decimal(0)
    if hours > MOST_HOURS:
        refused["hours"] = f"More than {MOST_HOURS} h cannot be."
    return hours


def _request(typed: Mapping[str, str]) -> str:
    """Give the form's identifier."""
    request_id = typed.get("request_id", "")
    if not SHORTEST_ID <= len(request_id) <= LONGEST_ID:
        raise NotThere("This form has no identifier: load its page again.")
    if any(len(text) > LONGEST_WORDS for text in typed.values()):
        raise InputRefused({"seen": f"At most {LONGEST_WORDS} characters."})
    return request_id


def shown_run(book: Book, run_id: int) -> ShownRun:
    """Give a run with what it says, by the sheet it was held to."""
    with book.reading() as session:
        run = get_run(session, run_id)
        found = get_overhaul(session, run.overhaul_id) if run.overhaul_id else None
        machine = found.machine if found else get_machine_by_number(session, run.machine_id)
        sheet = found.sheet if found else current_sheet(session, machine.sheet_name)
        then, now = find_baseline(session, run.machine_id, run.at), find_baseline(session, run.machine_id)
    return ShownRun(run, machine, sheet, prove(run, sheet, then), now is not None and now.id == run.id)


def runs_of(book: Book, tag: str) -> tuple[Machine, LimitSheet, tuple[Run, ...], Run | None]:
    """Give a machine's runs, the newest first, with its sheet and its baseline."""
    with book.reading() as session:
        machine = _machine(session, tag)
        sheet = current_sheet(session, machine.sheet_name)
        return machine, sheet, list_runs(session, machine.id), find_baseline(session, machine.id)


def choose_baseline(book: Book, by: Person, run_id: int, reason: str, now: datetime) -> Run:
    """Make a run in good order the standard that later runs of the machine are held to; chosen twice, kept once."""
    by.must(Right.DECIDE)
    with book.writing(by.name, now) as writing:
        run = get_run(writing.session, run_id)
        if run.overhaul_id is None:
            raise NotAllowed("A run made because of a fault is no baseline. Choose a run that proved an overhaul.")
        found = get_overhaul(writing.session, run.overhaul_id)
        if not prove(run, found.sheet, None).is_proved:
            raise Sealed("This run is not within what the sheet says, so it is no baseline.")
        if not reason.strip() or len(reason) > LONGEST_WORDS:
            raise InputRefused({"reason": f"Why is this the standard? In a few words, at most {LONGEST_WORDS} signs."})
        baseline = find_baseline(writing.session, run.machine_id)
        if baseline is None or baseline.id != run.id:
            save_baseline(writing, found.machine, run, reason.strip())
        return run
