"""Moments as a document writes them: the site's time, and beside it UTC."""

from collections.abc import Callable
from datetime import UTC, datetime, tzinfo
from zoneinfo import ZoneInfo

from app.domain.days import date_words

SPACE = "\u00a0"


def site_and_utc(moment: datetime, place: tzinfo) -> tuple[str, str]:
    """Write a moment at a site and in UTC, whose day is said where it is another; only "UTC" where the two are one.

    >>> site_and_utc(datetime(2026, 11, 27, 18, 40, tzinfo=UTC), ZoneInfo("Pacific/Auckland"))
    ('28 Nov 2026 07:40', '27 Nov 18:40 UTC')
    >>> site_and_utc(datetime(2026, 11, 27, 18, 40, tzinfo=UTC), UTC)
    ('27 Nov 2026 18:40', 'UTC')
    """
    there, utc = moment.astimezone(place), moment.astimezone(UTC)
    here = f"{date_words(there)} {there:%H:%M}"
    if there.utcoffset() == utc.utcoffset():
        return here, "UTC"
    other_day = "" if there.date() == utc.date() else f"{utc.day} {utc:%b} "
    return here, f"{other_day}{utc:%H:%M} UTC"


def moment_writer(zone: str) -> Callable[[datetime], str]:
    """Give the way of writing a moment at a site.

    >>> moment_writer("Europe/London")(datetime(2026, 7, 1, 8, 30, tzinfo=UTC))
    '1 Jul 2026 09:30 (08:30 UTC)'
    """
    place = ZoneInfo(zone)

    def write(moment: datetime) -> str:
        """Write the day and the time."""
        here, utc = site_and_utc(moment, place)
        return f"{here} UTC" if utc == "UTC" else f"{here} ({utc})"

    return write
