"""How often a program may call: so many times a minute, each caller by itself."""

from collections import deque
from collections.abc import Callable
from threading import Lock
from time import monotonic

MOST_CALLERS = 1_000
MOST_CALLS = 60


class CallRate:
    """Counts the calls of the last minute by caller; of several processes each counts, and allows its share, alone."""

    def __init__(self, most: int = MOST_CALLS, per_s: float = 60.0, clock: Callable[[], float] = monotonic) -> None:
        self.most = most
        self.per_s = per_s
        self.clock = clock
        self.calls: dict[str, deque[float]] = {}
        self._turn = Lock()

    def wait_s(self, caller: str) -> int:
        """Count a call; give how many seconds a caller has to wait that has called too often, else nought."""
        with self._turn:
            now = self.clock()
            calls = self.calls.pop(caller, deque())
            while calls and now - calls[0] >= self.per_s:
                calls.popleft()
            self.calls[caller] = calls  # The caller heard last stands last, so that the longest silent one goes first.
            while len(self.calls) > MOST_CALLERS:
                self.calls.pop(next(iter(self.calls)))
            if len(calls) >= self.most:
                return int(self.per_s - (now - calls[0])) + 1
            calls.append(now)
            return 0
