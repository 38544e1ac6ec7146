"""Parts of a stage with several cylinders are set out cylinder by cylinder; sets and mates follow them."""

import pytest

from app.domain.order_lines import OrderLine
from app.domain.sheet_file import SheetRefused, read_sheet

HEAD = """
[sheet]
name = "QM-T"
revision = "A"
machine_type = "test machine"
approver = "I. Brandreth"
unit = "mm"
[sheet.source]
document = "Quillmoor works manual WM-99"
page = "table 1"
[[stage]]
number = 1
bore = 140.00
"""
RING_ORDER = 'order = [{ renews = "ring set", name = "Ring set", number = "QM-1" }]\n'


def a_part(kind, key, rest=""):
    """Write one part; its name is its key."""
    more = 'port = "suction"\nconstruction = "plate"\n' if kind == "valve" else ""
    return f'[[stage.part]]\nkey = "{key}"\nkind = "{kind}"\nname = "{key}"\n{more}{rest}\n'


def a_stage(*parts, cylinders=1):
    """Read a sheet of one stage with these parts."""
    return read_sheet(f"{HEAD}cylinders = {cylinders}\n" + "".join(parts)).stages[0]


def refs_of(stage):
    return [part.ref for part in stage.parts]


def faults_of(*parts, cylinders=1):
    """Give the faults of a sheet of one stage with these parts."""
    with pytest.raises(SheetRefused) as refused:
        a_stage(*parts, cylinders=cylinders)
    return [(fault.place, fault.expected) for fault in refused.value.faults]


def test_parts_are_set_out_for_each_cylinder_but_a_head_is_not():
    stage = a_stage(a_part("ring", "ring", "count = 2"), a_part("valve", "valve"), a_part("other", "head"), cylinders=2)

    assert refs_of(stage) == [
        "1.c1-ring-1",
        "1.c1-ring-2",
        "1.c2-ring-1",
        "1.c2-ring-2",
        "1.c1-valve",
        "1.c2-valve",
        "1.head",
    ]
    assert [part.name for part in stage.parts[1:3]] == ["ring 2, cylinder 1", "ring 1, cylinder 2"]


def test_a_part_can_be_on_one_cylinder_only():
    stage = a_stage(a_part("pin", "pin", "cylinder = 2"), a_part("other", "bush", "cylinder = 1"), cylinders=2)

    assert refs_of(stage) == ["1.c2-pin", "1.c1-bush"]


def test_a_key_that_names_its_cylinder_stands_as_it_is():
    stage = a_stage(a_part("ring", "c2-ring", "count = 2"), cylinders=2)

    assert refs_of(stage) == ["1.c2-ring-1", "1.c2-ring-2"]
    assert stage.parts[0].name == "c2-ring 1"


def test_on_a_stage_of_one_cylinder_nothing_is_added_to_a_key():
    stage = a_stage(a_part("ring", "c2-ring"), a_part("pin", "pin", "cylinder = 1"))

    assert refs_of(stage) == ["1.c2-ring", "1.pin"]


@pytest.mark.parametrize("part", [a_part("ring", "c3-ring"), a_part("ring", "c1-ring", "cylinder = 2")])
def test_a_key_of_a_cylinder_that_is_not_meant_is_refused(part):
    faults = faults_of(part, cylinders=2)

    assert len(faults) == 1
    assert faults[0][1].startswith("a key of one of the 2 cylinders, and of the one named")


def test_rings_and_pistons_wait_for_the_cylinder_they_run_in():
    stage = a_stage(a_part("ring", "ring"), a_part("piston", "piston"), a_part("cylinder", "cylinder"), cylinders=2)

    waits = {part.key: part.judge_again_after for part in stage.parts}
    assert waits["c1-ring"] == ("c1-cylinder",)
    assert waits["c2-piston"] == ("c2-cylinder",)
    assert waits["c2-cylinder"] == ()


def test_a_part_waits_for_the_mates_that_the_sheet_names():
    named, none = 'judge_again_after = ["pin"]', "judge_again_after = []"
    stage = a_stage(
        a_part("other", "bush", named), a_part("pin", "pin", named.replace("pin", "bush")), a_part("ring", "ring", none)
    )

    assert [part.judge_again_after for part in stage.parts] == [("pin",), ("bush",), ()]


def test_a_part_of_the_whole_stage_waits_for_every_cylinder():
    head = a_part("other", "head", 'judge_again_after = ["cylinder"]')

    stage = a_stage(head, a_part("cylinder", "cylinder"), cylinders=2)

    assert stage.parts[0].judge_again_after == ("c1-cylinder", "c2-cylinder")


def test_a_mate_that_is_not_there_is_refused_with_the_nearest():
    faults = faults_of(a_part("other", "bush", 'judge_again_after = ["pim"]'), a_part("pin", "pin"))

    place = "stage 1, part bush, judge_again_after"
    assert faults == [(place, "parts of the same stage; no part “pim”; perhaps “pin” is meant")]


def test_a_part_does_not_wait_for_itself():
    faults = faults_of(a_part("pin", "pin", 'judge_again_after = ["pin"]'))

    assert faults == [
        ("stage 1, part pin, judge_again_after", "parts of the same stage; no part “pin”; none are known here")
    ]


def test_all_rings_of_one_piston_are_a_set_unless_the_sheet_says_otherwise():
    stage = a_stage(a_part("ring", "ring", "count = 2"), a_part("ring", "oil-ring", RING_ORDER))

    assert [(each.ref, each.name, each.members) for each in stage.sets] == [
        ("1.ring-set", "Ring set", ("1.ring-1", "1.ring-2", "1.oil-ring"))
    ]
    assert stage.sets[0].order == OrderLine("ring set", "Ring set", "QM-1")


def test_each_piston_has_its_own_ring_set():
    stage = a_stage(a_part("ring", "ring", "count = 2"), cylinders=2)

    assert [(each.key, each.members, each.order) for each in stage.sets] == [
        ("c1-ring-set", ("1.c1-ring-1", "1.c1-ring-2"), None),
        ("c2-ring-set", ("1.c2-ring-1", "1.c2-ring-2"), None),
    ]
    assert stage.sets[1].name == "Ring set, cylinder 2"


def test_a_single_ring_is_no_set():
    assert a_stage(a_part("ring", "ring")).sets == ()


def test_the_sheet_can_name_its_own_sets():
    order = 'order = { name = "Set", number = "QM-2", quantity = 2, kit = "K" }'
    named = f'[[stage.set]]\nkey = "upper"\nname = "Upper rings"\nmembers = ["ring"]\n{order}\n'

    stage = a_stage(a_part("ring", "ring", "count = 2"), a_part("ring", "oil-ring"), named)

    assert [(each.key, each.members) for each in stage.sets] == [("upper", ("1.ring-1", "1.ring-2"))]
    assert stage.sets[0].order == OrderLine("ring set", "Set", "QM-2", 2, "K")


def test_one_bad_member_does_not_hide_the_next():
    named = '[[stage.set]]\nkey = "upper"\nname = "Upper"\nmembers = ["rng", "2.ring"]\n'

    faults = faults_of(a_part("ring", "ring"), named)

    assert [expected for _, expected in faults] == [
        "parts of the same stage; no part “rng” in it; perhaps “ring” is meant",
        "parts of the same stage; no part “2.ring” in it; perhaps “ring” is meant",
    ]


def test_a_stage_holds_at_most_99_parts():
    parts = [a_part("ring", f"r{n}", "count = 12") for n in range(9)]

    faults = faults_of(*parts)

    assert faults[0] == ("stage 1, part", "at most 99 parts in a stage; found 108")


def test_a_key_that_grows_too_long_when_set_out_is_refused():
    faults = faults_of(a_part("ring", "r" * 300, "count = 2"))

    assert {expected for _, expected in faults} == {
        "a shorter key or name, so that number and cylinder can be added to it"
    }


def test_a_part_is_renewed_with_the_mates_that_the_sheet_names():
    stage = a_stage(a_part("pin", "pin"), a_part("other", "bush", 'cylinder = 2\nrenew_with = ["pin"]'), cylinders=2)

    assert [(part.ref, part.renew_with) for part in stage.parts][1:] == [("1.c2-pin", ()), ("1.c2-bush", ("c2-pin",))]


def test_pin_and_bush_can_each_be_renewed_with_the_other():
    bush, pin = a_part("other", "bush", 'renew_with = ["pin"]'), a_part("pin", "pin", 'renew_with = ["bush"]')

    assert [part.renew_with for part in a_stage(bush, pin).parts] == [("pin",), ("bush",)]


def test_a_part_is_reworked_before_all_rings_that_one_name_means():
    cylinder = a_part("cylinder", "cylinder", 'rework_before = ["ring", "head"]')

    stage = a_stage(a_part("ring", "ring", "count = 2"), cylinder, a_part("other", "head"))

    assert stage.parts[2].rework_before == ("ring-1", "ring-2", "head")


@pytest.mark.parametrize("key", ["renew_with", "rework_before"])
def test_a_part_to_go_with_that_is_not_there_is_refused_once(key):
    faults = faults_of(a_part("pin", "pin", f'{key} = ["bsh"]'), a_part("other", "bush"), cylinders=2)

    assert faults == [(f"stage 1, part pin, {key}", "parts of the same stage; no part “bsh”; perhaps “bush” is meant")]


def test_an_order_of_work_that_goes_round_is_refused():
    before = 'rework_before = ["{}"]'.format
    faults = faults_of(
        a_part("cylinder", "cylinder", before("piston")),
        a_part("piston", "piston", before("head")),
        a_part("other", "head", before("cylinder")),
        a_part("pin", "pin", before("head")),
    )

    assert [(place, expected.partition(";")[0]) for place, expected in faults] == [
        (f"stage 1, part {key}, rework_before", "an order of work") for key in ("cylinder", "piston", "head")
    ]


def test_parts_know_their_cylinder():
    one, two = (a_stage(a_part("pin", "pin"), a_part("other", "head"), cylinders=number) for number in (1, 2))

    assert [part.cylinder for part in one.parts] == [1, 1]
    assert [part.cylinder for part in two.parts] == [1, 2, 0]


@pytest.mark.parametrize(("written", "temperature_c"), [("-20", "-20"), ("-5.5", "-5.5"), ("0", "0"), ("300", "300")])
def test_a_working_temperature_is_read_exactly(written, temperature_c):
    ring = a_part("ring", "ring", f"working_temperature = {written}")

    assert str(a_stage(ring).parts[0].working_temperature_c) == temperature_c
    assert a_stage(a_part("ring", "ring")).parts[0].working_temperature_c is None


@pytest.mark.parametrize("written", ["-20.1", "300.1", "1e3", '"180"', "inf"])
def test_a_working_temperature_at_which_nothing_works_is_refused(written):
    faults = faults_of(a_part("ring", "ring", f"working_temperature = {written}"))

    assert [place for place, _ in faults] == ["stage 1, part ring, working_temperature"]
    assert faults[0][1].startswith("degrees Celsius, a number from -20 to 300; found ")
