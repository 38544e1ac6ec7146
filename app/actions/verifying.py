"""Whether the book is whole: its file, form, chain and rows, whatever was signed, and the site's signatures."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlmodel import Session

from app.domain.errors import InputRefused
from app.domain.site_seal import is_same_fingerprint
from app.settings import Settings
from app.store.book import Book
from app.store.chain import chain_head, verify_chain
from app.store.evidence import verify_evidence
from app.store.heads_file import file_faults
from app.store.integrity import file_faults as faults_in_database
from app.store.site_key import find_site_key
from app.store.site_signatures import (
    entry_digest,
    has_site_signature,
    keys_as_kept,
    signature_faults,
    signatures_of_heads,
)

DIGEST_LENGTH = 64
UNSIGNED = (
    "This book was not signed by a key of the site yet: no seal and no head in it has such a signature. "
    "It is held by its chain alone; the key begins with the next change, or when the server starts."
)


@dataclass(frozen=True)
class WrittenDown:
    """What was written down elsewhere: the number and digest of an entry, and the fingerprint of the site's key."""

    seq: int = 0
    digest: str = ""
    fingerprint: str = ""


@dataclass(frozen=True)
class Verification:
    """What a check has found: the faults in words, where the chain ends, the site's keys, and what was not held."""

    faults: tuple[str, ...]
    head_seq: int
    head_digest: str
    keys: tuple[dict[str, Any], ...] = ()
    heads: int = 0
    notes: tuple[str, ...] = ()

    @property
    def fingerprint(self) -> str:
        """The key that signs now; nothing where there is none."""
        return str(self.keys[-1]["fingerprint"]) if self.keys else ""


def verify_book(book: Book, settings: Settings, written_down: WrittenDown | None = None) -> Verification:
    """Check everything, and name what is not as it was written."""
    with book.reading() as session:
        faults = faults_in_database(session, book.revision())
        if faults:
            return Verification(tuple(faults), 0, "")
        seq, digest = chain_head(session)
        broken = verify_chain(session)
        chain = [f"The chain is broken at entry {broken}: it is missing or was changed."] if broken is not None else []
        rows = [f"Not as its entry says, missing, or added: {place}." for place in verify_evidence(session)]
        by_file = file_faults(session, settings.heads_path)
        signed = [*signature_faults(session), *by_file]
        # What was written anew without a key would look like this too, but for the heads in the file.
        is_unsigned = seq > 0 and not has_site_signature(session) and not by_file
        keys, heads = keys_as_kept(session), len(signatures_of_heads(session))
        told = list(_differences(session, keys, written_down or WrittenDown()))
    site = [] if is_unsigned or not seq else _site_faults(keys, settings.key_path)
    notes = tuple(_notes(keys, settings, is_unsigned))
    return Verification((*chain, *rows, *signed, *site, *told), seq, digest, keys, heads, notes)


def read_head(typed: str) -> WrittenDown:
    """Read an entry's number and digest as they were written down; InputRefused where they are none."""
    number, _, digest = typed.strip().partition(":")
    digest = digest.strip().lower()
    if not number.strip().isdecimal() or len(digest) != DIGEST_LENGTH or set(digest) - set("0123456789abcdef"):
        raise InputRefused({"head": "Give the entry's number, a colon and its digest of 64 digits: 123:ab01…"})
    return WrittenDown(int(number), digest)


def _differences(session: Session, keys: tuple[dict[str, Any], ...], written: WrittenDown) -> Iterator[str]:
    """Compare with what was written down elsewhere."""
    if written.seq and entry_digest(session, written.seq) != written.digest:
        yield f"Entry {written.seq} is not the one that was written down: the chain was cut or written anew."
    if written.fingerprint and not any(is_same_fingerprint(key["fingerprint"], written.fingerprint) for key in keys):
        yield f"No key of this book has the fingerprint {written.fingerprint} that was written down."


def _site_faults(keys: tuple[dict[str, Any], ...], path: Path) -> list[str]:
    """Hold the book's key against the site's own, where that is here."""
    own = find_site_key(path)
    if own is None:
        return [] if keys else ["A site's key has signed this book, and no key stands in it: it was taken out."]
    if not keys:
        return [f"The book does not carry the site's key {own.fingerprint}, and so none of its signatures."]
    if keys[-1]["public_key"] != own.public_key:
        return [f"The book is signed by the key {keys[-1]['fingerprint']}; the site's key here is {own.fingerprint}."]
    return []


def _notes(keys: tuple[dict[str, Any], ...], settings: Settings, is_unsigned: bool) -> Iterator[str]:
    """Say what the check could not be held against, and which key took over without the one before it."""
    if is_unsigned:
        yield UNSIGNED
    elif not settings.key_path.is_file():
        yield f"The site's key is not at {settings.key_path}: compare the fingerprint with the one written down."
    if not settings.heads_path.is_file():
        yield f"There is no file of signed heads {settings.heads_path}: what was cut off shows only by a written one."
    for key in keys[1:]:
        if not key["site_signature"]:
            yield f"Key {key['fingerprint']} took over without the signature of the one before it: {key['reason']}"
