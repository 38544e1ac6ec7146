"""What the demonstration tells, read back: every overhaul of every machine in its order, judged by the domain."""

from functools import cached_property

from app.actions import overhauls
from app.actions.machines import machine_states
from app.domain.holds import FittedWork, fitted_work
from app.domain.overhaul import Overhaul, Phase
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.part_verdicts import PartVerdict
from app.domain.phases import phase_of
from app.store.book import Book


class Told:
    """The book of the demonstration and what stands in it."""

    def __init__(self, book: Book) -> None:
        self.book = book

    @cached_property
    def machines(self) -> dict[str, list[Overhaul]]:
        """Every machine's overhauls by its tag, the first one first."""
        return {
            state.machine.tag: [overhauls.overhaul(self.book, summary.id) for summary in reversed(state.overhauls)]
            for state in machine_states(self.book)
        }

    @cached_property
    def all(self) -> list[Overhaul]:
        """Every overhaul of every machine."""
        return [overhaul for of_machine in self.machines.values() for overhaul in of_machine]

    @cached_property
    def returned(self) -> list[Overhaul]:
        """Every overhaul after which the machine went back into service."""
        return [overhaul for overhaul in self.all if phase_of(overhaul) is Phase.RETURNED]

    def newest(self, tag: str) -> Overhaul:
        """A machine's newest overhaul."""
        return self.machines[tag][-1]


def verdicts(overhaul: Overhaul) -> dict[str, PartVerdict]:
    """An overhaul's verdicts by part."""
    return {verdict.part.ref: verdict for verdict in judge_overhaul(overhaul)}


def works(overhaul: Overhaul) -> dict[str, FittedWork]:
    """What was worked on or gauged again, by part."""
    return {work.part.ref: work for work in fitted_work(overhaul)}
