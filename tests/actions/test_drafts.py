"""Tests of changes in the text of a sheet: what is typed goes into its place, and nothing else moves."""

import tomllib
from collections.abc import Callable
from difflib import unified_diff

import pytest

from app.actions.draft_changes import (
    add_part,
    add_stage,
    put_figures,
    put_head,
    put_part,
    put_renewed,
    put_sets,
    remove_stage,
)
from app.actions.draft_places import Place, changed, text_of
from app.domain.sheet_file import faults_in, read_sheet, toml_values
from app.domain.sheet_skeleton import SheetAnswer, StageAnswer, skeleton
from tests.builders import a_sheet_text

SAMPLES = ("qm-ga.toml", "qm-ba.toml", "qm-guarded.toml")
Typed = dict[str, str]


def stage_of(sheet: Place, number: int = 1) -> Place:
    """A stage in the text."""
    return sheet.named("stage")[number - 1][1]


def ring_of(sheet: Place) -> Place:
    """The rings of the first stage."""
    return dict(stage_of(sheet).named("part"))["ring"]


def difference(before: str, after: str) -> list[str]:
    """The lines that went and came."""
    lines = unified_diff(before.split("\n"), after.split("\n"), n=0, lineterm="")
    return [line for line in lines if line[:1] in "+-" and line[:3] not in ("+++", "---")]


@pytest.mark.parametrize("file", SAMPLES)
def test_form_kept_as_it_is_shown_changes_nothing_to_the_letter(file: str) -> None:
    text = a_sheet_text(file)

    kept = [
        changed(text, lambda sheet: put_head(sheet, {"unit": "", "rule": ""} | _head(text))),
        changed(text, lambda sheet: put_figures(stage_of(sheet), _figures(text))),
        changed(text, lambda sheet: put_renewed(sheet, {})),
    ]

    assert all(each == text for each in kept)


def _head(text: str) -> Typed:
    """What the form of the head shows."""
    head = read_sheet(text)
    return {"name": head.name, "revision": head.revision, "unit": head.unit.value, "rule": head.rule.value}


def _figures(text: str) -> Typed:
    """What the form of the first stage shows of its bore and of the first new range."""
    stage = read_sheet(text).stages[0]
    gauged = stage.parts[0].characteristics[0]
    assert gauged.new is not None
    field = f"{stage.parts[0].key}/{gauged.key}"
    return {"bore": stage.bore.typed, f"{field}/new-lower": gauged.new.lower.typed, f"{field}/new-upper":
            gauged.new.upper.typed}  # fmt: skip


def test_one_figure_changes_one_line_and_every_comment_stays() -> None:
    text = a_sheet_text()

    after = changed(text, lambda sheet: put_figures(stage_of(sheet), {"ring/closed-gap/value-upper": "0,70"}))

    assert difference(text, after) == ["-    { upper = 1.10 },", "+    { upper = 0.70 },"]


@pytest.mark.parametrize(
    ("change", "expected"),
    [
        (lambda sheet: put_figures(stage_of(sheet), {"ring/closed-gap/value-upper": ""}), 'upper = ""'),
        (lambda sheet: put_figures(stage_of(sheet), {"bore": "abc"}), 'bore = "abc"'),
        (lambda sheet: put_head(sheet, {"leaves": "0,05; 0.10"}), "leaves = [0.05, 0.10]"),
        (lambda sheet: put_head(sheet, {"revision": "2"}), 'revision = "2"'),
        (lambda sheet: put_sets(stage_of(sheet), {"set-name": "Two", "set-members": "ring-1, ring-2"}), 'key = "two"'),
        (lambda sheet: put_renewed(sheet, {"always/new/name": "Oil", "always/new/number": "Z9"}), 'number = "Z9"'),
        (lambda sheet: put_part(ring_of(sheet), "ring", {"ring/closed-gap/add": "wear-upper"}), '"wear", upper = ""'),
        (lambda sheet: put_part(ring_of(sheet), "ring", {"order/~1/number": "ZZ-1"}), 'number = "ZZ-1"'),
        (lambda sheet: put_part(ring_of(sheet), "ring", {"count": "2", "material": "bronze"}), 'material = "bronze"'),
    ],
)  # fmt: skip
def test_change_stands_in_the_text_and_the_rest_of_the_sheet_is_the_same(
    change: Callable[[Place], object], expected: str
) -> None:
    text = a_sheet_text()

    after = changed(text, change)

    assert expected in after
    assert expected not in text
    assert toml_values(after)["task"] == toml_values(text)["task"]
    assert toml_values(after)["proving"] == toml_values(text)["proving"]


def test_part_added_and_taken_out_again_leaves_the_same_sheet() -> None:
    text = a_sheet_text()

    added = changed(text, lambda sheet: add_part(stage_of(sheet), {"part-name": "Scraper ring", "part-kind": "ring"}))
    without = changed(added, lambda sheet: stage_of(sheet).remove("part", stage_of(sheet).named("part")[-1][1]))

    assert toml_values(added)["stage"][0]["part"][-1]["key"] == "scraper-ring"  # type: ignore[index]
    assert tomllib.loads(without) == tomllib.loads(text)


def test_stage_taken_out_moves_the_later_ones_up() -> None:
    text = changed(a_sheet_text(), add_stage)

    after = changed(text, lambda sheet: remove_stage(sheet, stage_of(sheet, 2)))

    assert [stage["number"] for stage in tomllib.loads(after)["stage"]] == [1, 2, 3]
    assert [stage["number"] for stage in tomllib.loads(text)["stage"]] == [1, 2, 3, 4]


def test_characteristic_added_to_a_part_without_any_is_gauged() -> None:
    text = text_of(skeleton(SheetAnswer("X", "A", "t", "a", "mm", (StageAnswer("80", "70"),))))
    text = changed(text, lambda sheet: add_part(stage_of(sheet), {"part-name": "Rod", "part-kind": "other"}))
    rod = {"add-name": "Big end", "add-method": "bore gauge", "add-bound": "upper"}

    after = changed(text, lambda sheet: put_part(stage_of(sheet).named("part")[-1][1], "rod", rod))
    removal = {"rod/big-end/value-upper/remove": "yes"}
    bare = changed(after, lambda sheet: put_part(stage_of(sheet).named("part")[-1][1], "rod", removal))
    gone = changed(after, lambda s: put_part(stage_of(s).named("part")[-1][1], "rod", {"rod/big-end/remove": "yes"}))

    assert tomllib.loads(after)["stage"][0]["part"][-1]["characteristic"][0]["limit"] == [{"upper": ""}]
    assert "limit" not in tomllib.loads(bare)["stage"][0]["part"][-1]["characteristic"][0]
    assert "characteristic" not in tomllib.loads(gone)["stage"][0]["part"][-1]


def test_only_the_figures_are_missing_from_what_was_laid_out() -> None:
    text = text_of(skeleton(SheetAnswer("X", "A", "t", "a", "in", (StageAnswer("3.000", "2.75"),))))

    assert "bore = 3.000" in text
    assert all(fault.is_missing for fault in faults_in(text))
