"""The forms of a limit sheet in the making for its tasks, for proving, for instruments, and for closing each stage."""

from decimal import Decimal, InvalidOperation
from typing import Any
from urllib.parse import quote

from fastapi import APIRouter, Response

from app.actions.draft_asked import INSTRUMENTS, ITEMS, JOINTS, JUDGING, PROVING, RUNNING, STAGGER, TASK
from app.actions.draft_changes import add_task, put_closing, put_judging, put_proving, put_task, take_joints_over
from app.actions.draft_places import Place
from app.actions.sheet_drafts import DraftNow, drawn_with
from app.domain.draft_values import Values, apart, key_of, shown, table, tables
from app.domain.errors import InputRefused
from app.domain.people import Right
from app.domain.sheet_closing import ANGLES, FEWEST_NUTS, MOST_NUTS, MOST_RINGS
from app.domain.tasks import Opens
from app.domain.tightening import stagger_degrees
from app.reports.closing_drawing import StaggerLayout, joint_layout, stagger_layout
from app.web.draft_keeping import Show, Typed, form_shown, kept, may, named, stage_in, stage_of
from app.web.draft_shown import asked_fields, listed_shown, new_fields
from app.web.page import Fields, page
from app.web.visit import Form, Visit, VisitNow, texts

router = APIRouter()


@router.get("/drafts/{draft_id}/tasks")
def ask_tasks(visit: VisitNow, draft_id: int) -> Response:
    """Show the tasks, and ask for one more."""
    return _tasks(visit, may(visit, draft_id), {}, {}, 200)


@router.post("/drafts/{draft_id}/tasks")
def one_more_task(visit: VisitNow, form: Form, draft_id: int) -> Response:
    """Add a task, and go on to what is recorded with it."""
    typed, added = texts(form), list[str]()
    return kept(visit, draft_id, typed, lambda sheet: added.append(_added(sheet, typed)), _tasks,
                lambda: f"/tasks/{quote(added[-1])}")  # fmt: skip


@router.get("/drafts/{draft_id}/tasks/{key}")
def ask_task(visit: VisitNow, draft_id: int, key: str) -> Response:
    """Ask for everything about one task."""
    return _task_page(key)(visit, may(visit, draft_id), {}, {}, 200)


@router.post("/drafts/{draft_id}/tasks/{key}")
def keep_task(visit: VisitNow, form: Form, draft_id: int, key: str) -> Response:
    """Keep a task, or take it out."""
    typed = texts(form)
    then = f"/tasks/{quote(key)}" if typed.get("do") == "keep" else "/tasks"
    return kept(visit, draft_id, typed, lambda sheet: _in_task(sheet, key, typed), _task_page(key), then)


@router.get("/drafts/{draft_id}/proving")
def ask_proving(visit: VisitNow, draft_id: int) -> Response:
    """Ask for what the running machine is proved against."""
    return _proving(visit, may(visit, draft_id), {}, {}, 200)


@router.post("/drafts/{draft_id}/proving")
def keep_proving(visit: VisitNow, form: Form, draft_id: int) -> Response:
    """Keep what the running machine is proved against."""
    typed = texts(form)
    return kept(visit, draft_id, typed, lambda sheet: put_proving(sheet, typed), _proving, "/proving")


@router.get("/drafts/{draft_id}/instruments")
def ask_instruments(visit: VisitNow, draft_id: int) -> Response:
    """Ask for what is known of the instruments."""
    return _instruments(visit, may(visit, draft_id), {}, {}, 200)


@router.post("/drafts/{draft_id}/instruments")
def keep_instruments(visit: VisitNow, form: Form, draft_id: int) -> Response:
    """Keep what is known of the instruments, and how readings are judged."""
    typed = texts(form)
    return kept(visit, draft_id, typed, lambda sheet: put_judging(sheet, typed), _instruments, "/instruments")


@router.get("/drafts/{draft_id}/stages/{number}/closing")
def ask_closing(visit: VisitNow, draft_id: int, number: int) -> Response:
    """Ask how a stage is closed."""
    return _closing_page(number)(visit, may(visit, draft_id), {}, {}, 200)


@router.post("/drafts/{draft_id}/stages/{number}/closing")
def keep_closing(visit: VisitNow, form: Form, draft_id: int, number: int) -> Response:
    """Keep how a stage is closed."""
    typed = texts(form)
    then = f"/stages/{number}" + ("/closing" if typed.get("do") in ("keep", "as-before") else "")
    change = lambda sheet: _in_closing(sheet, number, typed)  # noqa: E731 - one line, used once
    return kept(visit, draft_id, typed, change, _closing_page(number), then)


@router.post("/_fragments/drafts/{draft_id}/stages/{number}/closing")
def draw_closing(visit: VisitNow, form: Form, draft_id: int, number: int) -> Response:
    """Draw how a stage is closed with what is typed and not kept yet."""
    visit.person.must(Right.MANAGE_SHEETS)
    typed = texts(form)
    now = drawn_with(visit.book, visit.person, draft_id, lambda sheet: put_closing(stage_in(sheet, number), typed))
    return page(visit, "drafts/_closed.html", **_closed(now, number))


def tasks_listed(now: DraftNow) -> list[tuple[str, Values, int]]:
    """Give the tasks of a draft, each with how many things are recorded with it."""
    return [(key, Fields(each), len(tables(each, "item"))) for key, each in apart(tables(now.values, "task"), key_of)]


def _added(sheet: Place, typed: Typed) -> str:
    """Add a task that has a name."""
    if not typed.get("name", "").strip():
        raise InputRefused({"name": "Give the task a name, such as Oil level."})
    return add_task(sheet, typed)


def _in_task(sheet: Place, key: str, typed: Typed) -> None:
    """Change a task as its form asks."""
    task = named(sheet.named("task"), key)
    if typed.get("do") == "remove":
        if not typed.get("sure"):
            raise InputRefused({"sure": "Tick this to take the task out."})
        sheet.remove("task", task)
    else:
        put_task(task, typed)


def _in_closing(sheet: Place, number: int, typed: Typed) -> None:
    """Change how a stage is closed as its form asks."""
    put_closing(stage_in(sheet, number), typed)
    if typed.get("do") == "as-before" and number > 1:
        take_joints_over(stage_in(sheet, number), stage_in(sheet, number - 1))


def _tasks(visit: Visit, now: DraftNow, typed: Typed, errors: dict[str, str], status: int) -> Response:
    """Show the tasks."""
    form = form_shown(now, "tasks", typed, errors, status)
    return page(visit, "drafts/tasks.html", status, tasks=tasks_listed(now), fields=new_fields(TASK, ""), **form)


def _task_page(key: str) -> Show:
    """Give what shows the form of a task."""

    def show(visit: Visit, now: DraftNow, typed: Typed, errors: dict[str, str], status: int) -> Response:
        """Show the form of a task."""
        task = named(apart(tables(now.values, "task"), key_of), key)
        words = {"key": key, "name": shown(task.get("name")) or key, "opens": shown(task.get("opens")) or Opens.NOTHING}
        lists = {"fields": asked_fields(TASK, task), "items": listed_shown(ITEMS, task)}
        form = form_shown(now, f"tasks/{key}", typed, errors, status)
        return page(visit, "drafts/task.html", status, **words, **lists, **form)

    return show


def _proving(visit: Visit, now: DraftNow, typed: Typed, errors: dict[str, str], status: int) -> Response:
    """Show the form of proving."""
    fields = asked_fields(PROVING, table(now.values, "proving"))
    form = form_shown(now, "proving", typed, errors, status)
    return page(visit, "drafts/proving.html", status, fields=fields, **form)


def _instruments(visit: Visit, now: DraftNow, typed: Typed, errors: dict[str, str], status: int) -> Response:
    """Show the form of the instruments."""
    head = table(now.values, "sheet")
    lists = {"instruments": listed_shown(INSTRUMENTS, head), "unit": shown(head.get("unit"))}
    fields = asked_fields(JUDGING, table(head, "judging"), "judging/")
    form = form_shown(now, "instruments", typed, errors, status)
    return page(visit, "drafts/instruments.html", status, fields=fields, **lists, **form)


def _closing_page(number: int) -> Show:
    """Give what shows the form of closing a stage."""

    def show(visit: Visit, now: DraftNow, typed: Typed, errors: dict[str, str], status: int) -> Response:
        """Show the form of closing a stage."""
        stage, unit = stage_of(now, number), shown(table(now.values, "proving").get("pressure_unit"))
        lists = {"joints": listed_shown(JOINTS, stage), "stagger": asked_fields(STAGGER, stage), "unit": unit}
        running = asked_fields(RUNNING, table(stage, "running"), "running/")
        form = form_shown(now, f"stages/{number}/closing", typed, errors, status)
        return page(visit, "drafts/closing.html", status, running=running, **lists, **form, **_closed(now, number))

    return show


def _closed(now: DraftNow, number: int) -> dict[str, Any]:
    """Draw the joints whose nuts are counted, and where the ring gaps stand."""
    stage = stage_of(now, number)
    joints = [each for each in tables(stage, "joint") if _is_whole(each.get("nuts"), FEWEST_NUTS, MOST_NUTS)]
    drawn = [(Fields(each), joint_layout(int(shown(each["nuts"])))) for each in joints]
    return {"drawn": drawn, "gaps": _gaps(stage), "number": number, "draft_id": now.draft.id}


def _gaps(stage: Values) -> StaggerLayout | None:
    """Draw where the gaps stand: as the sheet says, else as they stand where it says nothing."""
    rings = [each.get("count", 1) for each in tables(stage, "part") if each.get("kind") == "ring"]
    if "stagger" not in stage:
        count = rings[0] if rings and _is_whole(rings[0], 1, MOST_RINGS) else 0
        return (
            stagger_layout([Decimal(each) for each in stagger_degrees(count)])
            if isinstance(count, int) and count
            else None
        )
    angles = [_degrees(shown(each)) for each in stage["stagger"]] if isinstance(stage["stagger"], list) else []
    whole = [each for each in angles if each is not None and ANGLES[0] <= each <= ANGLES[1]]
    return stagger_layout(whole) if whole and len(whole) == len(angles) <= MOST_RINGS else None


def _is_whole(value: object, smallest: int, largest: int) -> bool:
    """Whether a value is a whole number within its bounds."""
    return isinstance(value, int) and not isinstance(value, bool) and smallest <= value <= largest


def _degrees(text: str) -> Decimal | None:
    """Read an angle, None where it is none."""
    try:
        number = Decimal(text)
    except InvalidOperation:
        return None
    return number if number.is_finite() else None
