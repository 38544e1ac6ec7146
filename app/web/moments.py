"""Moments as pages write them: the site's time with UTC beside it, or its day, each with its full stamp."""

from collections.abc import Callable
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from markupsafe import Markup

from app.domain.days import date_words
from app.reports.moments import SPACE, site_and_utc

Writer = Callable[[datetime], Markup]


def in_zone(zone: str) -> tuple[Writer, Writer]:
    """Give the two ways of writing a moment at a site: the day, and the day with its time and UTC beside it."""
    place = ZoneInfo(zone)

    def day(moment: datetime) -> Markup:
        """Write the day; its stamp tells the moment."""
        return stamped(moment, date_words(moment.astimezone(place)).replace(" ", SPACE))

    return day, lambda moment: _beside_utc(moment, *site_and_utc(moment, place))


def without_year(zone: str) -> tuple[Writer, Writer]:
    """Give the same two where there is no room for the year, which the stamp tells."""
    place = ZoneInfo(zone)

    def day(moment: datetime) -> Markup:
        """Write the day of the year."""
        on = moment.astimezone(place)
        return stamped(moment, f"{on.day}{SPACE}{on:%b}")

    def time(moment: datetime) -> Markup:
        """Write the day of the year and the time, and UTC."""
        here, utc = site_and_utc(moment, place)
        return _beside_utc(moment, here.replace(f" {moment.astimezone(place).year}", ""), utc)

    return day, time


def _beside_utc(moment: datetime, here: str, utc: str) -> Markup:
    """Write the time at the site and UTC; a site that goes by UTC has one time only."""
    here, utc = here.replace(" ", SPACE), utc.replace(" ", SPACE)
    beside = Markup('<wbr><span class="utc"> (%s)</span>') % utc if utc != "UTC" else f"{SPACE}UTC"
    return stamped(moment, Markup("%s%s") % (here, beside))


def as_told(words: str, write: Callable[[datetime], str]) -> str:
    """Write a moment that another book told; what is no moment stands as it was told.

    >>> as_told("2031-04-05T06:07:08.000009+00:00", str), as_told("in spring", str)
    ('2031-04-05 06:07:08.000009+00:00', 'in spring')
    """
    try:
        moment = datetime.fromisoformat(words)
    except ValueError:
        return words
    return write(moment if moment.tzinfo else moment.replace(tzinfo=UTC))


def stamped(moment: datetime, words: str) -> Markup:
    """Write an element that says in words, and to the second in UTC, when something was."""
    stamp = moment.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
    return Markup('<time datetime="%s">%s</time>') % (stamp, words)
