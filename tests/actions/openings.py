"""Openings of stage 2 of GA-1, brought to where a change of an overhaul begins."""

from datetime import timedelta

from app.actions.overhauls import overhaul
from app.domain.overhaul import Meaning, Phase
from app.domain.readings import Occasion, Reading
from app.store.book import Book
from tests.builders import NOW, a_machine, a_sheet, an_overhaul, confirm_all, enter, good_readings, sign_all

LATER = NOW + timedelta(hours=1)


def an_opening(book: Book, *instead: Reading, decided: bool = False, gauged: bool = True) -> int:
    """Stage 2 of GA-1 opened and made safe; gauged and signed unless said otherwise, decided too where asked."""
    number = an_overhaul(book, a_machine(book), "2300", NOW, a_sheet(book), stages=(2,))
    confirm_all(book, number, Phase.MAKE_SAFE)
    if gauged:
        enter(book, number, *good_readings(overhaul(book, number).parts, Occasion.AS_FOUND, NOW), *instead)
        sign_all(book, number, NOW, (Meaning.GAUGED, Meaning.DECIDED) if decided else (Meaning.GAUGED,))
    return number
