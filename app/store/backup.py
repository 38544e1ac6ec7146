"""Copies of the book: taken while it is in use, consistent, and verified before they are called a copy."""

import sqlite3
from contextlib import closing, suppress
from pathlib import Path

from app.domain.errors import WearbookError


class BackupFailed(WearbookError):
    """No copy was made, or the copy did not stand up to its check."""


def back_up(path: Path, target: Path) -> Path:
    """Copy the book's file to a target that does not exist yet, verify the copy, and give the target."""
    if target.exists():
        raise BackupFailed(f"{target} is there already; a backup is never written over another file.")
    unfinished = target.with_name(target.name + ".part")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        unfinished.unlink(missing_ok=True)
        _copy(path, unfinished)
        verify_copy(unfinished)
        return unfinished.rename(target)
    except (BackupFailed, OSError) as reason:
        with suppress(OSError):
            unfinished.unlink(missing_ok=True)
        words = f"{target.parent}: {reason.strerror}" if isinstance(reason, OSError) else str(reason)
        raise BackupFailed(words) from reason


def verify_copy(path: Path) -> None:
    """Refuse a file that is not a whole database."""
    with closing(_open(path)) as connection:
        try:
            (found,) = connection.execute("PRAGMA integrity_check(1)").fetchone()
            astray = connection.execute("PRAGMA foreign_key_check").fetchone()
        except sqlite3.DatabaseError as reason:
            raise BackupFailed(f"{path} is not a whole book: {reason}.") from reason
    if found != "ok" or astray is not None:
        words = found if found != "ok" else f"a row of {astray[0]} belongs to a row of {astray[2]} that is gone"
        raise BackupFailed(f"{path} is not a whole book: {words}.")


def must_hold(path: Path, head: tuple[int, str]) -> None:
    """Refuse a copy that does not hold the chain up to an entry: its number and its digest."""
    with closing(_open(path)) as connection:
        found = connection.execute("SELECT digest FROM entry WHERE seq = ?", head[:1]).fetchone()
    if head[0] and found != (head[1],):
        raise BackupFailed(f"{path} does not hold entry {head[0]} of the book's chain.")


def _copy(path: Path, target: Path) -> None:
    """Copy page by page as one consistent state, into a single file that needs none beside it."""
    with closing(_open(path)) as source, closing(sqlite3.connect(target)) as copy:
        try:
            source.backup(copy)
            copy.execute("PRAGMA journal_mode = DELETE")
        except sqlite3.DatabaseError as reason:
            raise BackupFailed(f"{path} could not be copied: {reason}.") from reason


def _open(path: Path) -> sqlite3.Connection:
    """Open a file that must be there; sqlite3 would quietly begin a new one."""
    if not path.is_file():
        raise BackupFailed(f"{path} is not there.")
    return sqlite3.connect(path)
