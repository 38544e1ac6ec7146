"""Amendments: what was signed stays as it is; what is wrong in it is put right beside it, signed by another person."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from app.domain.errors import NotAllowed, Sealed
from app.domain.readings import Reading


class Outcome(StrEnum):
    """What a chief engineer has said to an amendment."""

    SIGNED = "signed"
    DECLINED = "declined"


@dataclass(frozen=True)
class Answer:
    """The signature under an amendment, or why it was declined; a seal either way."""

    outcome: Outcome
    person: str
    at: datetime
    words: str
    digest: str


@dataclass(frozen=True)
class Amendment:
    """One correction of a sealed record: what, from what, to what, why, by whom, and who has answered it."""

    id: int
    part: str  # its reference; nothing where it is about the record as a whole
    reading: str  # the entry it corrects; nothing where it corrects something else
    what: str
    old: str
    new: str
    reason: str
    person: str
    at: datetime
    amended: Reading | None = None  # that entry as it is to be read
    answer: Answer | None = None

    @property
    def is_open(self) -> bool:
        """Whether nobody has answered it yet."""
        return self.answer is None

    @property
    def is_signed(self) -> bool:
        """Whether it counts."""
        return self.answer is not None and self.answer.outcome is Outcome.SIGNED

    @property
    def standing(self) -> str:
        """Say whether it counts, and by whom."""
        if self.answer is None:
            return "amendment NOT SIGNED, does not count"
        why = f": {self.answer.words}" if self.answer.words else ""
        return f"{self.answer.outcome} by {self.answer.person}{why}"

    @property
    def note(self) -> str:
        """Say it in the place where the entry stands."""
        return f"amended to {self.new}, {self.standing}" if self.is_signed else f"to {self.new}: {self.standing}"


@dataclass(frozen=True)
class Witness:
    """A surveyor who witnessed a signature, entered by whoever gave it; a seal of its own."""

    meaning: StrEnum  # what the signature says
    of_digest: str  # of the signature
    name: str
    body: str
    person: str
    at: datetime
    digest: str


def amended_readings(amendments: Iterable[Amendment]) -> dict[str, Reading]:
    """Give, by the entry it corrects, what the last signed amendment makes of it."""
    return {each.reading: each.amended for each in amendments if each.is_signed and each.amended is not None}


def require_answer_by_another(amendment: Amendment, person: str) -> None:
    """Refuse an answer to what is answered already, or by whoever has proposed it."""
    if amendment.answer is not None:
        raise Sealed(f"This amendment is {amendment.standing} already.")
    if amendment.person == person:
        raise NotAllowed("Whoever proposes an amendment does not sign it: another chief engineer does.")
