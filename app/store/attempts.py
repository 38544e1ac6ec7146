"""Wrong passwords, counted by name and place, so that guessing grows slow for the guesser alone."""

from datetime import datetime, timedelta
from threading import Lock

from app.domain.errors import InputRefused
from app.domain.sign_ins import wait_after

FORGOTTEN_AFTER = timedelta(hours=1)
MOST_KEPT = 10_000


class Attempts:
    """The wrong attempts of the last hour; kept in memory, since they are no evidence."""

    def __init__(self) -> None:
        self._kept: dict[tuple[str, str], tuple[int, datetime]] = {}
        self._turn = Lock()

    def begin(self, name: str, place: str, now: datetime, field: str) -> None:
        """Count an attempt as wrong until it is forgotten as right; refused beside its field when it comes too soon."""
        key = (name.strip().casefold(), place)
        with self._turn:
            number, last = self._kept.get(key, (0, now))
            if now - last > FORGOTTEN_AFTER:
                number = 0
            left_s = (last + wait_after(number) - now).total_seconds()
            if number and left_s > 0:
                words = f"Too many wrong passwords. Try again in {int(left_s) + 1} s. Everybody else signs in as usual."
                raise InputRefused({field: words})
            self._kept.pop(key, None)
            self._kept[key] = (number + 1, now)
            while len(self._kept) > MOST_KEPT:
                del self._kept[next(iter(self._kept))]

    def forget(self, name: str, place: str) -> None:
        """Forget the attempts before a right password."""
        with self._turn:
            self._kept.pop((name.strip().casefold(), place), None)

    def __len__(self) -> int:
        """How many are kept."""
        return len(self._kept)
