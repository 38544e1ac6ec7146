"""Tests of the sheet builder's forms for tasks, closing, proving, instruments, oversizes and clearances."""

import pytest

from app.actions.sheet_drafts import draft_now
from app.domain.sheet_file import read_sheet, toml_values
from app.store.book import Book
from tests.web.drafting import a_copy, a_draft, send
from tests.web.forms import form_of, said_beside, ticked, typed_in
from tests.web.visitor import Visitor, a_visitor, words_of

LEVEL = {"name": "Oil level", "interval": "400", "months": "2", "cautions/asked": "yes", "cautions/running": "yes"}
HEAD = {"name": "Cylinder head", "nuts": "8", "torque": "120", "torque_unit": "N.m", "thread": "oiled"}


def new(at: str, **fields: str) -> dict[str, str]:
    """The fields of one more in a list."""
    return {f"{at}/new/{key}": value for key, value in fields.items()}


def text_of(book: Book) -> str:
    """The text of the draft."""
    return draft_now(book, 1).draft.text


def test_task_is_added_by_form_filled_with_things_to_record_changed_and_taken_out(book: Book) -> None:
    visitor = a_draft(book)

    page = send(visitor, "/drafts/1/tasks", **LEVEL)
    glass = new("item", name="Level in the glass", good="between the marks, topped up", faults="cloudy: water")
    send(visitor, "/drafts/1/tasks/oil-level", do="keep", **glass)
    send(visitor, "/drafts/1/tasks/oil-level", do="keep", **new("item", name="Oil added", kind="amount", unit="l"))
    kept = text_of(book)
    send(visitor, "/drafts/1/tasks/oil-level", do="keep", interval="500", **{"item/oil-added/remove": "yes"})
    changed = text_of(book)
    send(visitor, "/drafts/1/tasks/oil-level", 422, do="remove")
    listed = send(visitor, "/drafts/1/tasks/oil-level", do="remove", sure="yes")

    assert "Oil level" in words_of(page)
    assert ticked(page, "cautions/running") == ["yes"]
    assert 'good = ["between the marks", "topped up"], faults = ["cloudy: water"]' in kept
    assert 'name = "Oil added", kind = "amount", unit = "l"' in kept
    assert 'cautions = ["running"]' in kept
    assert "interval = 500" in changed
    assert "Oil added" not in changed
    assert "No task yet." in words_of(listed)


def test_task_stands_on_the_drafts_page_at_once(book: Book) -> None:
    visitor = a_draft(book)

    send(visitor, "/drafts/1/tasks", **LEVEL)

    assert "Oil level 400 h 2 months" in words_of(visitor.get("/drafts/1").text)


def test_task_without_a_name_is_refused_and_what_else_was_typed_stays(book: Book) -> None:
    page = send(a_draft(book), "/drafts/1/tasks", 422, **LEVEL | {"name": " "})

    assert said_beside(page, "name")
    assert typed_in(page, "interval") == "400"
    assert ticked(page, "cautions/running") == ["yes"]


@pytest.mark.parametrize(
    ("page", "typed", "field", "words"),
    [
        ("tasks/oil-level", {"interval": "often"}, "interval", "operating hours, a number from 1 to 200000"),
        ("tasks/oil-level", {"interval": "", "months": ""}, "interval", "an interval in operating hours"),
        ("tasks/oil-level", {"months": "999"}, "months", "a whole number from 1 to 240"),
        ("tasks/oil-level", {"stage": "7"}, "stage", "a whole number from 1 to 2"),
        ("tasks/oil-level", new("item", name="P", kind="reading", lower="5", upper="3"),
         "item/p/upper", "above the lower"),
        ("tasks/oil-level", new("item", name="P", kind="amount", faults="x"), "item/p/faults", "only a check"),
        ("stages/1/closing", new("joint", **HEAD | {"nuts": "1"}), "joint/cylinder-head/nuts", "from 2 to 48"),
        ("stages/1/closing", new("joint", **HEAD | {"torque_unit": ""}), "joint/cylinder-head/torque_unit", "N.m"),
        ("stages/1/closing", new("joint", **HEAD | {"thread": ""}), "joint/cylinder-head/thread", "oiled"),
        ("stages/1/closing", {"stagger": "0, 400"}, "stagger", "from 0 to 359"),
        ("stages/1/closing", {"running/gauge-lower": "3", "running/gauge-upper": "2"},
         "running/gauge-lower", "lower end"),
        ("proving", {"speed": "9"}, "speed", "revolutions a minute"),
        ("proving", {"free_air": "2"}, "pressure_unit", "bar"),
        ("instruments", new("instrument", method="feeler"), "instrument/~1/method", "at least one of"),
        ("instruments", {"judging/guard": "ILAC-G8"}, "judging/guard", "only a sheet with the guarded rule"),
        ("stages/1/parts/cylinder", new("oversize", size="100"), "oversize/~1/size", "a size over the bore 140"),
        ("stages/1/parts/cylinder", {"cylinder": "3"}, "cylinder", "a whole number from 1 to 1"),
        ("stages/1/parts/piston", {"piston/skirt/decimals": "9"}, "piston/skirt/decimals", "from 0 to 6"),
        ("stages/1/parts/piston", {"order/new/name": "P", "order/new/number": "1", "order/new/quantity": "0"},
         "order/~1/quantity", "from 1 to 999"),
        ("stages/1/parts/piston", {"add-clearance": "Play", "add-outer": "cylinder.bore", "add-inner": "pin.x"},
         "piston/play/between-outer", "something gauged on part pin"),
    ],
)  # fmt: skip
def test_what_the_sheets_reader_refuses_stands_beside_its_field_with_what_was_typed(
    book: Book, page: str, typed: dict[str, str], field: str, words: str
) -> None:
    visitor = a_draft(book)
    if page.startswith("tasks"):
        send(visitor, "/drafts/1/tasks", **LEVEL)

    send(visitor, f"/drafts/1/{page}", do="keep", **typed)

    checks = visitor.get("/drafts/1").text
    shown = visitor.get(f"/drafts/1/{page}").text
    assert words in said_beside(shown, field)
    assert f'href="/drafts/1/{page}#f-{field}"' in checks
    assert f'id="f-{field}"' in shown


def test_joint_is_drawn_while_it_is_typed_and_nothing_is_kept_by_it(book: Book) -> None:
    visitor = a_draft(book)
    visitor.get("/drafts/1/stages/1/closing")
    typed = form_of(visitor.page, "/drafts/1/stages/1/closing") | new("joint", **HEAD) | {"stagger": "0, 90, 180"}

    drawn = visitor.post("/_fragments/drafts/1/stages/1/closing", typed, 200).text

    assert "8 nuts; clockwise from the top they are tightened as 1, 5, 3, 7, 2, 6, 4, 8" in drawn
    assert "ring 2 at 90°" in drawn
    assert "joint" not in text_of(book)


@pytest.mark.parametrize("stagger", ["0, x", "400", "nan"])
def test_gaps_that_are_nowhere_are_not_drawn(book: Book, stagger: str) -> None:
    visitor = a_draft(book)

    page = send(visitor, "/drafts/1/stages/1/closing", do="keep", stagger=stagger)

    assert "Gaps seen from above" not in page
    assert typed_in(page, "stagger") == stagger


def test_joint_is_kept_changed_and_taken_out(book: Book) -> None:
    visitor = a_draft(book)

    page = send(visitor, "/drafts/1/stages/1/closing", do="keep", **new("joint", **HEAD))
    send(visitor, "/drafts/1/stages/1/closing", do="keep", **{"joint/cylinder-head/steps": "50, 100"})
    kept = text_of(book)
    send(visitor, "/drafts/1/stages/1/closing", do="keep", **{"joint/cylinder-head/remove": "yes"})

    assert "8 nuts crosswise, to 120 N.m, oiled" in words_of(page)
    assert "steps = [50, 100]" in kept
    assert "[[stage.joint]]" not in text_of(book)


def test_joints_of_the_stage_before_are_taken_over_once(book: Book) -> None:
    visitor = a_draft(book)
    send(visitor, "/drafts/1/stages/1/closing", do="keep", **new("joint", **HEAD))

    for _ in range(2):
        page = send(visitor, "/drafts/1/stages/2/closing", do="as-before")
    send(visitor, "/drafts/1/stages/1/closing", do="as-before")

    stages = toml_values(text_of(book))["stage"]
    assert "8 nuts crosswise, to 120 N.m, oiled" in words_of(page)
    assert stages[0]["joint"] == stages[1]["joint"]  # type: ignore[index]
    assert len(stages[1]["joint"]) == 1  # type: ignore[index]


def test_oversize_with_its_rings_is_typed_in_two_forms(book: Book) -> None:
    visitor = a_draft(book)
    page = "/drafts/1/stages/1/parts/cylinder"

    send(visitor, page, do="keep", **new("oversize", size="140.50"))
    rings = {"renews": "ring set", "name": "Rings 140.50", "number": "X-5"}
    send(visitor, page, do="keep", **new("oversize/~1/order", **rings))

    kept = text_of(book)
    assert "size = 140.50" in kept
    assert 'renews = "ring set", name = "Rings 140.50", number = "X-5"' in kept


def test_clearance_is_worked_out_between_two_chosen_sizes(book: Book) -> None:
    visitor = a_draft(book)
    typed = {"add-clearance": "Piston clearance", "add-outer": "cylinder.bore", "add-inner": "piston.skirt"}

    send(visitor, "/drafts/1/stages/1/parts/piston", do="keep", **typed)
    send(visitor, "/drafts/1/stages/1", do="keep", **{"piston/piston-clearance/value-upper": "0.40"})

    assert 'between = ["cylinder.bore", "piston.skirt"]' in text_of(book)
    assert "upper = 0.40" in text_of(book)
    assert draft_now(book, 1).wrong == ()


def test_whole_sheet_stays_whole_and_takes_each_change(book: Book) -> None:
    visitor = a_copy(book)

    send(visitor, "/drafts/1/tasks/oil-level", do="keep", interval="450")
    send(visitor, "/drafts/1/proving", volume="0.6")
    send(visitor, "/drafts/1/stages/2/closing", do="keep", **{"joint/covers/torque": "80"})
    send(visitor, "/drafts/1/renewed", **{"always/~1/delivery_days": "21"})
    send(visitor, "/drafts/1/stages/1/parts/head", do="keep", judge_again_after="none")

    sheet = read_sheet(text_of(book))
    assert str(next(task.interval_hours for task in sheet.tasks if task.key == "oil-level")) == "450"
    assert sheet.proving is not None
    assert str(sheet.proving.volume) == "0.6"
    assert str(sheet.stages[1].closing.joints[0].torque) == "80"
    assert sheet.always[0].order.delivery_days == 21
    assert "judge_again_after = []" in text_of(book)


def test_what_is_emptied_goes_out_of_the_text_with_its_table(book: Book) -> None:
    visitor = a_draft(book)
    send(visitor, "/drafts/1/proving", pressure_unit="bar", speed="900")

    send(visitor, "/drafts/1/proving", speed="")
    only_unit = text_of(book)
    send(visitor, "/drafts/1/stages/1/closing", do="keep", **{"running/clearance": "0.05"})
    send(visitor, "/drafts/1/stages/1/closing", do="keep", **{"running/clearance": ""})

    assert 'pressure_unit = "bar"' in only_unit
    assert "speed" not in only_unit
    assert "running" not in text_of(book)


@pytest.mark.parametrize("page", ["tasks", "proving", "instruments", "stages/1/closing"])
def test_forms_for_upkeep_tell_that_they_are_stale_and_keep_what_was_typed(book: Book, page: str) -> None:
    visitor = a_draft(book)
    send(visitor, "/drafts/1/head", note="changed")
    visitor.get(f"/drafts/1/{page}")
    typed = {"name": "Oil", "speed": "900", "judging/temperature_spread": "5", "stagger": "1, 2"}

    stale = form_of(visitor.page, f"/drafts/1/{page}") | typed | {"version": "1"}
    answer = visitor.post(f"/drafts/1/{page}", stale, 409).text

    assert "changed in another tab" in answer
    assert any(f'value="{value}"' in answer for value in typed.values())


@pytest.mark.parametrize("page", ["tasks", "tasks/x", "proving", "instruments", "stages/1/closing"])
def test_forms_for_upkeep_are_for_chief_engineers_alone(book: Book, page: str) -> None:
    a_draft(book)

    a_visitor(book, "M. Other").get(f"/drafts/1/{page}", 403)


def odd_pages(visitor: Visitor) -> list[str]:
    """The forms of a draft of an odd shape."""
    pages = ("tasks", "tasks/~1", "tasks/a", "proving", "instruments", "stages/1/closing")
    return [visitor.get(f"/drafts/1/{page}").text for page in pages]


def test_draft_of_whatever_shape_never_breaks_a_form_for_upkeep(book: Book) -> None:
    visitor = a_draft(book)
    odd = "proving = {speed = [1], oil_pressure = 3}\ntask = [{months = []}, {key = 'a', item = [{kind = 3}, {}], "
    odd += "cautions = ['x', 3], opens = 'all'}]\n[sheet]\ninstrument = [{method = 1}]\njudging = {guard = {}}\n"
    odd += "[[stage]]\nbore = 1\nstagger = 3\nrunning = {gauge = [1]}\njoint = [{nuts = 99}, {nuts = true}]\n"
    send(visitor, "/drafts/1/text", text=odd)

    pages = odd_pages(visitor)

    assert all("Traceback" not in page for page in pages)
    assert 'name="cautions/x"' in pages[2]


@pytest.mark.parametrize(
    ("page", "typed", "field"),
    [
        ("tasks/oil-level", {"interval": "often"}, "interval"),
        ("stages/1", {"bore": "wide"}, "bore"),
        ("stages/1/closing", {"stagger": "0, 400"}, "stagger"),
        ("stages/1/parts/ring", {"count": "99"}, "count"),
        ("head", {"opening_interval": "long"}, "opening_interval"),
    ],
)
def test_page_with_something_wrong_is_not_left_though_it_is_kept(
    book: Book, page: str, typed: dict[str, str], field: str
) -> None:
    visitor = a_draft(book)
    send(visitor, "/drafts/1/tasks", **LEVEL)
    send(visitor, "/drafts/1/tasks/oil-level", do="keep", **new("item", name="Level"))
    visitor.get(f"/drafts/1/{page}")

    form = form_of(visitor.page, f"/drafts/1/{page}") | ({} if page == "head" else {"do": "next"}) | typed
    answer = visitor.post(f"/drafts/1/{page}", form)

    assert answer.headers["location"] == f"/drafts/1/{page}?done=draft-faulty#f-{field}"
    assert next(iter(typed.values())) in text_of(book)
    assert said_beside(visitor.follow(answer).text, field)


def test_task_with_nothing_to_record_is_not_left_before_the_page_has_said_so(book: Book) -> None:
    visitor = a_draft(book)
    send(visitor, "/drafts/1/tasks", **LEVEL)

    page = send(visitor, "/drafts/1/tasks/oil-level", do="next")

    assert "at least one thing to record" in words_of(page)
    assert 'id="f-item/new"' in page
