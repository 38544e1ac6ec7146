"""What was used last, held up to a weight; the oldest goes first. Safe among threads."""

from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

Key = TypeVar("Key", bound=Hashable)
Value = TypeVar("Value")


class Recent(Generic[Key, Value]):
    """Values by key, as many as weigh no more than is allowed; the newest one stays whatever it weighs."""

    def __init__(self, most: int, weigh: Callable[[Value], int]) -> None:
        self._most, self._weigh = most, weigh
        self._held: dict[Key, Value] = {}
        self._weight = 0
        self._turn = Lock()

    def get(self, key: Key) -> Value | None:
        """Give what is held under a key."""
        return self._held.get(key)

    def hold(self, key: Key, value: Value) -> None:
        """Hold a value as the newest, and let the oldest go."""
        with self._turn:
            self._drop(key)
            self._held[key] = value
            self._weight += self._weigh(value)
            while self._weight > self._most and len(self._held) > 1:
                self._drop(next(iter(self._held)))

    def _drop(self, key: Key) -> None:
        """Let one go, where it is held."""
        gone = self._held.pop(key, None)
        if gone is not None:
            self._weight -= self._weigh(gone)
