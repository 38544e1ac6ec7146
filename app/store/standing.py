"""What was worked out of one machine's part of the book: given again until anything is entered that could change it.

It is held against the number and digest of the chain's last entry from before it was worked out, so that it can never
stand for another state of the book, whichever process wrote what came after, nor for a change that was rolled back.
"""

from collections.abc import Callable, Hashable
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from app.store.book import Book
from app.store.chain import chain_head
from app.store.recent import Recent
from app.store.since import machines_since

Found = TypeVar("Found")


@dataclass(frozen=True)
class _Held(Generic[Found]):
    """What was found of a machine, with the last entry that it may lack nothing of."""

    head: tuple[int, str]
    machine_id: int
    found: Found


class Standing(Generic[Found]):
    """What was asked for last, by what was asked; whoever works it out reads nothing but the book."""

    def __init__(self, most: int, weigh: Callable[[Found], int]) -> None:
        self._held = Recent[Hashable, _Held[Found]](most, lambda held: weigh(held.found))

    def give(self, book: Book, asked: Hashable, find: Callable[[], tuple[int, Found]]) -> Found:
        """Give what is held as long as it stands; else find it anew, with the number of its machine."""
        held = self._held.get(asked)
        with book.reading() as session:
            head = chain_head(session)
            changed = machines_since(session, held.head) if held and held.head != head else frozenset[int]()
        if held is None or changed is None or held.machine_id in changed:
            now = _Held(head, *find())
        else:
            now = held if held.head == head else replace(held, head=head)
        if now is not held:
            self._held.hold(asked, now)
        return now.found
