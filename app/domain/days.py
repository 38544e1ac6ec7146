"""Days as they are written for people; files that programs read have them as 2026-11-04."""

from datetime import date


def date_words(on: date) -> str:
    """Write a day; no system's own sign for a day without its nought is used, since others do not know it.

    >>> date_words(date(2026, 11, 4))
    '4 Nov 2026'
    """
    return f"{on.day} {on:%b %Y}"
