"""One opening in progress: the crew, the clock, the machine's true condition and the overhaul in the book."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from random import Random
from uuid import UUID

from app.actions import keeping, overhauls
from app.demonstration.chance import chance
from app.demonstration.condition import Condition
from app.demonstration.openings import Opening
from app.demonstration.people import PEOPLE
from app.demonstration.working_days import Clock
from app.domain.entries import Typed
from app.domain.overhaul import Meaning, Overhaul
from app.domain.people import Person
from app.domain.readings import Occasion, Place
from app.store.book import Book

FITTER = "M. Tarrow"
PASSWORDS = {invented.name: invented.password for invented in PEOPLE}
COLDEST_MONTH = 1
SECONDS_BEFORE_ENTRY = (15, 70)


@dataclass(frozen=True)
class Visit:
    """An opening in progress; the overhaul is read back from the book whenever it is looked at."""

    book: Book
    crew: Mapping[str, Person]
    opening: Opening
    condition: Condition
    clock: Clock
    overhaul_id: int

    @property
    def fitter(self) -> Person:
        """The one who gauges."""
        return self.crew[FITTER]

    @property
    def chief(self) -> Person:
        """The chief engineer of this opening."""
        return self.crew[self.opening.chief]

    def overhaul(self) -> Overhaul:
        """The overhaul as it stands in the book."""
        return overhauls.overhaul(self.book, self.overhaul_id)

    def chance(self, *about: object) -> Random:
        """A source of chance for one thing of this opening."""
        return chance(self.opening.tag, self.overhaul_id, *about)

    @property
    def temperature_c(self) -> int:
        """How warm the parts are in the machine hall, by the season."""
        warmth = 6 - abs((self.clock.now.month - COLDEST_MONTH) % 12 - 6)
        return 16 + round(1.6 * warmth) + self.chance("temperature", self.clock.now.date()).randrange(3)

    def blank(self, place: Place, occasion: Occasion, again: int = 0) -> Typed:
        """An empty entry for a place, with the identifier its tablet gave it."""
        draw = self.chance("entry", occasion, place, again)
        before = timedelta(seconds=draw.randint(*SECONDS_BEFORE_ENTRY))
        identifier = str(UUID(int=draw.getrandbits(128), version=4))
        return Typed(identifier, place, occasion, "", measured_at=self.clock.now - before)

    def keep(self, typed: Typed, by: Person | None = None) -> None:
        """Enter it."""
        keeping.keep_reading(self.book, by or self.fitter, self.overhaul_id, typed, self.clock.now)

    def sign(self, meaning: Meaning, by: Person) -> None:
        """Sign for the overhaul."""
        overhauls.sign(self.book, by, self.overhaul_id, meaning, PASSWORDS[by.name], self.clock.now)
