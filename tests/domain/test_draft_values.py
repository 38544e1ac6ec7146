"""Tests of tables that may hold anything: what a form shows of them, and what is typed into them."""

import pytest

from app.domain.draft_values import (
    apart,
    as_typed,
    bound_of,
    ends,
    free_key,
    key_of,
    limit_of,
    shown,
    table,
    tables,
    words_between,
    written,
)
from app.domain.sheet_faults import WrittenNumber


@pytest.mark.parametrize(
    ("typed", "stands"),
    [
        ("0,70", WrittenNumber("0.70")), ("0.70", WrittenNumber("0.70")), (" 12 ", 12), ("0", 0), ("007", "007"),
        ("1.234,5", "1.234,5"), ("-1", -1), ("1e3", WrittenNumber("1e3")), ("+1", "+1"),
        ("11.5e-6", WrittenNumber("11.5e-6")), ("0.709 in", "0.709 in"), ("", ""), ("٣", "٣"),
    ],
)  # fmt: skip
def test_plain_number_is_written_as_a_number_and_all_else_as_text(typed: str, stands: object) -> None:
    found = written(typed)

    assert found == stands
    assert type(found) is type(stands)


def test_number_with_a_comma_keeps_its_digits() -> None:
    assert shown(written("0,70")) == "0.70"


@pytest.mark.parametrize(
    ("value", "words"),
    [(None, ""), ({"a": 1}, ""), (["a", 2], "a, 2"), (WrittenNumber("0.70"), "0.70"), (3, "3"), (True, "True")],
)
def test_any_value_is_shown_as_text(value: object, words: str) -> None:
    assert shown(value) == words


@pytest.mark.parametrize("odd", [None, 3, "text", {"part": "text"}, {"part": {"a": 1}}, {}])
def test_what_is_no_list_of_tables_gives_none(odd: object) -> None:
    assert tables(odd, "part") == []


def test_only_tables_of_a_list_and_a_table_are_given() -> None:
    values = {"part": [{"key": "a"}, 3], "head": {"name": "x"}, "odd": 3}

    assert tables(values, "part") == [{"key": "a"}]
    assert table(values, "head") == {"name": "x"}
    assert (table(values, "odd"), table(None, "head")) == ({}, {})


@pytest.mark.parametrize(
    ("value", "pair"),
    [([1, 2], ("1", "2")), ([1], ("", "")), ("1 to 2", ("", "")), (["", 2], ("", "2"))],
)
def test_range_is_shown_by_its_two_ends(value: object, pair: tuple[str, str]) -> None:
    assert ends(value) == pair


def test_limit_is_known_by_its_measure_and_the_way_it_bounds() -> None:
    assert limit_of({"lower": 1}) == "value-lower"
    assert limit_of({"measure": "wear"}) == "wear-upper"
    assert bound_of({"per_stroke": 1}) == "per_stroke"


def test_second_table_of_a_name_and_one_without_are_numbered() -> None:
    named = apart([{"key": "a"}, {"key": "a"}, {}], key_of)

    assert [name for name, _ in named] == ["a", "a~2", "~3"]


@pytest.mark.parametrize(
    ("words", "taken", "key"),
    [
        ("Oil ring", (), "oil-ring"),
        ("Oil ring", ("oil-ring", "oil-ring-2"), "oil-ring-3"),
        ("Ölring №", (), "lring"),
        ("§§", (), "part"),
        ("x" * 100, (), "x" * 60),
    ],
)
def test_key_is_made_of_a_name_and_is_free(words: str, taken: tuple[str, ...], key: str) -> None:
    assert free_key(words, taken) == key


@pytest.mark.parametrize("words", [["clear", "dark"], ["top, unworn", "mid"], ["top, unworn"], ["a"]])
def test_list_that_is_shown_and_taken_apart_again_is_the_same(words: list[str]) -> None:
    assert words_between(shown(words)) == words


def test_ends_of_lines_make_no_difference_between_two_texts() -> None:
    assert as_typed("one\r\ntwo\r\n") == as_typed("one\ntwo") == "one\ntwo"
