"""Tests of boxing up: in the order of the work, new parts entered, everything worked on gauged again."""

from app.domain.overhaul import Phase
from app.domain.phases import phase_of
from app.domain.readings import SEEN, Occasion
from app.domain.steps import box_up_steps
from app.store.book import Book
from tests.builders import a_reading, confirm_all, enter, good_readings
from tests.web.forms import form_of, has_form, said_beside, typed_in, words_in
from tests.web.visitor import words_of
from tests.web.workshop import OPENED_AT, Workshop

WORN_RING = a_reading("2.ring-1", "closed-gap", "0.70", OPENED_AT, level="worst place")
TOP = {"level": "top of ring travel", "axis": "along the pin"}
WORN_BORE = a_reading("2.cylinder", "bore", "78.12", OPENED_AT, **TOP)
MARKED_SEAT = a_reading("2.suction-valve", SEEN, "seat-marked", OPENED_AT)


def enter_fitting(shop: Workshop, ref: str, status: int = 303, **typed: str) -> str:
    """Open the form of a new part or of a size, fill it and send it; the page that comes back."""
    shop.fitter.get(shop.url(f"/fittings/{ref}"))
    form = form_of(shop.fitter.page, shop.url(f"/fittings/{ref}"))
    answer = shop.fitter.post(shop.url(f"/fittings/{ref}"), form | typed, status)
    return answer.text or shop.fitter.follow(answer).text


def test_boxing_up_waits_for_the_signature_of_the_decisions(book: Book) -> None:
    shop = Workshop(book).gauged()

    page = shop.fitter.get(shop.url("/box-up")).text
    shop.fitter.post(shop.url("/box-up"), {"step": "pieces"}, 409)

    assert "Boxing up begins when the decisions are signed." in page
    assert shop.overhaul.confirmation(Phase.BOX_UP, "pieces") is None


def test_step_out_of_order_names_the_one_that_comes_first(book: Book) -> None:
    shop = Workshop(book).decided()
    shop.fitter.get(shop.url("/box-up"))

    answer = shop.fitter.post(shop.url("/box-up"), {"step": "clean"}, 409)

    assert "“Every piece of a broken part accounted for" in answer.text
    assert shop.overhaul.confirmation(Phase.BOX_UP, "clean") is None


def test_every_step_in_order_leads_to_proving(book: Book) -> None:
    shop = Workshop(book).decided()
    shop.fitter.get(shop.url("/box-up"))

    for step in box_up_steps(shop.overhaul):
        assert phase_of(shop.overhaul) is Phase.BOX_UP
        form = form_of(shop.fitter.page, shop.url("/box-up"), step.key)
        answer = shop.fitter.post(shop.url("/box-up"), form | {f"value-{step.key}": step.hint if step.asks else ""})
        page = shop.fitter.follow(answer).text

    assert phase_of(shop.overhaul) is Phase.PROVE
    assert f'href="{shop.url("/prove")}"' in page


def test_only_the_next_step_can_be_confirmed_on_the_page(book: Book) -> None:
    shop = Workshop(book).decided()

    page = shop.fitter.get(shop.url("/box-up")).text

    assert form_of(page, shop.url("/box-up"))["step"] == "pieces"
    assert "after the step above" in words_in(page, "step-clean")


def test_valves_only_leaves_the_running_gear_shut(book: Book) -> None:
    shop = Workshop(book, has_rings=False).decided()

    page = shop.fitter.get(shop.url("/box-up")).text

    assert "Rod bolts" not in page
    assert "New gaskets" in page


def test_new_set_is_asked_for_with_the_number_on_the_sheet_and_entered_once(book: Book) -> None:
    shop = Workshop(book).decided(WORN_RING)
    shop.fitter.get(shop.url("/fittings/2.ring-set"))
    number = typed_in(shop.fitter.page, "number")

    enter_fitting(shop, "2.ring-set", batch="B-7")
    enter_fitting(shop, "2.ring-set", batch="B-7")

    fitting = shop.overhaul.fitting("2.ring-set")
    assert number == "QM-31-230"
    assert (fitting.number, fitting.batch) == ("QM-31-230", "B-7")  # type: ignore[union-attr]
    assert len(shop.overhaul.fittings) == 1


def test_new_part_without_its_number_is_refused_beside_the_field(book: Book) -> None:
    shop = Workshop(book).decided(WORN_RING)

    page = enter_fitting(shop, "2.ring-set", 422, number=" ", batch="B-7")

    assert said_beside(page, "number") == "Enter the part number that stands on the new part."
    assert typed_in(page, "batch") == "B-7"
    assert shop.overhaul.fittings == ()


def test_number_and_batch_that_are_too_long_are_both_refused(book: Book) -> None:
    shop = Workshop(book).decided(WORN_RING)

    page = enter_fitting(shop, "2.ring-set", 422, number="n" * 121, batch="b" * 121)

    assert said_beside(page, "number") == said_beside(page, "batch") == "At most 120 characters."
    assert typed_in(page, "number") == "n" * 121


def test_size_a_cylinder_was_honed_to_becomes_the_size_its_wear_counts_from(book: Book) -> None:
    shop = Workshop(book).decided(WORN_BORE)

    enter_fitting(shop, "2.cylinder", made_to="78,25")
    enter(book, shop.id, a_reading("2.cylinder", SEEN, "sound", OPENED_AT, occasion=Occasion.AS_FITTED))
    shop.key_in(shop.fitter, "2.cylinder/bore", base="fit", value="78.26")

    page = shop.fitter.get(shop.url("/fit/2.cylinder/bore")).text
    assert shop.overhaul.fitting("2.cylinder").made_to.typed == "78,25"  # type: ignore[union-attr]
    assert "Wear 0.01 / 0.09" in words_in(page, "judged")


def test_honed_cylinder_is_not_entered_without_its_size(book: Book) -> None:
    shop = Workshop(book).decided(WORN_BORE)

    page = enter_fitting(shop, "2.cylinder", 422)

    assert said_beside(page, "made_to") == "Nothing is typed. Type the size in mm, such as 78.25."
    assert shop.overhaul.fittings == ()


def test_renewed_cylinder_is_entered_with_its_number_and_needs_no_size(book: Book) -> None:
    shop = Workshop(book).decided(a_reading("2.cylinder", SEEN, "cracked", OPENED_AT))

    enter_fitting(shop, "2.cylinder", batch="C-1")

    fitting = shop.overhaul.fitting("2.cylinder")
    assert (fitting.number, fitting.made_to) == ("QM-31-240", None)  # type: ignore[union-attr]


def test_nothing_is_fitted_where_nothing_was_done(book: Book) -> None:
    shop = Workshop(book).decided(WORN_BORE, MARKED_SEAT, WORN_RING)
    shop.fitter.get(shop.url("/box-up"))

    for ref in ("2.pin", "2.piston", "2.suction-valve", "2.ring-1", "9.nothing"):
        shop.fitter.get(shop.url(f"/fittings/{ref}"), 404)
        shop.fitter.get(shop.url("/box-up"))
        shop.fitter.post(shop.url(f"/fittings/{ref}"), {"number": "Q-1", "made_to": "78.25"}, 404)
        shop.fitter.get(shop.url("/box-up"))

    assert shop.overhaul.fittings == ()


def test_new_ring_is_judged_by_the_range_of_a_new_one(book: Book) -> None:
    shop = Workshop(book).with_new_rings()

    shop.key_in(shop.fitter, "2.ring-3/closed-gap", base="fit", how="size", value="0.36")

    verdict = words_in(shop.fitter.get(shop.url("/fit/2.ring-3/closed-gap")).text, "verdict")
    assert "0.36 mm is over the new maximum 0.35 mm." in verdict
    assert shop.readings[-1].occasion is Occasion.AS_FITTED


def test_hold_point_keeps_the_overhaul_at_boxing_up_until_it_is_settled(book: Book) -> None:
    shop = Workshop(book).with_new_rings()
    confirm_all(book, shop.id, Phase.BOX_UP, OPENED_AT)
    held = words_of(shop.fitter.get(shop.url("/box-up")).text)
    before = phase_of(shop.overhaul)

    enter(book, shop.id, *good_readings(shop.parts("2.ring-3"), Occasion.AS_FITTED, OPENED_AT))

    assert "2-05 Ring 3: as fitted NOT GAUGED" in held
    assert (before, phase_of(shop.overhaul)) == (Phase.BOX_UP, Phase.PROVE)
    assert "None open." in words_of(shop.fitter.get(shop.url("/box-up")).text)


def test_round_as_fitted_goes_over_what_was_worked_on_and_leads_back_to_boxing_up(book: Book) -> None:
    shop = Workshop(book).decided(MARKED_SEAT)
    first = shop.fitter.get(shop.url("/fit"), 303).headers["location"]
    shop.key_in(shop.fitter, "2.suction-valve/seen", base="fit", findings="sound")
    shop.key_in(shop.fitter, "2.suction-valve/lift", base="fit", value="1.60")

    answer = shop.key_in(shop.fitter, "2.suction-valve/spring-length", base="fit", value="14.0")

    assert first == shop.url("/fit/2.suction-valve/seen")
    assert answer.headers["location"].startswith(shop.url("/box-up?kept="))
    assert shop.fitter.get(shop.url("/fit"), 303).headers["location"] == shop.url("/box-up")


def test_part_that_was_not_worked_on_is_not_gauged_as_fitted(book: Book) -> None:
    shop = Workshop(book).decided(MARKED_SEAT)
    form = form_of(shop.fitter.get(shop.url("/fit/2.suction-valve/lift")).text, shop.url("/readings"))

    shop.fitter.get(shop.url("/fit/2.pin"), 404)
    shop.fitter.get(shop.url("/fit/2.suction-valve/lift"))
    shop.fitter.post(
        shop.url("/readings"), form | {"part": "2.pin", "characteristic": "diameter", "value": "21.995"}, 404
    )

    assert [reading for reading in shop.readings if reading.occasion is Occasion.AS_FITTED] == []


def test_as_fitted_reading_before_the_decisions_is_refused(book: Book) -> None:
    shop = Workshop(book).gauged()

    shop.key_in(shop.fitter, "2.pin/diameter", 409, occasion="as fitted", value="21.995")

    assert [reading for reading in shop.readings if reading.occasion is Occasion.AS_FITTED] == []


def test_auditor_reads_the_work_and_changes_nothing(book: Book) -> None:
    shop = Workshop(book).decided(WORN_RING)

    page = shop.auditor.get(shop.url("/box-up")).text
    shop.auditor.post(shop.url("/fittings/2.ring-set"), {"number": "Q-1"}, 403)
    shop.auditor.get(shop.url("/box-up"))
    shop.auditor.post(shop.url("/box-up"), {"step": "pieces"}, 403)

    assert not has_form(page, shop.url("/box-up"))
    assert "Ring 1: renewed, so is the whole set of 3." in words_of(page)
    assert shop.overhaul.fittings == ()


def test_a_part_fitted_after_a_rework_waits_on_every_page_until_that_is_gauged_again_and_good(book: Book) -> None:
    order = "working_temperature = 115\n"
    shop = Workshop(book, change=(order, f'{order}rework_before = ["piston", "ring"]\n')).decided(WORN_BORE, WORN_RING)
    words = "not fitted before 2-06 Cylinder is reworked, gauged again and good"

    decided = shop.fitter.get(shop.url("/decide")).text
    box_up = shop.fitter.get(shop.url("/box-up")).text
    held = shop.fitter.follow(shop.fitter.get(shop.url("/fit/2.piston"), 303)).text
    too_early = shop.fitter.post(shop.url("/fittings/2.ring-set"), {"number": "QM-31-230"}, 409).text
    first = shop.fitter.get(shop.url("/fit"), 303).headers["location"]
    cylinder = next(part for part in shop.overhaul.parts if part.key == "cylinder")
    enter(book, shop.id, *good_readings((cylinder,), Occasion.AS_FITTED, OPENED_AT))
    free = shop.fitter.get(shop.url("/box-up")).text

    assert "Fitted only after the rework of cylinder, gauged again and good." in decided
    assert "Only after 2-06 Cylinder is reworked, gauged again and good." in box_up
    assert f"2-07 Piston: {words}" in box_up
    assert f"2-07 Piston: {words}." in held
    assert f"2-03 Ring 1: {words}." in too_early
    assert "/fit/2.cylinder" in first
    assert words not in free
    assert shop.url("/fittings/2.ring-set") in free


def test_step_at_hand_shows_its_nuts_in_their_order(book: Book) -> None:
    shop = Workshop(book).decided()
    before = ("joint-2-covers", "joint-2-head", "bumping-2", "second-turn", "oil", "guards", "unlocked", "delivery")
    confirm_all(book, shop.id, Phase.BOX_UP, OPENED_AT, before)

    page = shop.fitter.get(shop.url("/box-up")).text

    assert "4 nuts; clockwise from the top they are tightened as 1, 3, 2, 4" in page
    assert page.count('class="dr closing"') == 1


def test_step_at_hand_shows_where_the_gaps_stand(book: Book) -> None:
    shop = Workshop(book).decided()
    later = tuple(step.key for step in box_up_steps(shop.overhaul)[3:])
    confirm_all(book, shop.id, Phase.BOX_UP, OPENED_AT, later)

    page = shop.fitter.get(shop.url("/box-up")).text

    assert "ring 1 at 0°; ring 2 at 120°; ring 3 at 240°" in page
