"""A plain text file of the signed heads, kept beside the backups, so that it is not lost or changed with the book."""

import os
import re
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlmodel import Session

from app.store.book import Book
from app.store.chain import EMPTY_CHAIN, chain_head, is_entered
from app.store.site_signatures import (
    SITE,
    entry_digest,
    head_fault,
    list_heads,
    newest_head_at,
    save_head,
    signatures_of_heads,
)

LINE = re.compile(
    r"(?P<at>\S+) head (?P<id>\d{1,18}) entry (?P<seq>\d{1,18}) SHA-256 (?P<digest>[0-9a-f]{64}) "
    r"key (?P<site_key>[0-9a-f-]{39}) Ed25519 (?P<site_signature>[0-9a-f]{128})"
)
GONE_BACK = "book gone back"
Row = dict[str, Any]


def sign_head(book: Book, now: datetime, path: Path) -> None:
    """Sign where the chain stands, and write what is signed into the file; nothing for a book without a key."""
    if book.key is None:
        return
    with book.noting() as session:
        if chain_head(session) == EMPTY_CHAIN:
            return
        book.begin_key(session, SITE, now)
        save_head(session, book.key, now)
    with book.reading() as session:
        _write(session, path)


def sign_head_of_day(book: Book, now: datetime, path: Path) -> None:
    """Sign the head once a day."""
    with book.reading() as session:
        newest = newest_head_at(session)
    if newest is None or newest.astimezone(UTC).date() != now.astimezone(UTC).date():
        sign_head(book, now, path)


def file_faults(session: Session, path: Path) -> list[str]:
    """Hold every line of the file against the book; nothing where there is no such file."""
    if not path.is_file():
        return []
    faults, kept = [], signatures_of_heads(session)
    for number, line in enumerate(path.read_text(encoding="utf-8", errors="replace").splitlines(), 1):
        match = LINE.fullmatch(line)
        where = f"{path.name}, line {number}"
        if match is None:
            faults.append(f"{where}: This is no signed head.")
        elif fault := head_fault(session, {**match.groupdict(), "id": int(match["id"]), "seq": int(match["seq"])}):
            faults.append(f"{where}: {fault}")
        elif match["site_signature"] not in kept:
            faults.append(f"signed_head, row {match['id']}: It is missing or was changed, and stands in {where}.")
    return faults


def enter_gone_back(book: Book, now: datetime, path: Path) -> None:
    """Enter once that the book does not hold what the file's last head stands for: another copy took its place."""
    told = _last_head(path)
    if told is None:
        return
    with book.reading() as session:
        if _is_held_or_told(session, told):
            return
    with book.writing("the server", now) as writing:
        if _is_held_or_told(writing.session, told):  # Another process may have entered it since.
            return
        stands_at, digest = chain_head(writing.session)
        why = f"{path.name} tells of a head that is not in this book: it was replaced from an older copy, or by another"
        writing.enter(GONE_BACK, "book", told, {"head": stands_at, "head_digest": digest}, why)


def _is_held_or_told(session: Session, told: Row) -> bool:
    """Whether the book holds a head, or says already that it does not."""
    return entry_digest(session, told["seq"]) == told["digest"] or is_entered(session, GONE_BACK, "book", told)


def _last_head(path: Path) -> Row | None:
    """The last head that the file tells of."""
    if not path.is_file():
        return None
    *_, last = (None, *LINE.finditer(path.read_text(encoding="utf-8", errors="replace")))
    return {"seq": int(last["seq"]), "digest": last["digest"]} if last else None


def set_heads_aside(path: Path, now: datetime) -> Path | None:
    """Put the file beside its place when a backup takes the place of the book; the heads of that begin a new one."""
    if not path.exists():
        return None
    return path.rename(path.with_name(f"{path.stem}-set-aside-{now.strftime('%Y%m%dT%H%M%SZ')}{path.suffix}"))


def _write(session: Session, path: Path) -> None:
    """Add the heads that the file does not have yet; what stands there is never touched."""
    known = LINE.finditer(path.read_text(encoding="utf-8", errors="replace")) if path.exists() else ()
    last = max((int(match["id"]) for match in known), default=0)
    lines = [_line(row) for row in list_heads(session, after=last)]
    if lines:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("a", encoding="utf-8") as file:
            file.writelines(lines)
            file.flush()
            os.fsync(file.fileno())


def _line(row: Row) -> str:
    """Write a signed head as a line."""
    return "{at} head {id} entry {seq} SHA-256 {digest} key {site_key} Ed25519 {site_signature}\n".format(**row)
