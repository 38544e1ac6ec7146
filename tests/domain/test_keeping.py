"""Tests of which backups are kept."""

from datetime import UTC, datetime, timedelta

from app.domain.keeping import no_longer_kept

NEWEST = datetime(2026, 11, 24, 3, 0, tzinfo=UTC)


def daily(count: int) -> list[datetime]:
    return [NEWEST - timedelta(days=day) for day in range(count)]


def test_nothing_is_removed_where_there_is_nothing() -> None:
    assert no_longer_kept([], days=30, months=12) == []


def test_every_backup_of_the_last_days_is_kept_and_the_newest_of_each_month_before() -> None:
    taken = daily(100)

    removed = set(no_longer_kept(taken, days=30, months=12))
    kept = [moment for moment in taken if moment not in removed]

    assert kept[:30] == taken[:30]
    assert [(moment.month, moment.day) for moment in kept[30:]] == [(9, 30), (8, 31)]


def test_months_past_the_rule_go() -> None:
    removed = no_longer_kept(daily(100), days=1, months=2)

    assert [moment for moment in daily(100) if moment not in removed] == [
        NEWEST,
        datetime(2026, 10, 31, 3, 0, tzinfo=UTC),
    ]


def test_newest_is_kept_whatever_the_rule() -> None:
    assert no_longer_kept([NEWEST, NEWEST], days=0, months=0) == []
