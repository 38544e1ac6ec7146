"""Tests of the sheet that a handful of answers lays out: whole but for its figures, none of which is invented."""

from pathlib import Path

from app.domain.draft_values import Values, tables
from app.domain.limits import Construction, PartKind
from app.domain.sheet_faults import Fault, SheetRefused
from app.domain.sheet_file import faults_in, read_values, sheet_warnings
from app.domain.sheet_skeleton import SheetAnswer, StageAnswer, skeleton, usual_part

STAGES = (StageAnswer("140", "110", 3), StageAnswer("78,5", "", 0, Construction.REED))
ANSWER = SheetAnswer("QM-X", "A", "two-stage compressor", "I. Brandreth", "mm", STAGES)


def faults_of(values: Values) -> tuple[Fault, ...]:
    """Everything that is wrong with tables or missing in them."""
    try:
        read_values(values, {})
    except SheetRefused as refusal:
        return refusal.faults
    return ()


def filled(value: object) -> object:
    """The same tables, everything that was left to be filled in filled in."""
    if isinstance(value, dict):
        return {key: filled(each) for key, each in value.items()}
    return [filled(each) for each in value] if isinstance(value, list) else 1 if value == "" else value


def test_nothing_but_what_is_to_be_filled_in_is_missing() -> None:
    faults = faults_of(skeleton(ANSWER))

    assert faults
    assert all(fault.is_missing for fault in faults)
    assert {fault.path[-1] for fault in faults} == {"document", "page", "upper", "lower"}


def test_no_figure_is_invented() -> None:
    parts = [part for stage in tables(skeleton(ANSWER), "stage") for part in tables(stage, "part")]
    gauged = [each for part in parts for each in tables(part, "characteristic")]

    bounds = [limit.get("upper", limit.get("lower")) for each in gauged for limit in tables(each, "limit")]

    assert set(bounds) == {""}
    assert not any("new" in each for each in gauged)


def test_sheet_is_whole_once_its_figures_are_filled_in() -> None:
    values = filled(skeleton(ANSWER))
    assert isinstance(values, dict)
    values["sheet"]["source"] = {"document": "WM-18", "page": "table 1"}

    sheet = read_values(values, {})

    assert [len(stage.parts) for stage in sheet.stages] == [9, 6]
    assert [part_set.name for part_set in sheet.sets] == ["Ring set"]
    assert sheet_warnings(sheet) == ()


def test_reed_has_no_springs_and_a_plate_valve_has() -> None:
    reed, plate = (
        usual_part(PartKind.VALVE, "v", "Valve", {"construction": construction}) for construction in ("reed", "plate")
    )

    assert [each["key"] for each in tables(reed, "characteristic")] == ["lift"]
    assert [each["key"] for each in tables(plate, "characteristic")] == ["lift", "spring-length"]


def test_part_of_another_kind_has_nothing_that_is_usual() -> None:
    assert "characteristic" not in usual_part(PartKind.OTHER, "frame", "Frame")


def test_faults_of_a_whole_text_are_none_and_of_another_are_told_by_path() -> None:
    sound = (Path(__file__).parent / "sound_sheet.toml").read_text(encoding="utf-8")

    assert faults_in(sound) == ()
    assert ("sheet", "name") in [fault.path for fault in faults_in("[sheet]\nname = 3\n")]
