"""How a stage is closed is read whole from the sheet, or refused with its line."""

from decimal import Decimal

import pytest

from app.domain.sheet_file import SheetRefused, read_sheet
from app.domain.sheet_text import write_sheet
from app.domain.tightening import Thread
from tests.builders import a_sheet_text

TEXT = a_sheet_text("qm-guarded.toml")
OTHER_HEAD = 'key = "head"\nname = "Other"\nnuts = 4\ntorque = 9\nthread = "dry"\n'


def test_joints_and_stagger_are_read_and_written_the_same():
    sheet = read_sheet(TEXT)

    closing = sheet.stages[0].closing
    assert closing.stagger_degrees == (Decimal(0), Decimal(180))
    assert (closing.joints[0].nuts, closing.joints[0].thread, closing.joints[0].rings_only) == (8, Thread.DRY, True)
    assert read_sheet(write_sheet(sheet)) == sheet


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("nuts = 8", "nuts = 1", "a whole number from 2 to 48"),
        ("torque = 120", "torque = 0", "a torque, a number from 1"),
        ("torque = 120\n", "", "this key, which is missing"),
        ('thread = "dry"', 'thread = "wet"', "one of “dry”"),
        ('thread = "dry"\n', "", "this key, which is missing"),
        ("torque = 120", "torque = 120\nsteps = [60, 30, 100]", "rise to 100"),
        ("torque = 120", "torque = 120\nsteps = [30, 60]", "rise to 100"),
        ("torque = 120", 'torque = 120\nsteps = "half"', "the steps in per cent"),
        ("stagger = [0, 180]", "stagger = [0, 400]", "where each ring's gap stands"),
        ("stagger = [0, 180]", "stagger = 120", "where each ring's gap stands"),
        ("[[stage.joint]]", f"[[stage.joint]]\n{OTHER_HEAD}\n[[stage.joint]]", "a key of its own"),
    ],
)  # fmt: skip
def test_a_joint_that_cannot_be_is_refused(old, new, words):
    with pytest.raises(SheetRefused) as refused:
        read_sheet(TEXT.replace(old, new, 1))

    assert [fault for fault in refused.value.faults if words in fault.expected]


def test_steps_of_the_sheet_take_the_place_of_the_usual_ones():
    sheet = read_sheet(TEXT.replace("torque = 120", "torque = 120\nsteps = [50, 100]", 1))

    assert sheet.stages[0].closing.joints[0].step_torques == (Decimal(60), Decimal(120))
