"""The openings of old paper: their order, what stands instead of what, what they covered, and the work done in them."""

from pathlib import Path

import pytest

from tests.old_paper import a_row, a_sheet, a_table, good_rows, rejudged

GAP = a_row("2.ring-1", "closed-gap", level="worst place", value="0.50")
SIGHT = a_row("2.ring-1", "seen", findings="sound")


def test_later_row_of_the_same_place_stands_instead_and_that_is_said(tmp_path: Path) -> None:
    run = rejudged(tmp_path, a_table([GAP | {"value": "0.70"}, SIGHT, GAP]))

    part = run.part("2.ring-1")
    assert [each["figure"] for each in part["reasons"] if each["characteristic"] == "closed-gap"] == ["0.50", "0.50"]
    assert part["superseded_lines"] == [2]
    assert run.tally.superseded_count == 1
    assert [(row["line"], row["what"], row["typed"], row["words"]) for row in run.refused] == [
        ("2", "superseded", "0.70 mm", "Line 4 is for the same place and stands instead.")
    ]


def test_same_place_as_found_and_as_fitted_are_two_readings(tmp_path: Path) -> None:
    run = rejudged(tmp_path, a_table([GAP, GAP | {"occasion": "As-fitted", "value": "0.30"}]))

    assert run.tally.superseded_count == 0


def test_refused_row_leaves_the_earlier_one_and_is_named_beside_its_part(tmp_path: Path) -> None:
    rows = _stage_2()

    run = rejudged(tmp_path, a_table([*rows, a_row("2.pin", "diameter", value="21,9,6")]))

    assert run.part("2.pin")["verdict"] == "REUSE"
    line = len(rows) + 2
    assert run.part("2.pin")["refused_lines"] == [line]
    assert next(row for row in run.table() if row["part"] == "2.pin")["refused_lines"] == str(line)
    assert run.openings[0]["refused_lines"] == [line]


def test_rows_of_an_opening_that_others_followed_are_refused_with_the_line_where_it_ended(tmp_path: Path) -> None:
    other = a_row("2.pin", "seen", findings="sound", overhaul="8")

    run = rejudged(tmp_path, a_table([GAP, other, SIGHT, other | {"part": "3.pin"}]))

    assert [opening["overhaul"] for opening in run.openings] == ["7", "8"]
    assert [(row["line"], row["words"]) for row in run.refused] == [
        ("4", "The rows of one opening stand together: 7 ended in line 2.")
    ]
    assert run.openings[1]["readings"] == 2


def test_openings_of_the_same_number_on_two_machines_are_two(tmp_path: Path) -> None:
    run = rejudged(tmp_path, a_table([GAP, GAP | {"machine": "GA-2"}]))

    assert [(opening["overhaul"], opening["machine"]) for opening in run.openings] == [("7", "GA-1"), ("7", "GA-2")]


def test_machine_hours_and_date_need_stand_only_at_the_head_of_an_opening(tmp_path: Path) -> None:
    rows = [GAP | {"date": "1999-03-02"}, SIGHT | {"machine": "", "hours": "", "date": ""}]

    run = rejudged(tmp_path, a_table(rows))

    opening = run.openings[0]
    assert (opening["machine"], opening["hours"], opening["date"]) == ("GA-1", "9350", "1999-03-02")
    assert opening["readings"] == 2


def test_hours_that_contradict_the_head_of_the_opening_are_refused(tmp_path: Path) -> None:
    run = rejudged(tmp_path, a_table([GAP, SIGHT | {"hours": "9530"}]))

    assert run.refused[0]["words"] == "Line 2 gives 9350 h. Which is right?"
    assert run.openings[0]["hours"] == "9350"


def test_scope_is_told_from_the_parts_and_what_is_missing_in_it_is_not_gauged(tmp_path: Path) -> None:
    run = rejudged(tmp_path, a_table([a_row("2.suction-valve", "seen", findings="sound")]))

    opening = run.openings[0]
    assert opening["scope"] == "stage 2; valves only"
    assert [(part["part"], part["verdict"]) for part in opening["parts"]] == [
        ("2.suction-valve", "NOT GAUGED"),
        ("2.delivery-valve", "NOT GAUGED"),
    ]


def test_part_whose_only_row_was_refused_is_in_the_scope_and_not_gauged(tmp_path: Path) -> None:
    run = rejudged(tmp_path, a_table([SIGHT, a_row("3.pin", "diameter", value="?")]))

    assert run.part("3.pin")["verdict"] == "NOT GAUGED"
    assert run.part("3.pin")["refused_lines"] == [3]


def test_row_with_a_cell_too_many_is_named_beside_its_part(tmp_path: Path) -> None:
    text = a_table([SIGHT, GAP | {"value": "0,50"}]).replace('"0,50"', "0,50")

    run = rejudged(tmp_path, text)

    assert run.part("2.ring-1")["refused_lines"] == [3]


def test_ring_over_its_limit_renews_its_set_and_the_reason_names_it(tmp_path: Path) -> None:
    rows = [row | ({"value": "0.70", "goes": "", "does_not_go": ""} if _is_gap(row) else {}) for row in _stage_2()]

    run = rejudged(tmp_path, a_table(rows))

    first, second = run.part("2.ring-1"), run.part("2.ring-2")
    assert (first["verdict"], first["renews"]) == ("RENEW", "ring set")
    assert (second["verdict"], second["renews"]) == ("RENEW", "ring set")
    assert "Ring 1: renewed, so is the whole set" in second["set_reason"]


@pytest.mark.parametrize(("value", "word"), [("0.30", "REUSE"), ("0.15", "REWORK"), ("0.40", "RENEW")])
def test_renewed_ring_is_held_as_fitted_against_its_new_range(tmp_path: Path, value: str, word: str) -> None:
    worn = [row | ({"value": "0.70", "goes": "", "does_not_go": ""} if _is_gap(row) else {}) for row in _stage_2()]
    fitted = [row | {"occasion": "as fitted"} for row in _stage_2() if row["part"] == "2.ring-1"]
    instead = [row | ({"value": value, "goes": "", "does_not_go": ""} if _is_gap(row) else {}) for row in fitted]

    run = rejudged(tmp_path, a_table(worn + instead))

    assert run.part("2.ring-1")["as_fitted"]["verdict"] == word
    assert next(row for row in run.table() if row["part"] == "2.ring-1")["as_fitted"] == word
    assert run.part("2.ring-2")["as_fitted"] is None


def test_foot_of_the_file_counts_everything(tmp_path: Path) -> None:
    rows = [*_stage_2(), GAP | {"overhaul": "8"}, GAP | {"overhaul": "8"}, GAP | {"value": ""}, GAP | {"overhaul": ""}]

    run = rejudged(tmp_path, a_table(rows))

    summary = run.document["summary"]
    assert summary["readings"] == len(rows) - 2
    assert (summary["openings"], summary["superseded"], summary["left_empty"], summary["refused_lines"]) == (2, 1, 1, 1)
    assert sum(summary["parts"].values()) == sum(len(opening["parts"]) for opening in run.openings)


def _stage_2() -> list[dict[str, str]]:
    """Stage 2, every place good."""
    return good_rows(a_sheet(), 2)


def _is_gap(row: dict[str, str]) -> bool:
    """Whether a row is the closed gap of ring 1."""
    return (row["part"], row["characteristic"]) == ("2.ring-1", "closed-gap")
