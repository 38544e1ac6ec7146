"""What may be amended in an overhaul, and what the signature under an amendment covers."""

from collections.abc import Sequence

from app.domain.amendments import Amendment, Outcome, amended_readings
from app.domain.entries import kinds_of
from app.domain.errors import NotYet
from app.domain.overhaul import Meaning, Overhaul
from app.domain.phases import is_returned
from app.domain.readings import Kind, Occasion, Place, Reading, left


def amendable(overhaul: Overhaul) -> tuple[Reading, ...]:
    """The entries that count and are sealed, so that they are put right by an amendment alone."""
    sealed = [occasion for occasion in Occasion if is_sealed(overhaul, occasion)]
    first = (reading for occasion in sealed for reading in overhaul.first_looks(occasion).values())
    replaced = {look.supersedes for look in overhaul.looks}
    looks = (look for look in left(overhaul.looks) if look.occasion in sealed and look.id not in replaced)
    return (*first, *looks)


def is_sealed(overhaul: Overhaul, occasion: Occasion = Occasion.AS_FOUND) -> bool:
    """Whether what was entered on an occasion is signed: as found with the decisions, all else at the end."""
    if overhaul.is_from_paper or is_returned(overhaul):
        return True
    return occasion is Occasion.AS_FOUND and overhaul.signature(Meaning.DECIDED) is not None


def require_amendable(overhaul: Overhaul, reading: str) -> Reading | None:
    """Give the entry that is to be amended, as it is read now; None where it is about something else."""
    if not reading and is_sealed(overhaul):
        return None
    found = next((each for each in amendable(overhaul) if each.id == reading), None)
    if found is None:
        raise NotYet("This is not signed yet, or does not count: it is put right where it was entered.")
    return as_read(overhaul, found)


def waiting(overhaul: Overhaul, reading: str) -> Amendment | None:
    """The amendment of an entry that waits for its answer."""
    return next((each for each in overhaul.amendments if each.reading == reading and each.is_open), None)


def ways(overhaul: Overhaul, reading: Reading) -> tuple[Kind, ...]:
    """The kinds of entry that an amendment may make of one, as at its place; a leaf that goes is a pair half filled."""
    part = overhaul.sheet.part(reading.place.part)
    characteristic = part.characteristic(reading.place.characteristic) if part else None
    if characteristic is None:
        return Kind.SEEN, Kind.CANNOT
    return tuple(kind for kind in kinds_of(characteristic) if kind is not Kind.GOES)


def own_way(reading: Reading) -> Kind:
    """The way in which an entry was made."""
    return Kind.PAIR if reading.kind is Kind.GOES else reading.kind


def as_read(overhaul: Overhaul, reading: Reading) -> Reading:
    """Give an entry as its last signed amendment makes it."""
    return amended_readings(overhaul.amendments).get(reading.id, reading)


def standing_amended(overhaul: Overhaul, occasion: Occasion) -> dict[Place, Reading]:
    """The entries that count on an occasion, as later comparisons read them: amended where that was signed."""
    standing, amended = overhaul.standing(occasion), amended_readings(overhaul.amendments)
    if not amended:
        return dict(standing)
    return {place: amended.get(reading.id, reading) for place, reading in standing.items()}


def amendment_content(
    overhaul: Overhaul, amendment: Amendment, outcome: Outcome, words: str, verdicts: Sequence[str] = ()
) -> dict[str, object]:
    """Collect what an answer covers: the amendment, the verdicts shown for it, the answer, the seals beside it."""
    told = ("id", "part", "reading", "what", "old", "new", "reason", "person", "at")
    return {
        "meaning": f"amendment {outcome}",
        "machine": overhaul.machine,
        "overhaul": overhaul.number,
        "amendment": {name: getattr(amendment, name) for name in told},
        "words": words,
        "verdicts": list(verdicts),
        "beside": [signature.digest for signature in overhaul.signatures],
    }
