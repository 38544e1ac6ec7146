"""A sheet that is written and read again is the same sheet, and no text makes the reader stumble."""

from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from app.domain.sheet_file import SheetRefused, read_sheet
from app.domain.sheet_text import write_sheet

SAMPLES = Path(__file__).parents[2] / "sample_data"
NAMES = ("qm-ga.toml", "qm-ga-b.toml", "qm-ba.toml", "qm-guarded.toml")
TEXTS = {name: (SAMPLES / name).read_text(encoding="utf-8") for name in NAMES}
# A sheet with every key there is, in both units, on two cylinders.
RICH = """
[sheet]
name = '''{name}'''
revision = "A"
machine_type = "test machine"
approver = "I. Brandreth"
unit = "{unit}"
rule = "{rule}"
opening_interval = {interval}
note = "line one\\nline \\"two\\" \\\\ {{ }}"
source = {{ document = "Quillmoor works manual WM-99", page = "table 1" }}
feelers = {{ leaves = ["0.02 mm", "0.002 in"] }}
judging = {{ temperature = "{temperature}", temperature_spread = {spread}{guard} }}
instrument = [
    {{ method = "micrometer", resolution = "0.001 mm", repeatability = '0.0001"', expansion = {expansion}e-6 }},
    {{ method = "caliper", permissible_error = "0.05 mm = 0.002 in" }},
]
[[stage]]
number = 1
bore = {bore}
stroke = "90,0 mm"
cylinders = {cylinders}
[[stage.part]]
key = "valve"
kind = "valve"
name = "Valve"
port = "delivery"
construction = "reed"
[[stage.part]]
key = "ring"
kind = "ring"
name = "Ring"
count = {count}
joint = "segmented"
material = "filled PTFE"
working_temperature = {working}
order = [{{ name = "Set", number = "QM-1", quantity = 2, kit = "K" }}]
[[stage.part.characteristic]]
key = "closed-gap"
name = "Closed gap"
method = "feeler"
unit = "{gap_unit}"
new = ["{new} mm", "0.55 mm = 0.02 in"]
limit = [
    {{ upper = "1.10 mm", on_limit = "must not be reached" }},
    {{ upper = '0.035"', outcome = "rework", action = "File." }},
]
[[stage.part]]
key = "cylinder"
kind = "cylinder"
name = "Cylinder"
judge_again_after = {after}
rework_before = ["ring"]
[[stage.part.oversize]]
size = "151 mm"
[[stage.part.oversize]]
size = "152.0 mm = 5.98 in"
order = [{{ renews = "piston", name = "Piston", number = "QM-3" }}]
[[stage.part.characteristic]]
key = "bore"
name = "Bore"
method = "bore gauge"
levels = ["top", "middle", "bottom"]
axes = ["along", "across"]
limit = [
    {{ measure = "taper", per_stroke = 0.0005 }},
    {{ measure = "ovality", per_bore = {share}, at_most = "0.015 in" }},
]
[[stage.part]]
key = "bush"
kind = "pin"
name = "Bush"
renew_with = ["ring"]
[[stage.part.characteristic]]
key = "outer"
name = "Outer diameter"
method = "micrometer"
[[stage.part.characteristic]]
key = "clearance"
name = "Clearance"
between = ["cylinder.bore", "bush.outer"]
unit = "{gap_unit}"
new = ["0.30 mm", '0.02"']
limit = [{{ upper = "0.8 mm" }}, {{ lower = "0.25 mm", outcome = "rework" }}]
[[always]]
name = "Gasket"
number = "QM-2"
"""


def read_or_refuse(text):
    """Give the sheet and no faults, or no sheet and its faults; any other error is a failure."""
    try:
        return read_sheet(text), ()
    except SheetRefused as refused:
        return None, refused.faults


@pytest.mark.parametrize("name", TEXTS)
def test_a_sample_sheet_written_and_read_again_is_the_same(name):
    sheet = read_sheet(TEXTS[name])

    written = write_sheet(sheet)

    assert read_sheet(written) == sheet
    assert write_sheet(read_sheet(written)) == written


@settings(deadline=None, max_examples=40)
@given(
    name=st.sampled_from(["QM-T", 'a "b" \\\\ c', "Prüfblatt # 1 [x] é", "x = 1"]),
    unit=st.sampled_from(["mm", "in"]),
    gap_unit=st.sampled_from(["mm", "in"]),
    bore=st.sampled_from(['"140.00 mm"', '"5.512 in"', '"140.0 mm = 5.51 in"', '"139.987654 mm"']),
    cylinders=st.integers(1, 3),
    count=st.integers(1, 4),
    new=st.decimals("0.01", "0.55", places=4).map(str),
    after=st.sampled_from(["[]", '["ring"]', '["bush", "valve"]']),
    share=st.decimals("0.0001", "0.005", places=6).map(lambda share: format(share, "f")),
    judged=st.sampled_from([("simple", ""), ("guarded", ', guard = "ILAC-G8"'), ("guarded", "")]),
    temperature=st.sampled_from(["as read", "corrected to 20 C"]),
    spread=st.decimals("0", "50", places=3),
    interval=st.sampled_from(["1", "5000", "2500.50", "5e3", "200000"]),
    expansion=st.decimals("1", "100", places=6),
    working=st.decimals("-20", "300", places=2),
)
def test_any_sheet_written_and_read_again_is_the_same(judged, **texts):
    rule, guard = judged
    sheet = read_sheet(RICH.format(rule=rule, guard=guard, **texts))

    written = write_sheet(sheet)

    assert read_sheet(written) == sheet
    assert write_sheet(read_sheet(written)) == written


@settings(deadline=None, max_examples=25)
@given(
    name=st.text(st.characters(codec="utf-8"), min_size=1, max_size=300),
    note=st.text(st.characters(codec="utf-8"), max_size=500),
)
def test_any_words_on_a_sheet_come_back_as_they_were_or_are_refused(name, note):
    sheet = replace(read_sheet(TEXTS["qm-ga.toml"]), name=name, note=note)

    again, faults = read_or_refuse(write_sheet(sheet))

    assert {fault.place for fault in faults} <= {"sheet, name", "sheet, note", "the file"}
    assert again in (None, replace(sheet, name=name.strip(), note=note.strip()))


def test_a_size_of_another_unit_than_the_sheet_carries_it():
    sheet = replace(read_sheet(TEXTS["qm-ga.toml"]), leaves=read_sheet(TEXTS["qm-ba.toml"]).leaves)

    written = write_sheet(sheet)

    assert [leaf.mm for leaf in read_sheet(written).leaves] == [leaf.mm for leaf in sheet.leaves]
    assert 'leaves = ["0.0015 in", ' in written


@st.composite
def damaged_texts(draw):
    """A sample sheet with a few pieces taken out, doubled, moved or replaced."""
    text = draw(st.sampled_from(sorted(TEXTS.values())))
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(text)))
        end = min(len(text), start + draw(st.integers(0, 40)))
        signs = st.text(st.sampled_from("[]{}=\"'.,#\n 0123456789-eé٣\\abc"), max_size=6)
        new = draw(
            st.one_of(
                signs, st.just(text[start:end] * 2), st.sampled_from(["nan", "true", "[[stage]]\n", "1e9", "e-6"])
            )
        )
        text = text[:start] + new + text[end:]
    return text


@settings(deadline=None, max_examples=150, suppress_health_check=[HealthCheck.too_slow])
@given(damaged_texts())
def test_a_damaged_sheet_is_read_or_refused_and_nothing_else(text):
    sheet, faults = read_or_refuse(text)

    assert (sheet is None) == bool(faults)
    assert all(fault.place and fault.expected for fault in faults)
    assert all(fault.line is None or 1 <= fault.line <= text.count("\n") + 1 for fault in faults)
    assert sheet is None or read_sheet(write_sheet(sheet)) == sheet


@settings(deadline=None, max_examples=200)
@given(st.text(st.sampled_from("[]{}=\"'.,#\n 019abstage\\\ud800٣é"), max_size=80))
def test_any_text_is_read_or_refused_and_nothing_else(text):
    with pytest.raises(SheetRefused):
        read_sheet(text)


def test_a_sheet_of_the_fewest_keys_comes_back():
    sheet = read_sheet(TEXTS["qm-ga.toml"])
    first = sheet.stages[0]
    fewest = replace(sheet, leaves=(), always=(), stages=(replace(first, stroke=None, parts=first.parts[:1], sets=()),))

    assert read_sheet(write_sheet(fewest)) == fewest


def test_a_set_that_nothing_is_ordered_for_comes_back():
    sheet = read_sheet(TEXTS["qm-ba.toml"])
    stages = tuple(replace(stage, sets=(replace(stage.sets[0], order=None),)) for stage in sheet.stages)
    without = replace(sheet, stages=stages)

    assert read_sheet(write_sheet(without)) == without
