"""Whatever a sheet holds can be typed: taken out of a demonstration sheet and typed into forms, it is there again."""

from collections.abc import Sequence

import pytest

from app.actions.draft_asked import (
    INSTRUMENTS,
    ITEMS,
    JOINTS,
    JUDGING,
    ORDERS,
    OVERSIZES,
    PROVING,
    RUNNING,
    TASK,
    Asked,
    How,
    Listed,
)
from app.actions.draft_changes import add_task, put_closing, put_judging, put_part, put_proving, put_task
from app.actions.draft_places import Place, changed
from app.domain.draft_values import Values, ends, shown, table, tables
from app.domain.sheet_file import faults_in, read_sheet, toml_values
from tests.builders import a_sheet_text

SAMPLES = ("qm-ga.toml", "qm-ba.toml", "qm-guarded.toml")
Typed = dict[str, str]
UNSAID = {"torque_unit": "N.m", "pressure_unit": "bar"}  # what a file may leave unsaid, and a form asks


def typed_of(asked: Sequence[Asked], values: Values, prefix: str) -> Typed:
    """What a person types into empty fields to say what stands in a table."""
    typed: Typed = {}
    for each in asked:
        name, value = prefix + each.key, values.get(each.key)
        if each.how is How.RANGE:
            typed[f"{name}-lower"], typed[f"{name}-upper"] = ends(value)
        elif each.how is How.TICKS:
            words = value if isinstance(value, list) else []
            typed |= {f"{name}/asked": "yes"} | {f"{name}/{word}": "yes" for word in words}
        else:
            typed[name] = shown(value) or each.default or UNSAID.get(each.key, "")
    return typed


def without(values: Values, *keys: str) -> Values:
    """A table without some keys, and without what only says the default."""
    return {key: value for key, value in values.items() if key not in keys}


def one_by_one(listed: Listed, values: Values, at: str = "") -> list[Typed]:
    """What is typed for each table of a list, one more each time."""
    return [typed_of(listed.asked, each, f"{at}{listed.key}/new/") for each in tables(values, listed.key)]


def bare(found: Sequence[Values], asked: Sequence[Asked]) -> list[Values]:
    """Tables without their keys; a default that was written out is the same as none."""
    defaults = UNSAID | {each.key: each.default for each in asked if each.default}
    return [
        {
            key: sorted(value) if key == "cautions" and isinstance(value, list) else value
            for key, value in each.items()
            if key != "key" and shown(value) != defaults.get(key)
        }
        for each in found
    ]


@pytest.mark.parametrize("file", ["qm-ga.toml", "qm-ba.toml"])
def test_tasks_typed_anew_are_the_same_tasks(file: str) -> None:
    text = a_sheet_text(file)
    wanted = tables(toml_values(text), "task")
    text = changed(text, lambda sheet: [sheet.drop(key) for key in ("task", "stage", "always")])

    for each in wanted:
        text = changed(text, lambda sheet, each=each: add_task(sheet, typed_of(TASK, each, "")))
        for item in one_by_one(ITEMS, each):
            text = changed(text, lambda sheet, item=item: put_task(sheet.named("task")[-1][1], item))

    found = tables(toml_values(text), "task")
    plain = [without(each, "item") for each in found], [without(each, "item") for each in wanted]
    assert bare(plain[0], TASK) == bare(plain[1], TASK)
    for now, then in zip(found, wanted, strict=True):
        assert bare(tables(now, "item"), ITEMS.asked) == bare(tables(then, "item"), ITEMS.asked)
    assert [each["key"] for each in found]
    assert not [f for f in faults_in(text) if f.path[:1] == ("task",)]


@pytest.mark.parametrize("file", SAMPLES)
def test_closing_and_running_of_every_stage_typed_anew_are_the_same(file: str) -> None:
    text = a_sheet_text(file)
    wanted = tables(toml_values(text), "stage")
    text = changed(text, lambda sheet: [stage.drop(key) for _, stage in sheet.named("stage")
                                        for key in ("joint", "running", "stagger")])  # fmt: skip

    for number, each in enumerate(wanted):
        rest = typed_of(RUNNING, table(each, "running"), "running/") | {"stagger": shown(each.get("stagger"))}
        for typed in [*one_by_one(JOINTS, each), rest]:
            text = changed(text, lambda sheet, n=number, t=typed: put_closing(sheet.named("stage")[n][1], t))

    for now, then in zip(tables(toml_values(text), "stage"), wanted, strict=True):
        assert bare(tables(now, "joint"), JOINTS.asked) == bare(tables(then, "joint"), JOINTS.asked)
        assert table(now, "running") == table(then, "running")
        assert now.get("stagger") == then.get("stagger")


@pytest.mark.parametrize("file", SAMPLES)
def test_proving_judging_and_instruments_typed_anew_are_the_same(file: str) -> None:
    text = a_sheet_text(file)
    wanted = toml_values(text)
    head = table(wanted, "sheet")
    text = changed(text, lambda sheet: (sheet.drop("proving"), sheet.within("sheet").drop("instrument"),
                                        sheet.within("sheet").drop("judging")))  # fmt: skip

    proving = table(wanted, "proving")
    text = changed(text, lambda sheet: put_proving(sheet, typed_of(PROVING, proving, "") if proving else {}))
    for typed in [*one_by_one(INSTRUMENTS, head), typed_of(JUDGING, table(head, "judging"), "judging/")]:
        text = changed(text, lambda sheet, typed=typed: put_judging(sheet, typed))

    assert read_sheet(text) == read_sheet(a_sheet_text(file))


@pytest.mark.parametrize("file", ["qm-ga.toml", "qm-guarded.toml"])
def test_orders_and_oversizes_of_every_part_typed_anew_are_the_same(file: str) -> None:
    text = a_sheet_text(file)
    wanted = toml_values(text)
    parts = [(s, p) for s, stage in enumerate(tables(wanted, "stage")) for p, _ in enumerate(tables(stage, "part"))]
    stood = {(s, p): tables(tables(wanted, "stage")[s], "part")[p] for s, p in parts}
    held = {at: part for at, part in stood.items() if "oversize" in part or at == (0, 0)}
    text = changed(text, lambda sheet: [_part(sheet, *at).drop(key) for at in held for key in ("order", "oversize")])

    for at, part in held.items():
        for typed in _orders(part):
            text = changed(text, lambda sheet, at=at, typed=typed: put_part(_part(sheet, *at), "x", typed))

    assert read_sheet(text) == read_sheet(a_sheet_text(file))


def _part(sheet: Place, stage: int, part: int) -> Place:
    """A part in the text."""
    return sheet.named("stage")[stage][1].named("part")[part][1]


def _orders(part: Values) -> list[Typed]:
    """What is typed of a part's orders and oversizes, one after the other."""
    typed = one_by_one(ORDERS, part)
    for number, each in enumerate(tables(part, "oversize"), start=1):
        typed.append(typed_of(OVERSIZES.asked, each, "oversize/new/"))
        typed += one_by_one(OVERSIZES.within[0], each, f"oversize/~{number}/")
    return typed
