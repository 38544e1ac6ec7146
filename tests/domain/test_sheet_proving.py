"""What a sheet says of the running machine is read whole, or refused with its line."""

import pytest

from app.domain.sheet_file import SheetRefused, read_sheet
from app.domain.sheet_text import write_sheet
from tests.builders import a_sheet_text

TEXT = a_sheet_text()


def faults(old: str, new: str) -> list[str]:
    """What is said of the sheet with a line changed."""
    with pytest.raises(SheetRefused) as refused:
        read_sheet(TEXT.replace(old, new, 1))
    return [f"{fault.place}: {fault.expected}" for fault in refused.value.faults]


@pytest.mark.parametrize("file", ["qm-ga.toml", "qm-ba.toml", "qm-guarded.toml", "qm-ga-b.toml"])
def test_what_is_read_is_written_and_read_again_the_same(file):
    sheet = read_sheet(a_sheet_text(file))

    assert read_sheet(write_sheet(sheet)) == sheet


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("gauge = [2.0, 2.7]", "gauge = [2.7, 2.0]", "the lower end first"),
        ("gauge = [2.0, 2.7]", "gauge = 2.7", "a list of 2 numbers"),
        ("gauge = [2.0, 2.7]", "gauge = [2.0]", "a list of 2 numbers"),
        ("gauge = [2.0, 2.7]", 'gauge = ["2.0 bar", 2.7]', "a list of 2 numbers"),
        ("gauge = [2.0, 2.7]", "gauge = [-1, 2.7]", "a list of 2 numbers"),
        ("delivery_temperature = 150", "delivery_temperature = 900", "degrees, a number from 0 to 500"),
        ('pressure_unit = "bar"', 'pressure_unit = "kPa"', "one of “bar”"),
        ('pressure_unit = "bar"', 'pressure_unit = "bara"', "which counts from the air around"),
        ('pressure_unit = "bar"', 'pressure_unit = "psi (abs)"', "take 1.013 bar or 14.7 psi off"),
        ('pressure_unit = "bar"', "pressure_unit = 3", "one of “bar”"),
        ("least_free_air = 0.90", "least_free_air = 90", "a share of the rated free air"),
        ("oil_within = 15", "oil_before = 15", "no key “oil_before”"),
    ],
)
def test_a_figure_that_cannot_be_is_refused(old, new, words):
    assert [fault for fault in faults(old, new) if words in fault]


def test_a_sheet_without_them_says_nothing_of_the_running_machine():
    sheet = read_sheet(a_sheet_text("qm-ga-b.toml"))

    assert sheet.proving is None
    assert {stage.running for stage in sheet.stages} == {None}
