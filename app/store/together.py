"""Several overhauls read in one session: what each of them needs is asked for once for all of them.

Whoever reads one overhaul asks as ever; only how often the database is asked differs. It is for sessions that read,
which see one moment of the book.
"""

from collections import defaultdict
from collections.abc import Callable, Hashable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any, TypeVar

from sqlalchemy import Row
from sqlmodel import Session

TOGETHER = "read together"
Answer = TypeVar("Answer")


class _Together:
    """The overhauls that are read, and what was answered for them so far."""

    def __init__(self, overhauls: Sequence[int]) -> None:
        self.overhauls = overhauls
        self.answers: dict[Hashable, Any] = {}


@contextmanager
def together(session: Session, overhauls: Sequence[int]) -> Iterator[None]:
    """Read these overhauls at once within the block."""
    session.info[TOGETHER] = _Together(overhauls)
    try:
        yield
    finally:
        del session.info[TOGETHER]


def once(session: Session, key: Hashable, ask: Callable[[], Answer]) -> Answer:
    """Ask, or give what was answered to the same within the block."""
    reading: _Together | None = session.info.get(TOGETHER)
    if reading is None:
        return ask()
    if key not in reading.answers:
        reading.answers[key] = ask()
    answer: Answer = reading.answers[key]
    return answer


def read_with(session: Session, overhaul_id: int) -> Sequence[int]:
    """Name the overhauls that one is read together with, itself too; none where it is read alone."""
    reading: _Together | None = session.info.get(TOGETHER)
    return reading.overhauls if reading is not None and overhaul_id in reading.overhauls else ()


def by_overhaul(rows: Sequence[Row[Any]]) -> dict[int, list[Row[Any]]]:
    """Put rows together by their overhaul."""
    found: dict[int, list[Row[Any]]] = defaultdict(list)
    place = rows[0]._fields.index("overhaul_id") if rows else 0
    for row in rows:
        found[row[place]].append(row)
    return found
