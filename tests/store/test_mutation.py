"""Tests that whatever is changed in a lived book's file, past the program and past every seal, is found and named."""

import random
from collections.abc import Iterator
from contextlib import closing

import pytest

from app.settings import Settings
from tests.builders import a_book
from tests.store.lived_book import live_in
from tests.store.mutation import Attacker, Cell, copy_of

# What is no content of the record. Every other table of the file is attacked, whichever migration has made it.
NO_CONTENT = {
    "attempt": "counts wrong passwords, and is cleared away when the count has had its effect",
    "entry_words": "the index of words, worked out from the chain; it can be made anew, and proves nothing",
    "preference": "what a person chose for their own pages",
    "sheet_draft": "working material: only approving it makes a revision, which is entered and sealed",
    "sign_in": "who is signed in on which device; it changes with every page, and every entry names its person itself",
}


@pytest.fixture(scope="module")
def attacker(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Attacker]:
    """Somebody before a copy of the lived book."""
    folder = tmp_path_factory.mktemp("lived")
    with closing(a_book(folder)) as book:
        live_in(book)
        copied = copy_of(book.path, folder / "copy")
    with closing(Attacker(copied, Settings(data_folder=folder))) as attacker:
        yield attacker


@pytest.fixture(autouse=True)
def _whole_before_and_after(attacker: Attacker) -> Iterator[None]:
    """Hold that the book verifies but for the change of the moment; else everything would count as found."""
    assert attacker.faults() == ()
    yield
    assert attacker.faults() == ()


def attacked(attacker: Attacker) -> list[str]:
    """The tables of content."""
    return [table for table in attacker.tables() if table not in NO_CONTENT]


def test_every_table_that_is_left_out_is_there_and_has_its_reason(attacker: Attacker) -> None:
    assert set(NO_CONTENT) <= set(attacker.tables())
    assert all(NO_CONTENT.values())


def test_lived_book_has_a_row_in_every_table_of_content(attacker: Attacker) -> None:
    assert [table for table in attacked(attacker) if not attacker.cells(table)] == []


def test_change_in_any_column_of_any_table_is_found_and_named(attacker: Attacker) -> None:
    """One row for each column, changed in one of the ways; the long run changes every row in every way."""
    chance = random.Random(6)
    columns: dict[tuple[str, str], list[Cell]] = {}
    for table in attacked(attacker):
        for cell in attacker.cells(table):
            columns.setdefault((cell.table, cell.column), []).append(cell)

    unseen = [(str(cell), other) for cells in columns.values() for cell in [chance.choice(cells)]
              for other in attacker.unseen(cell, chance, 1)]  # fmt: skip

    assert len(columns) > 150
    assert unseen == []


def test_row_that_is_taken_out_of_any_table_is_found_and_named(attacker: Attacker) -> None:
    ends = {cells[-1] for table in attacked(attacker) if (cells := attacker.cells(table))}

    assert [str(cell) for cell in ends if not attacker.is_missed(cell)] == []


@pytest.mark.long
def test_change_in_every_column_of_every_row_in_every_way_is_found_and_named(attacker: Attacker) -> None:
    cells = [cell for table in attacked(attacker) for cell in attacker.cells(table)]

    unseen = [(str(cell), other) for cell in cells for other in attacker.unseen(cell)]

    print(f"{len(cells)} cells were changed, each in up to seven ways.")
    assert unseen == []
