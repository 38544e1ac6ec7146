"""A new key of the site, begun in the name of a chief engineer where the one before is lost or was seen by others."""

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from app.actions.people import person_named
from app.domain.errors import InputRefused
from app.domain.people import Right
from app.store.book import Book
from app.store.chain import chain_head
from app.store.site_key import KeyRefused, SiteKey, find_site_key, open_site_key
from app.store.site_signatures import begin_key, current_public_key

SHORTEST_REASON, LONGEST_REASON = 4, 500


@dataclass(frozen=True)
class BegunKey:
    """A key that has begun: from which entry on, and what became of the one before, in words."""

    key: SiteKey
    entry: int
    before: str


def begin_new_key(book: Book, path: Path, by_name: str, reason: str, now: datetime) -> BegunKey:
    """Begin a new key in a book; the key before it is put aside, and the new one is only kept where the entry is."""
    by = person_named(book, by_name)
    by.must(Right.DECIDE)
    reason = reason.strip()
    if not SHORTEST_REASON <= len(reason) <= LONGEST_REASON:
        raise InputRefused({"reason": f"Say why, in {SHORTEST_REASON} to {LONGEST_REASON} characters."})
    with book.reading() as session:
        signed_by = current_public_key(session)
    if not signed_by:
        raise KeyRefused("No key has signed this book yet: the first one begins by itself when the book is served.")
    before = find_site_key(path)
    if before is not None and before.public_key != signed_by:
        raise KeyRefused(f"The key {path} is not the one that signs this book. Put the right one there, or none.")
    aside = path.with_name(f"{path.stem}-{before.fingerprint}{path.suffix}") if before else None
    if aside:
        path.rename(aside)
    try:
        key, entry = _begin(book, path, by.name, now, reason, before)
    except BaseException:
        path.unlink(missing_ok=True)
        if aside:
            aside.rename(path)
        raise
    words = f"The key before it signed for it and lies in {aside}." if aside else "No key before it could sign for it."
    return BegunKey(key, entry, words)


def _begin(
    book: Book, path: Path, by_name: str, now: datetime, reason: str, before: SiteKey | None
) -> tuple[SiteKey, int]:
    """Make the key, and enter it in one transaction."""
    key, book.key = open_site_key(path), None
    with book.writing(by_name, now) as writing:
        begin_key(writing.session, by_name, now, key, reason, before)
        entry, _digest = chain_head(writing.session)
    book.key = key
    return key, entry
