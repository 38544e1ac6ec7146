"""Wrong passwords, counted by name and place, so that guessing grows slow for the guesser alone."""

from datetime import datetime, timedelta
from hashlib import sha256
from threading import Lock

from sqlalchemy import Engine, delete, func, insert, select

from app.domain.errors import InputRefused
from app.domain.sign_ins import wait_after
from app.store.rows import AttemptRow, table_of

FORGOTTEN_AFTER = timedelta(hours=1)
MOST_KEPT = 10_000
TABLE = table_of(AttemptRow)


class Attempts:
    """The wrong attempts of the last hour, where one process serves the book; in memory, since they are no evidence."""

    def __init__(self) -> None:
        self._kept: dict[str, tuple[int, datetime]] = {}
        self._turn = Lock()

    def begin(self, name: str, place: str, now: datetime, field: str) -> None:
        """Count an attempt as wrong until it is forgotten as right; refused beside its field when it comes too soon."""
        key = _key(name, place)
        with self._turn:
            number = _counted(*self._kept.get(key, (0, now)), now, field)
            self._kept.pop(key, None)
            self._kept[key] = (number, now)
            while len(self._kept) > MOST_KEPT:
                del self._kept[next(iter(self._kept))]

    def forget(self, name: str, place: str) -> None:
        """Forget the attempts before a right password."""
        with self._turn:
            self._kept.pop(_key(name, place), None)

    def __len__(self) -> int:
        """How many are kept."""
        return len(self._kept)


class SharedAttempts:
    """The same in the database, where several processes may serve the book: a guesser cannot go from one to another.

    Its connections are its own: a password is also checked in the middle of a change, which has the writer's turn.
    """

    def __init__(self, engine: Engine) -> None:
        self._engine = engine

    def begin(self, name: str, place: str, now: datetime, field: str) -> None:
        """Count an attempt as wrong until it is forgotten as right; refused beside its field when it comes too soon."""
        key = _key(name, place)
        kept = select(TABLE.c.number, TABLE.c.last_at).where(TABLE.c.key == key)
        with self._engine.begin() as connection:
            found = connection.execute(kept).one_or_none()
            number = _counted(found.number if found else 0, found.last_at if found else now, now, field)
            connection.execute(delete(TABLE).where((TABLE.c.key == key) | (TABLE.c.last_at < now - FORGOTTEN_AFTER)))
            connection.execute(insert(TABLE), {"key": key, "number": number, "last_at": now})
            newest_first = TABLE.c.last_at.desc(), TABLE.c.key
            too_many = select(TABLE.c.key).order_by(*newest_first).offset(MOST_KEPT)
            connection.execute(delete(TABLE).where(TABLE.c.key.in_(too_many)))

    def forget(self, name: str, place: str) -> None:
        """Forget the attempts before a right password."""
        with self._engine.begin() as connection:
            connection.execute(delete(TABLE).where(TABLE.c.key == _key(name, place)))

    def __len__(self) -> int:
        """How many are kept."""
        with self._engine.begin() as connection:
            return int(connection.execute(select(func.count()).select_from(TABLE)).scalar_one())


def _key(name: str, place: str) -> str:
    """Name who tries, and from where, in so many letters however long the name is."""
    return sha256(f"{name.strip().casefold()}\n{place}".encode(errors="replace")).hexdigest()


def _counted(number: int, last: datetime, now: datetime, field: str) -> int:
    """Give the number of this attempt; refused where it comes too soon after so many before it."""
    if now - last > FORGOTTEN_AFTER:
        return 1
    left_s = (last + wait_after(number) - now).total_seconds()
    if number and left_s > 0:
        words = f"Too many wrong passwords. Try again in {int(left_s) + 1} s. Everybody else signs in as usual."
        raise InputRefused({field: words})
    return number + 1
