"""Tests of rows added past what is asked of any statement: the same rows, the same errors."""

from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from sqlalchemy import Connection, bindparam, insert, select
from sqlalchemy.exc import IntegrityError, OperationalError
from sqlmodel import SQLModel

from app.store.book import Book, OutOfReach
from app.store.fact_rows import ReadingRow
from app.store.quick import insert_row, look_up
from app.store.rows import EntryRow, table_of
from app.store.search import EntryWordsRow
from tests.builders import NOW, a_reading, enter
from tests.web.workshop import Workshop

Add = Callable[[Connection, type[SQLModel], Mapping[str, object]], object]


class Undone(Exception):
    """Nothing of this is kept."""


@pytest.fixture
def filled(book: Book) -> Book:
    """A book whose last reading has much in it."""
    shop = Workshop(book).safe()
    found = a_reading("2.ring-1", "closed-gap", "0.40/0.45", NOW, level="worst place")
    enter(book, shop.id, replace(found, temperature_c=Decimal("21.50"), reason="é 漢\n“twice”", is_second_look=True))
    return book


def by_any_statement(connection: Connection, row: type[SQLModel], values: Mapping[str, object]) -> None:
    """Add a row as any is added."""
    connection.execute(insert(table_of(row)), dict(values))


def last_row(book: Book, row: type[SQLModel]) -> dict[str, Any]:
    """The newest row of a table, as the program reads it."""
    table = table_of(row)
    with book.reading() as session:
        return dict(session.connection().execute(select(table).order_by(table.c.seq.desc())).mappings().first() or {})


def as_kept(book: Book, row: type[SQLModel], values: Mapping[str, object], add: Add) -> tuple[Any, ...]:
    """Add a row, give it as the file keeps it, and undo it."""
    kept: list[tuple[Any, ...]] = []
    with suppress(Undone), book.noting() as session:
        add(session.connection(), row, values)
        driver: Any = session.connection().connection.driver_connection
        kept += driver.execute(f"SELECT * FROM {row.__tablename__} ORDER BY seq DESC LIMIT 1")
        raise Undone
    return kept[0]


@pytest.mark.parametrize("row", [ReadingRow, EntryRow, EntryWordsRow])
def test_a_row_is_kept_as_by_any_statement(filled: Book, row: type[SQLModel]) -> None:
    found = last_row(filled, row)
    numbered = row is ReadingRow
    new = {**found, "id": "new"} if numbered else {**found, "seq": found["seq"] + 1}
    if numbered:
        del new["seq"]

    mine, any_other = (as_kept(filled, row, new, add) for add in (insert_row, by_any_statement))

    assert mine == any_other
    assert list(map(type, mine)) == list(map(type, any_other))
    assert len(mine) == len(found)


def test_key_is_the_number_that_the_file_gives_or_the_one_that_was_given(filled: Book) -> None:
    reading, entry = last_row(filled, ReadingRow), last_row(filled, EntryRow)
    del reading["seq"]

    with filled.noting() as session:
        keys = [
            insert_row(session.connection(), ReadingRow, reading | {"id": "new"}),
            insert_row(session.connection(), EntryRow, entry | {"seq": 4711}),
        ]

    assert keys == [{"seq": last_row(filled, ReadingRow)["seq"]}, {"seq": 4711}]


def test_what_the_file_refuses_is_named_as_by_any_statement(filled: Book) -> None:
    entry = last_row(filled, EntryRow)

    with pytest.raises(IntegrityError, match="UNIQUE"), filled.noting() as session:
        insert_row(session.connection(), EntryRow, entry)
    with pytest.raises(OperationalError, match="readonly"), filled._readers.begin() as connection:
        insert_row(connection, EntryRow, entry | {"seq": 4711})


def test_a_number_that_is_no_decimal_is_refused(filled: Book) -> None:
    reading = last_row(filled, ReadingRow) | {"id": "new", "temperature_c": 21.5}

    with pytest.raises(TypeError, match="a decimal belongs here"), filled.noting() as session:
        insert_row(session.connection(), ReadingRow, reading)


def test_rows_that_are_looked_up_are_those_of_any_statement(filled: Book) -> None:
    table = table_of(ReadingRow)
    wanted = select(table).where(table.c.part == bindparam("part")).order_by(table.c.seq).limit(5)

    with filled.reading() as session:
        found = look_up(session.connection(), wanted, {"part": "2.ring-1"})
        usual = [tuple(row) for row in session.connection().execute(wanted, {"part": "2.ring-1"})]

    assert found == usual
    assert [list(map(type, row)) for row in found] == [list(map(type, row)) for row in usual]
    assert len(found) == 1


def test_looking_up_what_is_not_there_finds_nothing_and_names_errors_as_everywhere(filled: Book) -> None:
    table = table_of(EntryRow)
    wanted = select(table.c.seq).where(table.c.seq == bindparam("seq"))

    with filled.reading() as session:
        assert look_up(session.connection(), wanted, {"seq": 4711}) == []
    with (
        pytest.raises(OutOfReach, match="no such table"),
        Book(filled.path.with_name("none")).reading() as session,
    ):
        look_up(session.connection(), wanted, {"seq": 1})
