"""Who works with the book, and what each role may do."""

from dataclasses import dataclass
from enum import StrEnum

from app.domain.errors import NotAllowed


class Role(StrEnum):
    """Roles; the value is the word shown on pages."""

    FITTER = "fitter"
    CHIEF = "chief engineer"
    AUDITOR = "auditor"


class Right(StrEnum):
    """What a person may do; the value completes the sentence "A fitter may not ..."."""

    READ = "read the book"
    GAUGE = "gauge, confirm steps and enter readings"
    OPEN = "open an overhaul"
    DECIDE = "decide a verdict"
    SIGN_GAUGED = "sign gauged"
    SIGN_DECIDED = "sign decided"
    SIGN_RETURNED = "sign a machine back into service"
    RECORD_HOURS = "record operating hours"
    SERVICE = "record a service"
    COUNT_STOCK = "count the parts on hand"
    MANAGE_SHEETS = "import limit sheets"
    MANAGE_MACHINES = "add or change machines"
    MANAGE_PEOPLE = "add or change people"
    MANAGE_INSTRUMENTS = "change the register of instruments"
    BACK_UP = "back up the book"
    SEE_READS = "see what auditors have opened"
    ENTER_PAPER = "bring in overhauls from paper"
    BRING_IN = "bring in records of other books"


RIGHTS: dict[Role, frozenset[Right]] = {
    Role.FITTER: frozenset(
        {
            Right.READ,
            Right.GAUGE,
            Right.OPEN,
            Right.SIGN_GAUGED,
            Right.SIGN_RETURNED,
            Right.RECORD_HOURS,
            Right.SERVICE,
            Right.COUNT_STOCK,
        }
    ),
    Role.CHIEF: frozenset(Right),
    Role.AUDITOR: frozenset({Right.READ, Right.SEE_READS}),
}


@dataclass(frozen=True)
class Person:
    """A person in the book."""

    id: int
    name: str
    role: Role
    is_active: bool = True

    def may(self, right: Right) -> bool:
        """Whether this person's role covers the right."""
        return self.is_active and right in RIGHTS[self.role]

    def must(self, right: Right) -> None:
        """Refuse, in words, what the role does not cover."""
        if not self.may(right):
            raise NotAllowed(f"{self.name} is signed in as {self.role}. This role may not {right}.")


def initials_of(name: str) -> str:
    """Give the initials that stand beside an entry.

    >>> initials_of("M. Tarrow")
    'MT'
    """
    return "".join(word[0] for word in name.replace(".", " ").split())
