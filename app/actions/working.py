"""The working of a part's verdict, with the sizes its life began with."""

from decimal import Decimal

from app.actions.outlooks import outlooks
from app.actions.past_overhauls import past_overhauls, so_far
from app.actions.trends import at_place, life_readings
from app.domain.holds import fitted_work
from app.domain.overhaul import Overhaul
from app.domain.part_verdicts import PartVerdict
from app.domain.readings import Occasion, Place
from app.domain.working import working_of
from app.domain.working_outlook import outlook_step
from app.domain.working_steps import WorkingStep
from app.store.book import Book


def working(book: Book, overhaul: Overhaul, verdict: PartVerdict, occasion: Occasion) -> tuple[WorkingStep, ...]:
    """Gather the sizes as fitted at the last opening and work the verdict out."""
    renewed = next((work.renewed for work in fitted_work(overhaul) if work.part.ref == verdict.part.ref), "")
    renewed_now = renewed if occasion is Occasion.AS_FITTED else ""
    steps = working_of(overhaul, verdict, occasion, renewed_now, sizes_as_fitted(book, overhaul, verdict))
    ahead = outlooks(book, overhaul).get(verdict.part.ref, ()) if occasion is Occasion.AS_FOUND else ()
    return (*steps, *(outlook_step(outlook) for outlook in ahead))


def sizes_as_fitted(book: Book, overhaul: Overhaul, verdict: PartVerdict) -> dict[Place, Decimal]:
    """The sizes with which the lives of a part began, where an earlier opening recorded them as fitted."""
    past = so_far(past_overhauls(book, overhaul.machine.id), overhaul)[:-1]
    sizes = {}
    for characteristic in verdict.part.characteristics:
        for level, axis in characteristic.places:
            place = Place(verdict.part.ref, characteristic.key, level, axis)
            readings = life_readings(past, verdict.part.ref, at_place(place))
            of_life = [reading for reading in readings if reading.life == readings[-1].life]
            if of_life and of_life[0].occasion is Occasion.AS_FITTED:
                sizes[place] = of_life[0].size_mm
    return sizes
