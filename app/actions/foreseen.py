"""Every size of a machine that a limit bounds, looked at ahead along the life that its part has now."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from functools import lru_cache

from app.actions.outlooks import Followed, followed_of
from app.actions.past_overhauls import PastOverhaul, past_overhauls
from app.actions.trends import life_readings
from app.domain.limits import LimitSheet
from app.domain.numbers import Length
from app.domain.outlook import look_ahead
from app.domain.overhaul import Machine
from app.domain.parts_ahead import Foreseen, as_before
from app.domain.wear import Life, SizeReading
from app.domain.wear_due import first_at_limit
from app.store.book import Book
from app.store.overhaul_reading import list_base_sizes
from app.store.overhauls import list_overhauls
from app.store.sheets import get_sheet

MOST_KEPT = 4096  # machines, a few lines each


def foreseen_of(
    past: Sequence[PastOverhaul], sheet: LimitSheet, base_sizes: dict[str, Length], hours: Decimal
) -> Iterator[Foreseen]:
    """Look ahead at every size that a limit bounds, by the sheet as it stands now."""
    now = replace(past[-1].overhaul, sheet=sheet, base_sizes=base_sizes)
    for part in sheet.parts:
        for followed in followed_of(now, part):
            found = _look(past, followed, hours)
            if found is not None:
                yield found


def _look(past: Sequence[PastOverhaul], followed: Followed, hours: Decimal) -> Foreseen | None:
    """Look ahead at one size along the life that its part has now."""
    lives: dict[int, list[SizeReading]] = {}
    for reading in life_readings(past, followed.part.ref, followed.gauged):
        if reading.size_mm > 0:
            lives.setdefault(reading.life, []).append(SizeReading(reading.operating_hours, reading.size_mm))
    if not lives:
        return None
    *earlier, now = (Life(tuple(readings)) for readings in lives.values())
    worn = [life for life in earlier if life.since_new is not None]
    is_as_before = now.since_new is None and bool(worn)
    life = as_before(worn[-1], now.readings[-1]) if is_as_before else now
    outlook = look_ahead(followed.characteristic, followed.level, followed.limit, life, hours)
    return Foreseen(followed.part, replace(outlook, wear_from_mm=followed.wear_from_mm), is_as_before)


def worn_first(book: Book, machine: Machine, sheet: LimitSheet, amended: tuple[str, ...] = ()) -> tuple[Foreseen, ...]:
    """Give what comes to its limit first, by set and part; only what is signed tells it, so it is worked out once."""
    with book.reading() as session:
        overhauls = list_overhauls(session, machine.id)
    marks = tuple((each.id, *(signature.digest for signature in each.signatures)) for each in overhauls)
    return _worn_first(book, machine.id, (sheet.name, sheet.revision), (*marks, amended)) if marks else ()


@lru_cache(maxsize=MOST_KEPT)
def _worn_first(
    book: Book, machine_id: int, revision: tuple[str, str], _marks: tuple[tuple[object, ...], ...]
) -> tuple[Foreseen, ...]:
    """Work it out, once for what was signed and the sheet in force."""
    past = past_overhauls(book, machine_id)
    with book.reading() as session:
        sheet, base_sizes = get_sheet(session, *revision), list_base_sizes(session, machine_id)
    return first_at_limit(sheet, tuple(foreseen_of(past, sheet, base_sizes, past[-1].overhaul.hours)))
