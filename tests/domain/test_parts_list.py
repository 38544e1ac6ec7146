"""The parts to order: what the verdicts ask for, each once, and what every opening renews."""

from dataclasses import replace

from app.domain.order_lines import OrderLine, Oversize
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.parts_list import ALWAYS, chosen_oversize, order_line, oversize_words, parts_to_order
from app.domain.readings import SEEN
from app.domain.verdicts import Verdict
from tests.builders import a_reading
from tests.domain.builders import (
    a_concession,
    a_decision,
    a_gauged_overhaul,
    a_part,
    a_sheet_with,
    bore_readings,
    decided,
    mm,
    ring_gap,
    the_sheet,
    verdict_of,
)


def ordered(overhaul, always: bool = False):
    """What is ordered, with or without what is always renewed."""
    return [w for w in parts_to_order(overhaul, judge_overhaul(overhaul)) if (w.why == ALWAYS) is always]


def test_a_renewed_set_is_ordered_once_with_the_reason_that_names_the_guilty_ring():
    [line] = ordered(a_gauged_overhaul(ring_gap(2, "0.70"), ring_gap(3, "0.71")))

    assert (line.name, line.number, line.quantity, line.kit) == ("Ring set 78", "QM-31-230", 1, "Ring kit 78")
    assert line.why == "Ring 2 and Ring 3: renewed, so is the whole set of 3."


def test_a_valve_is_ordered_by_what_is_renewed_on_it():
    plate = ordered(a_gauged_overhaul(a_reading("2.suction-valve", SEEN, "plate-marked")))
    whole = ordered(a_gauged_overhaul(a_reading("2.suction-valve", SEEN, "plate-marked+seat-not-clearing")))

    assert [line.number for line in plate] == ["QM-31-211"]
    assert [line.number for line in whole] == ["QM-31-210"]
    assert plate[0].why == "2-01: Seen: plate marked or worn."


def test_a_valve_renewed_by_decision_is_ordered_whole_with_the_chief_engineers_reason():
    overhaul = decided(a_gauged_overhaul(), a_decision("2.suction-valve", Verdict.RENEW))

    [line] = ordered(overhaul)

    assert (line.number, line.why) == ("QM-31-210", "2-01: Looked at together on the bench.")


def test_what_is_reused_by_concession_reworked_or_undecided_is_not_ordered():
    overhaul = decided(
        a_gauged_overhaul(ring_gap(2, "0.70"), a_reading("2.piston", SEEN, "doubtful"),
                          a_reading("2.suction-valve", SEEN, "seat-marked")),
        a_decision("2.ring-set", Verdict.REUSE, a_concession()),
    )  # fmt: skip

    assert ordered(overhaul) == []


def test_a_part_without_an_order_line_is_listed_with_its_number_left_to_find():
    head = replace(a_part("2.head"), orders=())
    overhaul = a_gauged_overhaul(a_reading("2.head", SEEN, "cracked"), sheet=a_sheet_with(head))

    [line] = ordered(overhaul)

    assert (line.name, line.number, line.quantity, line.kit) == ("Head, stage 2: part", "not on the sheet", 1, "")


def test_of_several_order_lines_none_is_guessed():
    lines = OrderLine("plate", "Plate", "1"), OrderLine("spring", "Spring", "2")

    assert order_line(replace(a_part("2.head"), orders=lines), "head") is None
    assert order_line(replace(a_part("2.head"), orders=lines), "spring").number == "2"
    assert order_line(a_part("2.pin"), "anything").number == "QM-31-260"


def test_every_opening_renews_its_gaskets_and_one_with_rings_the_head_gasket_too():
    with_rings = {line.number for line in ordered(a_gauged_overhaul(), always=True)}
    valves_only = {line.number for line in ordered(a_gauged_overhaul(has_rings=False), always=True)}
    another = {line.number for line in ordered(a_gauged_overhaul(stages=(1,)), always=True)}

    assert valves_only == {"QM-31-291", "QM-31-292", "QM-31-293"}
    assert with_rings == valves_only | {"QM-31-294", "QM-31-295", "QM-31-090"}
    assert not another & valves_only
    assert all(line.order.number for line in the_sheet().always)


HONED = "oversize 78.25"
MADE_FOR_IT = Oversize(
    mm("78.25"),
    (OrderLine("ring set", "Ring set 78.25", "QM-31-235"), OrderLine("piston", "Piston 78.25", "QM-31-255")),
)


def honed(renews: str, verdict: Verdict = Verdict.REWORK, **ring):
    """What is ordered when the chief engineer sends the bore to an oversize, with one ring over its limit."""
    cylinder = replace(a_part("2.cylinder"), oversizes=(MADE_FOR_IT,))
    sheet = a_sheet_with(cylinder, *(replace(a_part(f"2.ring-{n}"), **ring) for n in (1, 2, 3)))
    worn = *bore_readings("2.cylinder", "78.12 " * 6), ring_gap(2, "0.70")
    overhaul = decided(a_gauged_overhaul(*worn, sheet=sheet), a_decision("2.cylinder", verdict, renews=renews))
    return [line.number for line in ordered(overhaul)]


def test_a_bore_sent_to_an_oversize_takes_its_rings_and_piston_in_place_of_the_standard_ones():
    assert honed(HONED) == ["QM-31-235", "QM-31-255"]


def test_without_an_oversize_chosen_or_with_another_verdict_the_standard_rings_are_ordered():
    assert honed("") == ["QM-31-230"]
    assert honed("oversize 79.00") == ["QM-31-230"]
    assert honed(HONED, Verdict.RENEW) == ["QM-31-230", "QM-31-240"]


def test_rings_of_another_cylinder_keep_their_standard_size():
    assert honed(HONED, cylinder=2) == ["QM-31-230", "QM-31-235", "QM-31-255"]


def test_an_oversize_is_written_as_the_decision_keeps_it():
    assert oversize_words(MADE_FOR_IT) == HONED
    assert chosen_oversize(verdict_of(a_gauged_overhaul(), "2.cylinder")) is None
