"""The chain as it is read: one entry, the entries on one subject, and those found by their words."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlmodel import Session

from app.domain.errors import NotThere
from app.store.book import Book
from app.store.chain import Entry, chain_head, find_entry, is_as_written, list_entries
from app.store.search import Found, count_found, search, words_asked
from app.store.timeline import OverhaulName, name_overhauls

AT_ONCE = 50
LONGEST_SUBJECT = 200
OVERHAUL = "overhaul "


@dataclass(frozen=True)
class ToldEntry:
    """An entry with what it holds, and the overhaul it belongs to, where it is one's."""

    seq: int
    at: datetime
    person: str
    what: str
    subject: str
    new: Any
    words: str
    overhaul: OverhaulName | None

    @property
    def place(self) -> str:
        """The part that it is about, with what was gauged there; nothing where it is about none."""
        new = self.new if isinstance(self.new, dict) else {}
        return ", ".join(str(word) for key in ("part", "ref", "characteristic") if (word := new.get(key)))


@dataclass(frozen=True)
class EntryPage:
    """One entry whole, with whether it is as written and how far the chain goes."""

    told: ToldEntry
    entry: Entry
    old: Any
    is_as_written: bool
    last: int


@dataclass(frozen=True)
class Listed:
    """Some entries, the newest first, and the number before which the next ones come, where there are more."""

    entries: tuple[ToldEntry, ...]
    before: int | None
    count: int | None = None


def get_entry(book: Book, seq: int) -> EntryPage:
    """Give one entry of the chain."""
    with book.reading() as session:
        entry = find_entry(session, seq)
        if entry is None:
            raise NotThere(f"The chain has no entry {seq}.")
        last, _ = chain_head(session)
        return EntryPage(tell(session, [entry])[0], entry, json.loads(entry.old), is_as_written(entry), last)


def entries_on(book: Book, subject: str, before: int | None) -> Listed:
    """List the newest entries, of one subject where it is named."""
    with book.reading() as session:
        found = list_entries(session, subject[:LONGEST_SUBJECT], before, AT_ONCE + 1)
        return _listed(tell(session, found), None)


def entries_found(book: Book, question: str, before: int | None) -> Listed:
    """List the newest entries that answer a question; none where it has no word."""
    words = words_asked(question)
    if not words:
        return Listed((), None, 0)
    with book.reading() as session:
        found = search(session, words, before, AT_ONCE + 1)
        return _listed(tell(session, found), count_found(session, words))


def tell(session: Session, entries: Iterable[Entry | Found]) -> list[ToldEntry]:
    """Say of each entry what it holds and where it belongs."""
    entries = list(entries)
    names = name_overhauls(session, {number for each in entries if (number := overhaul_of(each.subject))})
    return [
        ToldEntry(
            each.seq, each.at, each.person, each.what, each.subject, json.loads(each.new),
            each.words if isinstance(each, Found) else each.why, names.get(overhaul_of(each.subject)),
        )
        for each in entries
    ]  # fmt: skip


def overhaul_of(subject: str) -> int:
    """Give the number of the overhaul that a subject names; 0 for any other subject."""
    number = subject.removeprefix(OVERHAUL)
    return int(number) if subject.startswith(OVERHAUL) and number.isdecimal() else 0


def _listed(told: list[ToldEntry], count: int | None) -> Listed:
    """Cut a list at the end of its page."""
    return Listed(tuple(told[:AT_ONCE]), told[AT_ONCE - 1].seq if len(told) > AT_ONCE else None, count)
