"""The site's time beside UTC in a table: every column of moments gets one more, with its difference from UTC."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import datetime
from itertools import chain
from zoneinfo import ZoneInfo

from app.reports.export_tables import Cell, Row

UTC_ENDING, SITE_ENDING = "_utc", "_site"


def site_time(moment: str, place: ZoneInfo) -> str:
    """Write a moment's text as the site's clock showed it; the empty text stays empty.

    >>> site_time("2026-11-27T18:40:00.000000+00:00", ZoneInfo("Pacific/Auckland"))
    '2026-11-28T07:40:00+13:00'
    """
    return datetime.fromisoformat(moment).astimezone(place).isoformat(timespec="seconds") if moment else ""


def with_site_time(columns: Sequence[str], rows: Iterable[Row], zone: str) -> tuple[list[str], Iterator[Row]]:
    """Put beside each column of moments in UTC one with the same moments at the site."""
    at, place = {number for number, column in enumerate(columns) if column.endswith(UTC_ENDING)}, ZoneInfo(zone)

    def wider(row: Sequence[Cell], beside: Callable[[str], str]) -> Row:
        """Put after each moment what stands beside it."""
        pairs = ((cell, beside(str(cell or ""))) if number in at else (cell,) for number, cell in enumerate(row))
        return tuple(chain.from_iterable(pairs))

    names = wider(columns, lambda name: name.removesuffix(UTC_ENDING) + SITE_ENDING)
    return [str(name) for name in names], (wider(row, lambda moment: site_time(moment, place)) for row in rows)
