"""The working of a part's verdict, with the sizes its life began with."""

from decimal import Decimal

from app.actions.gauging import last_reading
from app.actions.outlooks import outlooks
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
    is_renewed = any(work.part.ref == verdict.part.ref and work.is_renewed for work in fitted_work(overhaul))
    renewed_now = is_renewed and occasion is Occasion.AS_FITTED
    steps = working_of(overhaul, verdict, occasion, renewed_now, sizes_as_fitted(book, overhaul, verdict))
    ahead = outlooks(book, overhaul).get(verdict.part.ref, ()) if occasion is Occasion.AS_FOUND else ()
    return (*steps, *(outlook_step(outlook) for outlook in ahead))


def sizes_as_fitted(book: Book, overhaul: Overhaul, verdict: PartVerdict) -> dict[Place, Decimal]:
    """The sizes with which the lives of a part began, where the last opening fitted it."""
    sizes = {}
    for characteristic in verdict.part.characteristics:
        for level, axis in characteristic.places:
            place = Place(verdict.part.ref, characteristic.key, level, axis)
            last = last_reading(book, overhaul, place)
            size_mm = (last.size_mm or last.goes_mm) if last and last.occasion is Occasion.AS_FITTED else None
            if size_mm is not None:
                sizes[place] = size_mm
    return sizes
