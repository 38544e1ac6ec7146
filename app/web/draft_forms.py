"""The forms of a limit sheet in the making: its head, each stage with its drawing, each part, what is renewed."""

from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Response

from app.actions.draft_asked import ALWAYS, ORDERS, OVERSIZES, PART_MORE
from app.actions.draft_changes import (
    add_part,
    part_wrong,
    put_figures,
    put_head,
    put_part,
    put_renewed,
    put_sets,
    remove_stage,
)
from app.actions.draft_places import Place
from app.actions.sheet_drafts import DraftNow, drawn_with
from app.domain.draft_values import Values, apart, key_of, shown, table, tables
from app.domain.errors import InputRefused
from app.domain.limits import Construction, Method, OnLimit, PartKind, Rule
from app.domain.people import Right
from app.domain.sheet_parts import Joint, Port
from app.domain.units import LengthUnit
from app.reports.draft_section import draft_layout
from app.web.draft_fields import gauged_on, linked, missing_by_part
from app.web.draft_keeping import Show, Typed, form_shown, kept, may, named, stage_in, stage_of
from app.web.draft_shown import AskedField, asked_fields, listed_shown
from app.web.page import Fields, page
from app.web.visit import Form, Visit, VisitNow, texts

router = APIRouter()
GAUGED = "characteristic"
ADDABLE = [
    ("", "no other limit"), ("value-upper", "at most"), ("value-lower", "at least"), ("wear-upper", "wear at most"),
    ("ovality-upper", "ovality at most"), ("taper-upper", "taper at most"),
    ("overall-difference-upper", "overall difference at most"), ("value-per_bore", "a share of the bore"),
    ("wear-per_bore", "wear, a share of the bore"), ("ovality-per_bore", "ovality, a share of the bore"),
    ("taper-per_bore", "taper, a share of the bore"), ("value-per_stroke", "a share of the stroke"),
]  # fmt: skip
CHOICES: dict[str, list[tuple[str, str]]] = {
    "kinds": [(kind.value, kind.value) for kind in PartKind],
    "methods": [(method.value, method.value) for method in Method],
    "ports": [(port.value, port.value) for port in Port],
    "constructions": [(each.value, each.value) for each in Construction],
    "joints": [("", "not said"), *((joint.value, joint.value) for joint in Joint)],
    "on_limits": [(each.value, each.value) for each in OnLimit],
    "outcomes": [("renew", "renew"), ("rework", "rework")],
    "bounds": [("upper", "at most"), ("lower", "at least")],
    "units": [("", "the sheet’s"), *((unit.value, unit.value) for unit in LengthUnit)],
    "addable": ADDABLE,
}


@router.get("/drafts/{draft_id}/head")
def ask_head(visit: VisitNow, draft_id: int) -> Response:
    """Ask for the head of a sheet."""
    return _head(visit, may(visit, draft_id), {}, {}, 200)


@router.post("/drafts/{draft_id}/head")
def keep_head(visit: VisitNow, form: Form, draft_id: int) -> Response:
    """Keep the head of a sheet."""
    typed = texts(form)
    return kept(visit, draft_id, typed, lambda sheet: put_head(sheet, typed), _head, "/stages/1")


@router.get("/drafts/{draft_id}/stages/{number}")
def ask_stage(visit: VisitNow, draft_id: int, number: int) -> Response:
    """Ask for the figures of a stage."""
    return _stage_page(number)(visit, may(visit, draft_id), {}, {}, 200)


@router.post("/drafts/{draft_id}/stages/{number}")
def keep_stage(visit: VisitNow, form: Form, draft_id: int, number: int) -> Response:
    """Keep the figures of a stage; add a part to it, or take the stage out."""
    typed = texts(form)
    last = len(tables(may(visit, draft_id).values, "stage"))
    onward = f"/stages/{number + 1}" if number < last else ""
    then = onward if typed.get("do") == "next" else "" if typed.get("do") == "remove" else f"/stages/{number}"
    return kept(visit, draft_id, typed, lambda sheet: _in_stage(sheet, number, typed), _stage_page(number), then)


@router.post("/_fragments/drafts/{draft_id}/stages/{number}")
def draw_stage(visit: VisitNow, form: Form, draft_id: int, number: int) -> Response:
    """Draw a stage with what is typed and not kept yet, and say what is still missing."""
    visit.person.must(Right.MANAGE_SHEETS)
    typed = texts(form)
    now = drawn_with(visit.book, visit.person, draft_id, lambda sheet: put_figures(stage_in(sheet, number), typed))
    return page(visit, "drafts/_drawn.html", **_drawn(now, number))


@router.get("/drafts/{draft_id}/stages/{number}/parts/{key}")
def ask_part(visit: VisitNow, draft_id: int, number: int, key: str) -> Response:
    """Ask for everything about one part."""
    return _part_page(number, key)(visit, may(visit, draft_id), {}, {}, 200)


@router.post("/drafts/{draft_id}/stages/{number}/parts/{key}")
def keep_part(visit: VisitNow, form: Form, draft_id: int, number: int, key: str) -> Response:
    """Keep everything about one part, or take it out."""
    typed = texts(form)
    stays = typed.get("do") == "keep"
    then = f"/stages/{number}" + (f"/parts/{quote(key)}" if stays else "")
    change = lambda sheet: _in_part(stage_in(sheet, number), key, typed)  # noqa: E731 - one line, used once
    return kept(visit, draft_id, typed, change, _part_page(number, key), then)


@router.get("/drafts/{draft_id}/renewed")
def ask_renewed(visit: VisitNow, draft_id: int) -> Response:
    """Ask for what is renewed whatever the readings say."""
    return _renewed(visit, may(visit, draft_id), {}, {}, 200)


@router.post("/drafts/{draft_id}/renewed")
def keep_renewed(visit: VisitNow, form: Form, draft_id: int) -> Response:
    """Keep what is renewed whatever the readings say."""
    typed = texts(form)
    return kept(visit, draft_id, typed, lambda sheet: put_renewed(sheet, typed), _renewed, "/renewed")


def _in_stage(sheet: Place, number: int, typed: Typed) -> None:
    """Change a stage as its form asks."""
    stage = stage_in(sheet, number)
    if typed.get("do") == "remove":
        if not typed.get("sure"):
            raise InputRefused({"sure": f"Tick this to take stage {number} out with all its parts."})
        remove_stage(sheet, stage)
        return
    put_figures(stage, typed)
    put_sets(stage, typed)
    if typed.get("do") == "add-part":
        refused = part_wrong(typed)
        if refused:
            raise InputRefused(refused)
        add_part(stage, typed)


def _in_part(stage: Place, key: str, typed: Typed) -> None:
    """Change a part as its form asks."""
    part = named(stage.named("part"), key)
    if typed.get("do") == "remove":
        if not typed.get("sure"):
            raise InputRefused({"sure": "Tick this to take the part out with all its figures."})
        stage.remove("part", part)
    else:
        put_part(part, key, typed)


def _head(visit: Visit, now: DraftNow, typed: Typed, errors: dict[str, str], status: int) -> Response:
    """Show the form of the head."""
    head = table(now.values, "sheet")
    leaves = shown(table(head, "feelers").get("leaves"))
    more = {"head": Fields(head), "source": Fields(table(head, "source")), "leaves": leaves}
    rules = [(rule.value, rule.value) for rule in Rule]
    shown_form = form_shown(now, "head", typed, errors, status)
    return page(visit, "drafts/head.html", status, rules=rules, **more, **shown_form)


def _stage_page(number: int) -> Show:
    """Give what shows the form of a stage."""

    def show(visit: Visit, now: DraftNow, typed: Typed, errors: dict[str, str], status: int) -> Response:
        """Show the form of a stage."""
        stage = stage_of(now, number)
        parts = [(name, Fields(part), gauged_on(name, part)) for name, part in apart(tables(stage, "part"), key_of)]
        more = {"parts": parts, "sets": _sets(stage), "joints_words": _joints_words(stage)}
        form = form_shown(now, f"stages/{number}", typed, errors, status)
        drawn = CHOICES | _drawn(now, number)
        return page(visit, "drafts/stage.html", status, stage=Fields(stage), **more, **form, **drawn)

    return show


def _sets(stage: Values) -> list[tuple[str, Values, tuple[AskedField, ...]]]:
    """Give the sets of a stage, each with what is ordered for it."""
    return [
        (name, Fields(each), asked_fields(ORDERS.asked, table(each, "order"), f"set/{name}/order/"))
        for name, each in apart(tables(stage, "set"), key_of)
    ]


def _joints_words(stage: Values) -> str:
    """Say what stands on the page for closing a stage."""
    joints = len(tables(stage, "joint"))
    return f"{joints or 'no'} {'joint' if joints == 1 else 'joints'}, ring gaps, gauges"


def _drawn(now: DraftNow, number: int) -> dict[str, Any]:
    """Draw a stage, and say what is missing or wrong in it."""
    stage = stage_of(now, number)
    found = [f for f in now.faults if f.path[:2] == ("stage", number - 1)]
    doubts = [w for w in now.warnings if w.place.startswith(f"stage {number},")]
    layout = draft_layout(number, stage, missing_by_part(now, number))
    return {"layout": layout, "number": number, "found": linked(now, [*found, *doubts]), "draft_id": now.draft.id}


def _part_page(number: int, key: str) -> Show:
    """Give what shows the form of a part."""

    def show(visit: Visit, now: DraftNow, typed: Typed, errors: dict[str, str], status: int) -> Response:
        """Show the form of a part."""
        part = named(apart(tables(stage_of(now, number), "part"), key_of), key)
        form = form_shown(now, f"stages/{number}/parts/{key}", typed, errors, status) | CHOICES
        more = {"part": Fields(part), "key": key, "number": number, "gauged": gauged_on(key, part)}
        lists = {"orders": listed_shown(ORDERS, part), "oversizes": listed_shown(OVERSIZES, part)}
        asked = {"rest": asked_fields(PART_MORE, part, kind=shown(part.get("kind"))), "sizes": _sizes(now, number)}
        return page(visit, "drafts/part.html", status, **more, **lists, **asked, **form)

    return show


def _sizes(now: DraftNow, number: int) -> list[tuple[str, str]]:
    """Name every size of a stage that a clearance can lie between."""
    parts = [(key_of(part), each) for part in tables(stage_of(now, number), "part") for each in tables(part, GAUGED)]
    names = [f"{part}.{key_of(each)}" for part, each in parts if "between" not in each]
    return [("", "choose"), *((name, name) for name in names)]


def _renewed(visit: Visit, now: DraftNow, typed: Typed, errors: dict[str, str], status: int) -> Response:
    """Show the form of what is always renewed."""
    form = form_shown(now, "renewed", typed, errors, status)
    return page(visit, "drafts/renewed.html", status, always=listed_shown(ALWAYS, now.values), **form)
