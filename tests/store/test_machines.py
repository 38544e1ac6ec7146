"""Tests of machines and their operating hours in the book."""

from datetime import timedelta, timezone
from decimal import Decimal

import pytest

from app.domain.errors import InputRefused, NotThere
from app.domain.overhaul import MeterReading
from app.store.book import Book
from app.store.chain import list_entries
from app.store.machines import (
    find_machine,
    get_machine,
    list_machines,
    list_meter_readings,
    save_machine,
    save_meter_reading,
)
from tests.store.builders import CHIEF, FITTER, NOW, a_machine, a_writing


def test_machine_comes_back_as_saved(book: Book) -> None:
    with a_writing(book, CHIEF) as writing:
        machine = save_machine(writing, "GA-1", "W31-0007", "Governor air", "Quillmoor", "QM-GA")

    with book.reading() as session:
        assert find_machine(session, "GA-1") == get_machine(session, "GA-1") == machine
        assert (machine.serial, machine.name, machine.site) == ("W31-0007", "Governor air", "Quillmoor")
        assert machine.sheet_name == "QM-GA"


def test_machines_are_listed_by_tag(book: Book) -> None:
    with a_writing(book, CHIEF) as writing:
        for tag in ("GA-2", "BA-1", "GA-1"):
            a_machine(writing, tag)

    with book.reading() as session:
        assert [machine.tag for machine in list_machines(session)] == ["BA-1", "GA-1", "GA-2"]


def test_tag_in_the_book_already_is_refused_beside_its_field(book: Book) -> None:
    with a_writing(book, CHIEF) as writing:
        a_machine(writing)

    with pytest.raises(InputRefused) as refused, a_writing(book, CHIEF) as writing:
        a_machine(writing)

    assert refused.value.fields == {"tag": "GA-1 is in the book already."}


def test_machine_nobody_has_added_is_not_there(book: Book) -> None:
    with book.reading() as session:
        assert find_machine(session, "GA-9") is None
        with pytest.raises(NotThere, match="GA-9"):
            get_machine(session, "GA-9")


def test_hours_come_back_to_the_digit_in_the_order_they_were_read(book: Book) -> None:
    later = MeterReading(Decimal("10310.50"), NOW + timedelta(days=1), FITTER)
    earlier = MeterReading(Decimal("10300"), NOW, FITTER)

    with a_writing(book) as writing:
        machine = a_machine(writing)
        for reading in (later, earlier):
            save_meter_reading(writing, machine, reading)

    with book.reading() as session:
        assert list_meter_readings(session, machine.id) == [earlier, later]
        assert str(later.hours) == str(list_meter_readings(session, machine.id)[1].hours)
        assert list_entries(session)[0].subject == "machine GA-1"


def test_moment_typed_in_another_time_zone_comes_back_as_the_same_moment_in_utc(book: Book) -> None:
    summer_time = NOW.astimezone(timezone(timedelta(hours=2)))

    with a_writing(book) as writing:
        machine = a_machine(writing)
        save_meter_reading(writing, machine, MeterReading(Decimal(1), summer_time, FITTER))

    with book.reading() as session:
        read_at = list_meter_readings(session, machine.id)[0].read_at
    assert read_at == NOW
    assert read_at.utcoffset() == timedelta(0)
    assert read_at.microsecond == 9
