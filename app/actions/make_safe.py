"""Making safe is confirmed again: at a hand-over, and after a long stop."""

from datetime import datetime

from app.domain.errors import NotYet
from app.domain.overhaul import Confirmation, Phase
from app.domain.people import Person, Right
from app.domain.phases import phase_of
from app.domain.safe_again import OPEN_PHASES
from app.domain.steps import AGAIN
from app.store.book import Book
from app.store.facts import save_confirmation
from app.store.overhauls import get_overhaul


def confirm_safe_again(book: Book, by: Person, overhaul_id: int, now: datetime) -> None:
    """Keep that a person has looked at locks, permit and gauges again and found the machine safe."""
    by.must(Right.GAUGE)
    with book.writing(by.name, now) as writing:
        if phase_of(get_overhaul(writing.session, overhaul_id)) not in OPEN_PHASES:
            raise NotYet("Making safe is confirmed again only while the machine is open and made safe.")
        save_confirmation(writing, overhaul_id, Confirmation(Phase.MAKE_SAFE, AGAIN, "", by.name, now))
