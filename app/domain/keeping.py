"""Which backups are kept: every one of the last days, then the newest of each month."""

from collections.abc import Iterable
from datetime import datetime, timedelta


def no_longer_kept(taken: Iterable[datetime], days: int, months: int) -> list[datetime]:
    """List the backups to remove; days and months count back from the newest, so that a wrong clock removes none.

    >>> from datetime import UTC
    >>> taken = [datetime(2026, 11, day, tzinfo=UTC) for day in (1, 2, 23, 24)]
    >>> [moment.day for moment in no_longer_kept(taken, days=7, months=12)]
    [2, 1]
    """
    newest_first = sorted(set(taken), reverse=True)
    if not newest_first:
        return []
    last_day = newest_first[0] - timedelta(days=days)
    of_months = {_month(moment): moment for moment in reversed(newest_first)}
    kept_months = sorted(of_months, reverse=True)[:months]
    monthly = {of_months[month] for month in kept_months}
    return [moment for moment in newest_first[1:] if moment <= last_day and moment not in monthly]


def _month(moment: datetime) -> tuple[int, int]:
    """The month of a moment."""
    return moment.year, moment.month
