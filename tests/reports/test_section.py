"""The stage section: which parts are drawn, where tags stand, how leaders run."""

from dataclasses import replace
from itertools import pairwise

import pytest

from app.reports.section import RingSetVerdict, SectionInput
from app.reports.section_layout import lay_out_record_section, lay_out_section
from app.reports.section_shapes import ring_tops
from tests.reports.builders import a_part, a_stage, numbers_of, some_rings

STAGES = [
    a_stage(rings=rings, suction=suction, delivery=delivery, others=others, pin=pin)
    for rings, suction, delivery, others, pin in (
        (0, 1, 0, 0, False), (1, 1, 1, 0, True), (3, 1, 1, 0, True), (3, 2, 2, 2, False), (6, 2, 2, 1, True),
    )
]  # fmt: skip


def points(leader):
    figures = numbers_of(leader.path)
    return list(zip(figures[::2], figures[1::2], strict=True))


def steps(layout):
    """How far below one tag's middle the next one's is."""
    return [low.middle_y - high.middle_y for column in layout.columns for high, low in pairwise(column.tags)]


def slant(leader):
    _, (bend_x, bend_y), (elbow_x, elbow_y), _ = points(leader)
    return abs(elbow_x - bend_x) / abs(elbow_y - bend_y) if abs(elbow_y - bend_y) > 1 else None


def test_tag_says_item_part_verdict_note_and_figure_in_that_order():
    part = a_part("2-04", name="Ring 2", word="RENEW", note="with the set", figure="0.48")

    assert part.spoken == "Item 2-04 Ring 2 RENEW with the set 0.48"


def test_tag_without_note_or_figure_ends_after_the_verdict():
    assert a_part("2-04", name="Ring 2").spoken == "Item 2-04 Ring 2 REUSE"


def test_tag_that_says_more_than_its_rows_hold_grows_and_moves_those_below_it_but_not_to_the_other_side():
    short = lay_out_section(STAGES[2])
    parts = tuple(replace(part, figure="goes 0.60, not 0.70", note="waits for cylinder") for part in STAGES[2].parts)
    long = lay_out_section(replace(STAGES[2], parts=parts))

    assert [tag.more_rows for column in short.columns for tag in column.tags] == [0] * len(parts)
    assert [tag.more_rows for column in long.columns for tag in column.tags] == [1] * len(parts)
    assert [[tag.part.key for tag in column.tags] for column in long.columns] == [
        [tag.part.key for tag in column.tags] for column in short.columns
    ]
    assert [place + 19 for place in steps(short)] == steps(long)


@pytest.mark.parametrize("stage", STAGES)
def test_every_part_has_exactly_one_tag(stage):
    layout = lay_out_section(stage)

    tagged = [tag.part.key for column in layout.columns for tag in column.tags]

    assert sorted(tagged) == sorted(part.key for part in stage.parts)


@pytest.mark.parametrize("stage", STAGES)
def test_every_part_in_the_drawing_has_one_leader_and_extra_parts_none(stage):
    layout = lay_out_section(stage)

    led = sorted(leader.part.key for leader in layout.leaders)

    assert led == sorted(shape.part.key for shape in layout.shapes)
    assert led == sorted(part.key for part in stage.parts if part.kind != "other")


@pytest.mark.parametrize("stage", STAGES)
def test_leaders_of_a_column_run_at_one_angle(stage):
    layout = lay_out_section(stage)

    for column in layout.columns:
        keys = {tag.part.key for tag in column.tags}
        slants = [slant(one) for one in layout.leaders if one.part.key in keys and slant(one) is not None]

        assert max(slants, default=0) - min(slants, default=0) < 0.02


@pytest.mark.parametrize("stage", STAGES)
def test_elbows_of_a_column_stand_on_one_line(stage):
    layout = lay_out_section(stage)

    for column in layout.columns:
        keys = {tag.part.key for tag in column.tags}

        assert len({points(one)[2][0] for one in layout.leaders if one.part.key in keys}) <= 1


@pytest.mark.parametrize("stage", STAGES)
def test_leader_ends_at_the_edge_on_the_middle_of_its_tag(stage):
    layout = lay_out_section(stage)
    middles = {tag.part.key: tag.middle_y for column in layout.columns for tag in column.tags}

    for leader in layout.leaders:
        end_x, end_y = points(leader)[-1]

        assert end_x in (0.0, layout.width)
        assert end_y == pytest.approx(middles[leader.part.key], abs=0.1)


@pytest.mark.parametrize("stage", STAGES)
def test_leaders_on_one_side_never_cross(stage):
    layout = lay_out_section(stage)

    for column in layout.columns:
        keys = [tag.part.key for tag in column.tags]
        led = [one for key in keys for one in layout.leaders if one.part.key == key]

        assert all(upper.knob_y < lower.knob_y for upper, lower in pairwise(led))


@pytest.mark.parametrize("stage", STAGES)
def test_tags_of_a_column_do_not_overlap(stage):
    layout = lay_out_section(stage)
    height = 68 if layout.has_sides else 56

    for column in layout.columns:
        middles = [tag.middle_y for tag in column.tags]

        assert all(lower - upper >= height for upper, lower in pairwise(middles))


def test_eight_tags_stand_on_one_side():
    layout = lay_out_section(a_stage())

    assert [column.side for column in layout.columns] == ["right"]
    assert len(layout.columns[0].tags) == 8


def test_nine_tags_and_more_stand_on_both_sides():
    layout = lay_out_section(a_stage(rings=6))

    assert layout.has_sides
    assert [column.side for column in layout.columns] == ["left", "right"]


def test_fourteen_tags_are_shared_evenly_and_stay_in_the_height_of_a_small_screen():
    stage = a_stage(rings=6, suction=2, delivery=2, others=1)

    layout = lay_out_section(stage)

    assert len(stage.parts) == 14
    assert [len(column.tags) for column in layout.columns] == [7, 7]
    assert max(tag.middle_y for column in layout.columns for tag in column.tags) + 34 <= 528


def test_rings_of_a_set_stand_together_under_the_verdict_of_the_set():
    layout = lay_out_section(a_stage(rings=3))

    group = next(group for group in layout.columns[0].groups if group.ring_set)

    assert group.ring_set.word == "REUSE"
    assert [tag.part.name for tag in group.tags] == ["Ring 1", "Ring 2", "Ring 3"]
    assert group.set_row_y < group.tags[0].middle_y < group.bottom_y


def test_rings_without_a_set_verdict_have_no_row_above_them():
    stage = SectionInput("⌀ 78.00", tuple(some_rings(2)))

    groups = lay_out_section(stage).columns[0].groups

    assert [group.ring_set for group in groups] == [None]
    assert groups[0].tags[0].middle_y == 28


def test_only_one_cylinder_is_drawn_and_the_parts_of_the_other_are_tags_alone():
    first = some_rings(2, cylinder="1", set_key="one")
    second = some_rings(2, first=6, cylinder="2", set_key="two")
    stage = SectionInput("⌀ 78.00", (*first, *second))

    layout = lay_out_section(stage)

    assert layout.cylinder_shown == "1"
    assert [shape.part.cylinder for shape in layout.shapes] == ["1", "1"]
    assert len(layout.columns[0].tags) == 4


def test_cylinder_of_the_selected_part_is_the_one_that_is_cut():
    parts = (*some_rings(1, cylinder="1"), *some_rings(1, first=6, cylinder="2", selected=True))

    assert lay_out_section(SectionInput("⌀ 78.00", parts)).cylinder_shown == "2"


def test_cylinder_asked_for_is_the_one_that_is_cut():
    parts = (*some_rings(1, cylinder="1"), *some_rings(1, first=6, cylinder="2"))

    assert lay_out_section(SectionInput("⌀ 78.00", parts, (), "2")).cylinder_shown == "2"


def test_sets_of_two_pistons_each_have_their_own_row():
    parts = (*some_rings(2, set_key="one"), *some_rings(2, first=6, set_key="two"))
    sets = (RingSetVerdict("one", "Set 1", "reuse", "REUSE"), RingSetVerdict("two", "Set 2", "renew", "RENEW"))

    groups = lay_out_section(SectionInput("⌀ 78.00", parts, sets)).columns[0].groups

    assert [group.ring_set.name for group in groups] == ["Set 1", "Set 2"]


def test_stage_without_parts_is_an_empty_drawing():
    layout = lay_out_section(SectionInput("⌀ 78.00", ()))

    assert layout.shapes == ()
    assert layout.leaders == ()


def test_stage_with_nothing_but_extra_parts_is_tags_alone():
    layout = lay_out_section(SectionInput("⌀ 78.00", tuple(a_part(f"o{n}", "other") for n in range(9))))

    assert layout.has_sides
    assert layout.leaders == ()


def test_unknown_kind_of_part_is_refused():
    with pytest.raises(ValueError, match="gasket"):
        lay_out_section(SectionInput("⌀ 78.00", (a_part(kind="gasket"),)))


def test_cylinder_and_piston_that_are_not_gauged_are_still_drawn_without_lining():
    with_both = lay_out_section(a_stage())
    without = lay_out_section(a_stage(cylinder=False, piston=False))

    assert len(without.context.body) > len(with_both.context.body)


def test_suction_valve_lets_air_in_and_delivery_valve_lets_it_out():
    flows = lay_out_section(a_stage()).context.flows

    (_, suction_from, _, suction_to), (_, delivery_from, _, delivery_to) = (numbers_of(flow) for flow in flows)

    assert suction_from < suction_to
    assert delivery_from > delivery_to


def test_six_rings_lie_closer_than_three_and_never_overlap():
    assert ring_tops(0) == []
    for count in range(2, 7):
        gaps = [lower - upper for upper, lower in pairwise(ring_tops(count))]

        assert min(gaps) > 20
    assert ring_tops(6)[1] - ring_tops(6)[0] < ring_tops(3)[1] - ring_tops(3)[0]


def test_piston_is_pointed_at_below_the_pin_where_the_pin_is_named_first():
    named_last = SectionInput("⌀ 78.00", (a_part("pin", "pin", "Pin"), a_part("piston", "piston", "Piston")))

    places = {leader.part.key: leader.knob_y for leader in lay_out_section(named_last).leaders}

    assert places["pin"] < places["piston"]


def test_record_keeps_all_labels_in_one_column_within_the_height_of_the_drawing():
    layout = lay_out_record_section(a_stage(rings=6, suction=2, delivery=2, others=1))

    middles = [tag.middle_y for tag in layout.columns[0].tags]

    assert len(layout.columns) == 1
    assert min(lower - upper for upper, lower in pairwise(middles)) >= 28
    assert middles[-1] <= layout.height
