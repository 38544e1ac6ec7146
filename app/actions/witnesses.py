"""A surveyor witnesses a signature: entered by the chief engineer who gave it, with the password again."""

from collections.abc import Mapping
from datetime import datetime

from app.actions.people import confirm_password
from app.domain.amendments import Witness
from app.domain.canonical import canonical, digest
from app.domain.errors import InputRefused
from app.domain.overhaul import Meaning
from app.domain.people import Person, Right
from app.domain.witnesses import WITNESSED_BY_CHIEF, read_surveyor, require_unwitnessed, witness_content
from app.store.book import Book
from app.store.overhauls import get_overhaul
from app.store.witnesses import save_witness


def enter_witness(book: Book, by: Person, overhaul_id: int, typed: Mapping[str, str], now: datetime) -> None:
    """Enter who witnessed a signature, for which body; a seal of its own, beside the signature's."""
    by.must(Right.SIGN_DECIDED)
    if typed.get("meaning") not in WITNESSED_BY_CHIEF:
        raise InputRefused({"meaning": "Choose the signature that was witnessed."})
    meaning = Meaning(typed["meaning"])
    surveyor = read_surveyor(typed.get("name", ""), typed.get("body", ""))
    confirm_password(book, by, typed.get("password", ""), now)
    with book.writing(by.name, now) as writing:
        found = get_overhaul(writing.session, overhaul_id)
        signature = require_unwitnessed(found, meaning, by.name)
        content = canonical(witness_content(found, signature, surveyor, now))
        told = signature.digest, surveyor.name, surveyor.body, by.name, now, digest(content)
        save_witness(writing, overhaul_id, Witness(meaning, *told), content)
