"""Overhauls as they were read last: what came since is told by the chain, and only that is read again.

What is held is held against the entry that was the chain's last when it was read, by number and digest, so that it can
never stand for a change that was rolled back, and is right whichever process wrote what came after.
"""

import json
from collections.abc import Callable
from dataclasses import dataclass

from sqlalchemy import bindparam, select
from sqlmodel import Session

from app.domain.entries import with_entry
from app.domain.overhaul import Overhaul
from app.store.chain import ENTRY, chain_head, overhaul_subject
from app.store.quick import look_up
from app.store.readings import ENTERED_WORDS, list_readings_by_id
from app.store.recent import Recent

LEAST_WEIGHT, MOST_WEIGHT = 250, 16_000  # in readings, of one overhaul and of all that are held
MOST_NEWER = 100  # with more entries than these since, an overhaul is read afresh
DIGEST = 1  # its place among these columns
SINCE = (
    select(ENTRY.c.seq, ENTRY.c.digest, ENTRY.c.what, ENTRY.c.subject, ENTRY.c.new)
    .where(ENTRY.c.seq >= bindparam("seq"))
    .order_by(ENTRY.c.seq)
    .limit(MOST_NEWER + 1)
)


@dataclass(frozen=True)
class _Held:
    """An overhaul with the number and digest of the last entry it contains."""

    head: tuple[int, str]
    overhaul: Overhaul


class OverhaulMemory:
    """The overhauls of one book that were asked for last; safe among threads, since what it holds never changes."""

    def __init__(self) -> None:
        self._held = Recent[int, _Held](MOST_WEIGHT, lambda held: max(LEAST_WEIGHT, len(held.overhaul.readings)))

    def give(self, session: Session, overhaul_id: int, read: Callable[[Session, int], Overhaul]) -> Overhaul:
        """Give an overhaul as this session sees it: brought up to date where that can be done, else read."""
        held = self._held.get(overhaul_id)
        now = _up_to_date(session, held) if held else None
        if now is None:
            now = _Held(chain_head(session), read(session, overhaul_id))
        if now is not held:
            self._held.hold(overhaul_id, now)
        return now.overhaul

    def hold(self, head: tuple[int, str], overhaul: Overhaul) -> None:
        """Hold an overhaul with the last entry that it contains."""
        self._held.hold(overhaul.id, _Held(head, overhaul))


def _up_to_date(session: Session, held: _Held) -> _Held | None:
    """Add the readings entered since; None where anything else came, or the chain is not the one it was read from."""
    seq, digest = held.head
    entries = look_up(session.connection(), SINCE, {"seq": seq})
    if not entries or entries[0][DIGEST] != digest or len(entries) > MOST_NEWER:
        return None
    if len(entries) == 1:
        return held
    identifiers, subject = [], overhaul_subject(held.overhaul.id)
    for _, _, what, about, new in entries[1:]:
        if what not in ENTERED_WORDS:
            return None
        if about == subject:
            identifiers.append(json.loads(new)["id"])
    seq, digest, *_ = entries[-1]
    return _Held((seq, digest), _with_readings(session, held.overhaul, identifiers))


def _with_readings(session: Session, overhaul: Overhaul, identifiers: list[str]) -> Overhaul:
    """Add these readings, in the order they were stored."""
    if not identifiers:
        return overhaul
    for reading in list_readings_by_id(session, identifiers):
        overhaul = with_entry(overhaul, reading)
    return overhaul
