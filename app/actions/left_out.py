"""What a restore would leave out: said before anything is replaced, and listed so that it can be entered anew."""

import csv
import json
import os
from collections import Counter, defaultdict
from collections.abc import Iterable
from io import StringIO
from pathlib import Path
from typing import Any

from app.actions.entries import overhaul_of
from app.domain.canonical import moment_text
from app.domain.errors import WearbookError
from app.reports.moments import moment_writer
from app.reports.verdict_files import spoken
from app.store.chain import Entry
from app.store.newer import Newer

COLUMNS = (
    "entry", "at_utc", "at_site", "person", "what", "where", "part", "told", "why", "as_written", "old", "new",
    "previous", "digest",
)  # fmt: skip
MOST_NAMED = 20


class NotListed(WearbookError):
    """What a backup lacks could not be written down, so it was not put in place."""


def left_out_words(newer: Newer, book: Path, backup: Path, zone: str) -> str:
    """Say what a book holds that a backup does not, whom and what it concerns, and what of it cannot be told."""
    lines = [_how_many(newer, book, backup, zone)]
    by_place: dict[str, Counter[str]] = defaultdict(Counter)
    for each in newer.entries:
        by_place[_where(newer, each)][each.person] += 1
    for place, people in list(by_place.items())[:MOST_NAMED]:
        lines.append(f"  {place}: {', '.join(f'{count} by {name}' for name, count in people.items())}")
    if len(by_place) > MOST_NAMED:
        lines.append(f"  and {len(by_place) - MOST_NAMED} more places")
    if newer.unread:
        lines.append(f"Not to be read any more: {_numbers(newer.unread)}.")
    if newer.altered:
        lines.append(f"Not as they were written, or torn from the one before: {_numbers(newer.altered)}.")
    return "\n".join(lines)


def in_short(newer: Newer | None, listed: Path | None) -> str:
    """Say in one line, for the chain, what the book that was replaced held beyond the backup."""
    if newer is None or newer.is_nothing:
        return ""
    known = f"{len(newer.entries)} entries of the book before are not in this one" if newer.entries else ""
    unread = f"{len(newer.unread)} of its entries could not be read" if newer.unread else ""
    unknown = "" if newer.is_end_known else "how far the book before had come could not be read"
    file = f"{listed.name} lists what was read" if listed else ""
    return "; ".join(filter(None, (known, unread, unknown, file)))


def write_list(newer: Newer, book: Path, zone: str) -> Path | None:
    """Write beside the book every entry that a backup lacks; the file is named by what stands in it."""
    if not newer.entries:
        return None
    first, last = newer.entries[0], newer.entries[-1]
    target = book.with_name(f"{book.stem}-entries-{first.seq}-to-{last.seq}-{last.digest[:8]}.csv")
    try:
        with target.open("wb") as file:
            file.write(_table(newer, zone))
            file.flush()
            os.fsync(file.fileno())
    except OSError as reason:
        words = f"{len(newer.entries)} entries that the backup lacks cannot be listed in {target}: {reason.strerror}"
        raise NotListed(f"{words}. Nothing was replaced.") from reason
    return target


def _how_many(newer: Newer, book: Path, backup: Path, zone: str) -> str:
    """Say how many there are, and from when to when."""
    if not newer.entries:
        return f"What {book} holds beyond {backup} cannot be read."
    count, write = len(newer.entries), moment_writer(zone)
    first, last = newer.entries[0], newer.entries[-1]
    entries = f"{count} entries" if count != 1 else "1 entry"
    least = "" if newer.is_end_known else " at least"
    when = f"{write(first.at)} to {write(last.at)}" if count != 1 else write(last.at)
    return f"{book} holds{least} {entries} that {backup} does not: {_numbers([e.seq for e in newer.entries])}, {when}."


def _table(newer: Newer, zone: str) -> bytes:
    """Write the list as a table with the mark by which spreadsheets know UTF-8."""
    file, altered, write = StringIO(), set(newer.altered), moment_writer(zone)
    rows: list[Iterable[object]] = [COLUMNS]
    for each in newer.entries:
        new = _read(each.new)
        told = new if isinstance(new, dict) else {}
        part = told.get("part") or told.get("ref") or ""
        rows.append((
            each.seq, moment_text(each.at), write(each.at), each.person, each.what, _where(newer, each), part,
            _told(told), each.why, "no" if each.seq in altered else "yes", each.old, each.new, each.previous,
            each.digest,
        ))  # fmt: skip
    csv.writer(file, lineterminator="\r\n").writerows([spoken(cell) for cell in row] for row in rows)
    return file.getvalue().encode("utf-8-sig", errors="replace")


def _read(text: str) -> Any:
    """Read what an entry holds; nothing where it is no JSON any more."""
    try:
        return json.loads(text)
    except ValueError:
        return None


def _told(new: dict[str, Any]) -> str:
    """Say what was entered, leaving out what was left empty."""
    return "; ".join(f"{name}: {value}" for name, value in new.items() if value not in (None, "", "[]", [], {}))


def _where(newer: Newer, entry: Entry) -> str:
    """Name the overhaul by its machine, or whatever else an entry is about."""
    name = newer.names.get(overhaul_of(entry.subject))
    return f"{name.tag}, overhaul {name.number}" if name else entry.subject


def _numbers(numbers: Iterable[int]) -> str:
    """Name entries by their numbers, those that follow one another together.

    >>> _numbers([3, 4, 5, 9])
    'entries 3 to 5, 9'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][1] == number - 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    named = ", ".join(f"{first} to {last}" if first != last else f"{first}" for first, last in runs)
    return f"entries {named}" if len(runs) != 1 or runs[0][0] != runs[0][1] else f"entry {named}"
