"""One opening from making safe to the last signature, or as far as the story has come with it."""

from app.demonstration.boxing_up import do_the_work
from app.demonstration.deciding import decide_all
from app.demonstration.gauging import gauge_as_found
from app.demonstration.running import run_to_prove
from app.demonstration.steps_taken import take_steps
from app.demonstration.visit import Visit
from app.domain.overhaul import Meaning, Phase

COOLING_MINUTES = 45
MINUTES_TO_SIGN = 6
DAYS_FOR_PARTS = 2


def tell_opening(visit: Visit) -> None:
    """Take an opening as far as the story goes."""
    _open_up(visit)
    if visit.opening.stops_in is Phase.GAUGE:
        return
    visit.clock.after(MINUTES_TO_SIGN)
    visit.sign(Meaning.GAUGED, visit.fitter)
    if visit.opening.stops_in is Phase.DECIDE:
        return
    _decide(visit)
    _close(visit)


def _open_up(visit: Visit) -> None:
    """Make safe, let it cool and gauge."""
    take_steps(visit, Phase.MAKE_SAFE)
    visit.clock.after(COOLING_MINUTES)
    gauge_as_found(visit)


def _decide(visit: Visit) -> None:
    """Have the chief engineer decide and sign, the day after."""
    visit.clock.next_day()
    decide_all(visit)
    visit.clock.after(MINUTES_TO_SIGN)
    visit.sign(Meaning.DECIDED, visit.chief)


def _close(visit: Visit) -> None:
    """Do the work when the parts are there, box up, prove and sign back into service."""
    visit.clock.next_day(DAYS_FOR_PARTS)
    do_the_work(visit)
    take_steps(visit, Phase.BOX_UP)
    visit.clock.next_day()
    take_steps(visit, Phase.PROVE)
    run_to_prove(visit)
    for meaning, person in ((Meaning.RETURNED_FITTER, visit.fitter), (Meaning.RETURNED_CHIEF, visit.chief)):
        visit.clock.after(MINUTES_TO_SIGN)
        visit.sign(meaning, person)
