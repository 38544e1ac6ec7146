"""Witnesses: a surveyor who stood by when a signature was given. None is ever required."""

from dataclasses import dataclass
from datetime import datetime

from app.domain.amendments import Witness
from app.domain.errors import InputRefused, NotAllowed, NotYet, Sealed
from app.domain.overhaul import Meaning, Overhaul, Signature

WITNESSED_BY_CHIEF = (Meaning.DECIDED, Meaning.RETURNED_CHIEF)
LONGEST = 80


@dataclass(frozen=True)
class Surveyor:
    """Who witnessed, and for which body."""

    name: str
    body: str


def read_surveyor(name: str, body: str) -> Surveyor:
    """Read name and body as typed; both are needed."""
    typed = {"name": name.strip(), "body": body.strip()}
    refused = {field: "This is needed." for field, text in typed.items() if not text}
    refused |= {field: f"At most {LONGEST} characters." for field, text in typed.items() if len(text) > LONGEST}
    if refused:
        raise InputRefused(refused)
    return Surveyor(**typed)


def waiting_for_witness(overhaul: Overhaul, person: str) -> tuple[Signature, ...]:
    """The signatures of a chief engineer to which a witness may still be added."""
    signed = (overhaul.signature(meaning) for meaning in WITNESSED_BY_CHIEF)
    return tuple(one for one in signed if one and one.person == person and _witness(overhaul, one) is None)


def require_unwitnessed(overhaul: Overhaul, meaning: Meaning, person: str) -> Signature:
    """Give the signature that was witnessed; only whoever gave it enters its witness, and one alone."""
    signature = overhaul.signature(meaning) if meaning in WITNESSED_BY_CHIEF else None
    if signature is None:
        raise NotYet("There is no signature of a chief engineer to be witnessed yet.")
    if signature.person != person:
        raise NotAllowed(f"{signature.person} gave this signature, and enters who witnessed it.")
    if _witness(overhaul, signature) is not None:
        raise Sealed("The witness of this signature stands on the record already.")
    return signature


def witness_content(overhaul: Overhaul, signature: Signature, surveyor: Surveyor, at: datetime) -> dict[str, object]:
    """Collect what a witness's line covers: the signature with its digest, who witnessed it, and when."""
    opening = {"machine": overhaul.machine, "overhaul": overhaul.number}
    return {"meaning": "witnessed", **opening, "signature": signature, "witness": surveyor, "at": at}


def _witness(overhaul: Overhaul, signature: Signature) -> Witness | None:
    """Find the witness of a signature."""
    return next((each for each in overhaul.witnesses if each.of_digest == signature.digest), None)
