"""Moments as a document writes them: the site's time, and beside it UTC."""

from collections.abc import Callable
from datetime import UTC, datetime
from zoneinfo import ZoneInfo


def moment_writer(zone: str) -> Callable[[datetime], str]:
    """Give the way of writing a moment at a site.

    >>> moment_writer("Europe/London")(datetime(2026, 7, 1, 8, 30, tzinfo=UTC))
    '1 Jul 2026 09:30 (08:30 UTC)'
    """
    place = ZoneInfo(zone)

    def write(moment: datetime) -> str:
        """Write the day and the time."""
        there, utc = moment.astimezone(place), moment.astimezone(UTC)
        day = "" if there.date() == utc.date() else f"{utc.day} {utc:%b} "
        is_utc = there.utcoffset() == utc.utcoffset()
        return f"{there.day} {there:%b %Y %H:%M}{' UTC' if is_utc else f' ({day}{utc:%H:%M} UTC)'}"

    return write
