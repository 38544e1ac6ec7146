"""Working days and working hours at the invented station, by which everything in the demonstration is timed."""

from datetime import UTC, date, datetime, time, timedelta

BEGINS, ENDS = time(7, 30), time(15, 45)
SATURDAY = 5


def working_day(day: date) -> date:
    """Give the day itself, or the Friday before a weekend."""
    return day - timedelta(days=max(0, day.weekday() - SATURDAY + 1))


def working_day_before(day: date, how_many: int) -> date:
    """Give the working day that lies so many working days before a day."""
    for _ in range(how_many):
        day = working_day(day - timedelta(days=1))
    return day


def next_working_day(day: date) -> date:
    """Give the first working day after a day."""
    day += timedelta(days=1)
    return day + timedelta(days=max(0, 7 - day.weekday())) if day.weekday() >= SATURDAY else day


class Clock:
    """The time at which the next thing is done; work stops in the afternoon and goes on the next working day."""

    def __init__(self, day: date) -> None:
        self.now = datetime.combine(day, BEGINS, UTC)

    def after(self, minutes: float) -> datetime:
        """Let minutes of work go by."""
        self.now += timedelta(seconds=round(minutes * 60))
        if self.now.time() > ENDS:
            self.next_day()
        return self.now

    def next_day(self, days: int = 1) -> datetime:
        """Go on in the morning, so many working days later."""
        for _ in range(days):
            self.now = datetime.combine(next_working_day(self.now.date()), BEGINS, UTC)
        return self.now
