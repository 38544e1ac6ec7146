"""What each form of a limit sheet in the making changes in its text."""

from app.actions.draft_asked import (
    ALWAYS,
    GAUGED_MORE,
    INSTRUMENTS,
    ITEMS,
    JOINTS,
    JUDGING,
    ORDERS,
    OVERSIZES,
    PART_MORE,
    PROVING,
    RUNNING,
    STAGGER,
    TASK,
)
from app.actions.draft_places import Place
from app.actions.draft_put import new_values, put_asked, put_listed, put_table
from app.domain.draft_values import bound_of, free_key, key_of, limit_of, tables, written
from app.domain.limits import Construction, Measure, OnLimit, PartKind
from app.domain.sheet_skeleton import TO_FILL_IN, StageAnswer, skeleton_stage, usual_characteristic, usual_part
from app.domain.verdicts import Verdict

Typed = dict[str, str]

ENDS = ("outer", "inner")
ORDER_OF_SET = ORDERS.asked
HEAD_TEXTS = ("name", "revision", "machine_type", "approver")
CHOSEN = {
    "measure": Measure.VALUE.value,
    "on_limit": OnLimit.MUST_NOT_BE_EXCEEDED.value,
    "outcome": Verdict.RENEW.value,
}


def put_head(sheet: Place, typed: Typed) -> None:
    """Put the head of the sheet in."""
    head = sheet.within("sheet")
    for key in HEAD_TEXTS:
        head.put_text(key, typed.get(key), is_kept_empty=True)
    head.put_text("unit", typed.get("unit"))
    head.put_text("rule", typed.get("rule"), "simple")
    head.put_text("note", typed.get("note"))
    head.put_size("opening_interval", typed.get("opening_interval"))
    source = head.within("source")
    for key in ("document", "page"):
        source.put_text(key, typed.get(key), is_kept_empty=True)
    if typed.get("leaves", "").strip() or "feelers" in head.plain:
        head.within("feelers").put_list("leaves", typed.get("leaves"), written)


def put_figures(stage: Place, typed: Typed) -> None:
    """Put the sizes of a stage in, and every figure of its parts."""
    stage.put_size("bore", typed.get("bore"), is_kept_empty=True)
    stage.put_size("stroke", typed.get("stroke"))
    stage.put_size("cylinders", typed.get("cylinders"))
    for part_name, part in stage.named("part"):
        for name, gauged in part.named("characteristic"):
            _put_figures_of(gauged, f"{part_name}/{name}", typed)


def _put_figures_of(gauged: Place, field: str, typed: Typed) -> None:
    """Put the new range, the limits and the source of one characteristic in."""
    gauged.put_range("new", typed.get(f"{field}/new-lower"), typed.get(f"{field}/new-upper"))
    gauged.put_text("source", typed.get(f"{field}/source"))
    for name, limit in gauged.named("limit", limit_of):
        limit.put_size(bound_of(limit.plain), typed.get(f"{field}/{name}"), is_kept_empty=True)


def put_part(part: Place, key: str, typed: Typed) -> None:
    """Put in what a part is, what is ordered for it, and what is gauged on it."""
    part.put_text("name", typed.get("name"), is_kept_empty=True)
    for text in ("port", "construction", "joint", "gap_gauged", "material"):
        part.put_text(text, typed.get(text))
    for number in ("count", "working_temperature"):
        part.put_size(number, typed.get(number))
    for parts in ("renew_with", "rework_before"):
        part.put_list(parts, typed.get(parts))
    _put_mates(part, typed.get("judge_again_after"))
    put_asked(part, PART_MORE, "", typed)
    put_listed(part, ORDERS, "", typed)
    put_listed(part, OVERSIZES, "", typed)
    for name, gauged in part.named("characteristic"):
        field = f"{key}/{name}"
        if typed.get(f"{field}/remove"):
            part.remove("characteristic", gauged)
        else:
            _put_characteristic(gauged, field, typed)
    if typed.get("add-name", "").strip():
        _add_characteristic(part, typed)
    if typed.get("add-clearance", "").strip():
        _add_clearance(part, typed)


def _put_mates(part: Place, typed: str | None) -> None:
    """Put in what a part waits for; an empty list is written as none, which is not the same as nothing said."""
    if typed is not None and typed.strip() == "none":
        part.put_new("judge_again_after", [])
    elif part.plain.get("judge_again_after") == [] and typed is not None and not typed.strip():
        part.drop("judge_again_after")
    else:
        part.put_list("judge_again_after", typed)


def _put_characteristic(gauged: Place, field: str, typed: Typed) -> None:
    """Put one characteristic in, with all that is said of its limits."""
    _put_figures_of(gauged, field, typed)
    gauged.put_text("name", typed.get(f"{field}/name"), is_kept_empty=True)
    for text in ("method", "unit", "where"):
        gauged.put_text(text, typed.get(f"{field}/{text}"))
    for places in ("levels", "axes"):
        gauged.put_list(places, typed.get(f"{field}/{places}"))
    put_asked(gauged, GAUGED_MORE, f"{field}/", typed)
    _put_between(gauged, field, typed)
    for own, limit in gauged.named("limit", limit_of):
        if typed.get(f"{field}/{own}/remove"):
            gauged.remove("limit", limit)
        else:
            _put_limit(limit, f"{field}/{own}", typed)
    if typed.get(f"{field}/add"):
        measure, _, bound = typed[f"{field}/add"].rpartition("-")
        named = {} if measure == Measure.VALUE else {"measure": measure.replace("-", " ")}
        gauged.add("limit", named | {bound: TO_FILL_IN})


def _put_between(gauged: Place, field: str, typed: Typed) -> None:
    """Put in between which two sizes a clearance is worked out."""
    ends = [typed[f"{field}/between-{end}"] for end in ENDS if f"{field}/between-{end}" in typed]
    if len(ends) == len(ENDS):
        gauged.put_texts("between", ends)


def _put_limit(limit: Place, field: str, typed: Typed) -> None:
    """Put in what is said of one limit beside its size."""
    for key in ("on_limit", "outcome"):
        limit.put_text(key, typed.get(f"{field}/{key}"), CHOSEN[key])
    for key in ("renews", "action", "source"):
        limit.put_text(key, typed.get(f"{field}/{key}"))
    limit.put_size("at_most", typed.get(f"{field}/at_most"))


def _add_characteristic(part: Place, typed: Typed) -> None:
    """Add what else is gauged on a part, with one limit still to be filled in."""
    name = typed["add-name"].strip()
    limit = {typed.get("add-bound") or "upper": TO_FILL_IN}
    part.add("characteristic", usual_characteristic(name, _free(part, name), typed.get("add-method", ""), limit))


def _add_clearance(part: Place, typed: Typed) -> None:
    """Add a clearance that is worked out from two sizes, with one limit still to be filled in."""
    name = typed["add-clearance"].strip()
    limits = [{typed.get("add-clearance-bound") or "upper": TO_FILL_IN}]
    ends = [typed.get(f"add-{end}", "") for end in ENDS]
    part.add("characteristic", {"key": _free(part, name), "name": name, "between": ends, "limit": limits})


def _free(part: Place, name: str) -> str:
    """Make a key for what is gauged on a part."""
    return free_key(name, [key_of(each) for each in tables(part.plain, "characteristic")])


def put_closing(stage: Place, typed: Typed) -> None:
    """Put in how a stage is closed, and what it shows when running."""
    put_listed(stage, JOINTS, "", typed)
    put_asked(stage, STAGGER, "", typed)
    put_table(stage, "running", RUNNING, "running/", typed)


def take_joints_over(stage: Place, before: Place) -> None:
    """Take the joints of the stage before over, where a stage has none of its own."""
    if "joint" not in stage.node:
        for joint in tables(before.plain, "joint"):
            stage.add("joint", joint)


def put_proving(sheet: Place, typed: Typed) -> None:
    """Put in what the running machine is proved against."""
    put_table(sheet, "proving", PROVING, "", typed)


def put_judging(sheet: Place, typed: Typed) -> None:
    """Put in how readings are judged, and what is known of the instruments."""
    head = sheet.within("sheet")
    put_table(head, "judging", JUDGING, "judging/", typed)
    put_listed(head, INSTRUMENTS, "", typed)


def put_task(task: Place, typed: Typed) -> None:
    """Put a task in, with what is recorded with it."""
    put_asked(task, TASK, "", typed)
    put_listed(task, ITEMS, "", typed)


def add_task(sheet: Place, typed: Typed) -> str:
    """Add a task, and give the key it was given."""
    key = free_key(typed["name"], [key_of(each) for each in tables(sheet.plain, "task")])
    sheet.add("task", {"key": key} | new_values(TASK, "", typed))
    return key


def part_wrong(typed: Typed) -> dict[str, str]:
    """Say what is missing of a part that is to be added."""
    wrong = {} if typed.get("part-name", "").strip() else {"part-name": "Give the part a name, such as Oil ring."}
    if typed.get("part-kind") not in tuple(PartKind):
        wrong["part-kind"] = "Choose what kind of part it is."
    return wrong


def add_part(stage: Place, typed: Typed) -> str:
    """Add a part of some kind with what is usually gauged on it, and give the key it was given."""
    name, kind = typed["part-name"].strip(), PartKind(typed["part-kind"])
    key = free_key(name, [key_of(each) for each in tables(stage.plain, "part")])
    more: dict[str, object] = {}
    if kind is PartKind.VALVE:
        port = "delivery" if "delivery" in name.lower() else "suction"
        more = {"port": port, "construction": Construction.PLATE.value}
    if typed.get("part-count", "").strip():
        more["count"] = written(typed["part-count"])
    stage.add("part", usual_part(kind, key, name, more))
    return key


def add_stage(sheet: Place, bore: str = "", stroke: str = "") -> int:
    """Add a stage after the last, and give its number."""
    number = len(tables(sheet.plain, "stage")) + 1
    sheet.add("stage", skeleton_stage(number, StageAnswer(bore, stroke)))
    return number


def remove_stage(sheet: Place, stage: Place) -> None:
    """Take a stage out; those after it move up."""
    sheet.remove("stage", stage)
    for number, each in enumerate(sheet.node.get("stage", []), start=1):
        each["number"] = number


def put_renewed(sheet: Place, typed: Typed) -> None:
    """Put in what is renewed whatever the readings say."""
    put_listed(sheet, ALWAYS, "", typed)


def put_sets(stage: Place, typed: Typed) -> None:
    """Put the sets of a stage in; with none named, all rings of one piston are a set."""
    for name, part_set in stage.named("set"):
        if typed.get(f"set/{name}/remove"):
            stage.remove("set", part_set)
            continue
        part_set.put_text("name", typed.get(f"set/{name}/name"), is_kept_empty=True)
        part_set.put_list("members", typed.get(f"set/{name}/members"))
        put_table(part_set, "order", ORDER_OF_SET, f"set/{name}/order/", typed)
    name, members = typed.get("set-name", "").strip(), typed.get("set-members", "")
    if name:
        key = free_key(name, [key_of(each) for kind in ("part", "set") for each in tables(stage.plain, kind)])
        words = [word.strip() for word in members.replace(";", ",").split(",") if word.strip()]
        stage.add("set", {"key": key, "name": name, "members": words})
