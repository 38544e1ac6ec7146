"""Which key has signed what came from elsewhere, and whether it is one that somebody here has marked as known."""

import json
import re
from collections.abc import Mapping
from datetime import datetime
from typing import Any

from app.domain.errors import InputRefused
from app.domain.people import Person, Right
from app.domain.site_seal import fingerprint
from app.store.book import Book
from app.store.known_sites import KnownSite, list_known_sites, save_known_site

BARE = re.compile("[0-9a-f]{32}")
LONGEST_NAME = 60


def mark_site(book: Book, by: Person, typed: Mapping[str, str], now: datetime) -> None:
    """Mark a key as known under a site's name, or as no longer known; its fingerprint is typed as it was told."""
    by.must(Right.BRING_IN)
    bare = "".join(sign for sign in typed.get("fingerprint", "").lower() if sign.isalnum())
    name, is_known = typed.get("name", "").strip(), typed.get("known") != "no"
    refused = {}
    if not BARE.fullmatch(bare):
        refused["fingerprint"] = "Type the eight groups of four digits that the other site has told you."
    if not 0 < len(name) <= LONGEST_NAME:
        refused["name"] = f"Name the site, in 1 to {LONGEST_NAME} characters."
    if refused:
        raise InputRefused(refused)
    written = "-".join(bare[place : place + 4] for place in range(0, len(bare), 4))
    with book.writing(by.name, now) as writing:
        last = list_known_sites(writing.session).get(written)
        if last is None or (last.name, last.is_known) != (name, is_known):
            save_known_site(writing, written, name, is_known)


def known_sites(book: Book) -> dict[str, KnownSite]:
    """The marks that count, by fingerprint."""
    with book.reading() as session:
        return list_known_sites(session)


def key_words(key: str, known: Mapping[str, KnownSite]) -> str:
    """Say by whose key something is signed: known here, no longer, or not."""
    if not key:
        return "signed by no key: anybody could have made it"
    mark = known.get(key)
    if mark is None:
        return f"signed by the key {key}, which nobody here has marked as known"
    said = f"known as {mark.name}, by {mark.person}" if mark.is_known else f"NO LONGER KNOWN, by {mark.person}"
    return f"signed by the key {key}, {said}"


def key_of(export: Mapping[str, Any]) -> str:
    """The fingerprint of the key that signs in an export; nothing where none does."""
    keys = export.get("site_key") or []
    return fingerprint(keys[-1]["public_key"]) if keys else ""


def key_in(content: bytes) -> str:
    """The fingerprint of the key that signs in an export's JSON."""
    return key_of(json.loads(content))
