"""Tests of readings in the book: kept as written, once, and never lost."""

import re
from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from app.domain.numbers import Length, inches, millimetres
from app.domain.readings import SEEN, Kind, Occasion, Place, Reading
from app.domain.units import LengthUnit
from app.store.book import Book
from app.store.chain import list_entries
from app.store.readings import IdentifierTaken, list_readings, save_reading
from tests.store.builders import GAP, NOW, a_reading, a_writing, an_open_book

COMMA = Length("0,70", Decimal("0.70"), LengthUnit.MM)
NO_PAIR: dict[str, Any] = {"goes": None, "does_not_go": None}
KINDS = {
    "size": a_reading(kind=Kind.SIZE, value=COMMA, **NO_PAIR),
    "inches": a_reading(kind=Kind.SIZE, value=Length('.018"', Decimal(".018"), LengthUnit.INCH), **NO_PAIR),
    "pair": a_reading(goes=inches("0.0180"), does_not_go=millimetres("0.50")),
    "goes": a_reading(kind=Kind.GOES, does_not_go=None),
    "dial": a_reading(kind=Kind.DIAL, value=millimetres("-0.03"), set_size=millimetres("140.000"), **NO_PAIR),
    "seen": a_reading(kind=Kind.SEEN, place=Place("2.ring-1", SEEN), findings=("scuffed", "stuck"), **NO_PAIR),
    "cannot": a_reading(kind=Kind.CANNOT, reason="ring is seized", temperature_c=None, instrument="", **NO_PAIR),
    "correction": a_reading(occasion=Occasion.AS_FITTED, supersedes="tablet-0"),
    "grid": a_reading(place=Place("1.cylinder", "bore", "middle", "B")),
}


@pytest.mark.parametrize("reading", KINDS.values(), ids=KINDS)
def test_reading_comes_back_exactly_as_written(book: Book, reading: Reading) -> None:
    kept = _kept(book, reading)

    assert kept == (reading,)
    assert kept[0].written == reading.written
    assert [str(length.value) for length in _lengths(kept[0])] == [str(length.value) for length in _lengths(reading)]
    assert str(kept[0].temperature_c) == str(reading.temperature_c)


def test_readings_share_what_they_have_in_common(book: Book) -> None:
    twice = replace(a_reading(), id="tablet-2", supersedes="tablet-1")

    one, other = _kept(book, a_reading(), twice)

    for name in ("place", "measured_by", "entered_by", "instrument", "goes", "does_not_go"):
        assert getattr(one, name) is getattr(other, name), name


def test_sizes_of_one_number_and_other_digits_or_units_stay_apart(book: Book) -> None:
    sizes = [Length("0,4", Decimal(digits), unit) for digits in ("0.4", "0.40", "0.400") for unit in LengthUnit]
    readings = [
        a_reading(id=f"tablet-{place}", kind=Kind.SIZE, value=size, **NO_PAIR) for place, size in enumerate(sizes)
    ]

    kept = [reading.value for reading in _kept(book, *readings)]

    assert [(str(size.value), size.unit, size.mm) for size in kept if size] == [
        (str(size.value), size.unit, size.mm) for size in sizes
    ]


def test_typed_comma_and_unit_are_kept_beside_the_exact_number(book: Book) -> None:
    kept = _kept(book, KINDS["size"])[0]

    assert kept.value == COMMA
    assert kept.size_mm == Decimal("0.70")


def test_measured_and_stored_moments_are_kept_apart(book: Book) -> None:
    measured = NOW - timedelta(hours=3, microseconds=1)

    kept = _kept(book, a_reading(measured_at=measured))[0]

    assert (kept.measured_at, kept.stored_at) == (measured, NOW)


def test_readings_come_back_in_the_order_they_were_stored(book: Book) -> None:
    kept = _kept(book, *(a_reading(identifier) for identifier in ("z", "a", "m")))

    assert [reading.id for reading in kept] == ["z", "a", "m"]


def test_same_reading_sent_twice_is_stored_once_and_entered_once(book: Book) -> None:
    _, overhaul_id = an_open_book(book)

    stored = [_save(book, overhaul_id, a_reading()) for _ in range(2)]

    with book.reading() as session:
        assert stored == [True, False]
        assert list_readings(session, overhaul_id) == (a_reading(),)
        assert [entry.what for entry in list_entries(session, f"overhaul {overhaul_id}")].count("reading entered") == 1


def test_reading_sent_again_later_by_another_person_is_still_the_same(book: Book) -> None:
    _, overhaul_id = an_open_book(book)
    _save(book, overhaul_id, a_reading())
    later = NOW + timedelta(minutes=5)

    again = replace(a_reading(), entered_by="R. Osk", measured_at=later, stored_at=later, supersedes=a_reading().id)

    assert _save(book, overhaul_id, again) is False


@pytest.mark.parametrize(
    "change",
    [
        {"does_not_go": millimetres("0.55")},
        {"goes": millimetres("0.450")},
        {"place": replace(GAP, part="2.ring-2")},
        {"measured_by": "R. Osk"},
        {"occasion": Occasion.AS_FITTED},
    ],
)
def test_identifier_of_another_content_is_refused_and_the_first_stays(book: Book, change: dict[str, Any]) -> None:
    _, overhaul_id = an_open_book(book)
    _save(book, overhaul_id, a_reading())

    with pytest.raises(IdentifierTaken, match=re.escape("goes 0.45 mm, does not go 0.50 mm")):
        _save(book, overhaul_id, a_reading(**change))

    with book.reading() as session:
        assert list_readings(session, overhaul_id) == (a_reading(),)


def test_identifier_of_a_reading_in_another_overhaul_is_refused(book: Book) -> None:
    _, overhaul_id = an_open_book(book)
    _save(book, overhaul_id, a_reading())

    with pytest.raises(IdentifierTaken):
        _save(book, overhaul_id + 1, a_reading())


def test_correction_is_entered_with_what_it_supersedes_and_why(book: Book) -> None:
    _, overhaul_id = an_open_book(book)

    _save(book, overhaul_id, a_reading("tablet-2", supersedes="tablet-1", reason="wrong leaf read"))

    with book.reading() as session:
        entry = list_entries(session)[0]
    assert (entry.what, entry.old, entry.why) == ("reading corrected", '"tablet-1"', "wrong leaf read")
    assert '"goes":"0.45"' in entry.new


def _save(book: Book, overhaul_id: int, reading: Reading) -> bool:
    with a_writing(book) as writing:
        return save_reading(writing, overhaul_id, reading)


def _kept(book: Book, *readings: Reading) -> tuple[Reading, ...]:
    _, overhaul_id = an_open_book(book)
    for reading in readings:
        _save(book, overhaul_id, reading)
    with book.reading() as session:
        return list_readings(session, overhaul_id)


def _lengths(reading: Reading) -> list[Length]:
    lengths = (reading.value, reading.goes, reading.does_not_go, reading.set_size)
    return [length for length in lengths if length is not None]
