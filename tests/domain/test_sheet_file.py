"""A limit sheet is read whole: sizes as written, parts set out, defaults filled in."""

from decimal import Decimal
from pathlib import Path

import pytest

from app.domain.limits import Construction, Measure, OnLimit, PartKind, Rule, Side
from app.domain.numbers import inches, millimetres
from app.domain.sheet_file import read_sheet, sheet_warnings
from app.domain.units import LengthUnit
from app.domain.verdicts import Verdict

SAMPLES = Path(__file__).parents[2] / "sample_data"
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
"""
STAGE = """
[[stage]]
number = 1
bore = 140.00
"""
RING = """
[[stage.part]]
key = "ring"
kind = "ring"
name = "Ring"
"""
GAP = """
[[stage.part.characteristic]]
key = "closed-gap"
name = "Closed gap"
method = "feeler"
"""
BORE = """
[[stage.part]]
key = "cylinder"
kind = "cylinder"
name = "Cylinder"
[[stage.part.characteristic]]
key = "bore"
name = "Bore"
method = "bore gauge"
levels = ["top", "middle", "bottom"]
axes = ["along", "across"]
"""


def a_sample(name):
    return read_sheet((SAMPLES / name).read_text(encoding="utf-8"))


def the_gap(rest):
    """Read a sheet whose one characteristic is a closed gap with these further keys."""
    return read_sheet(HEAD + STAGE + RING + GAP + rest).parts[0].characteristics[0]


def the_bore(rest, stage=STAGE):
    """Read a sheet whose one characteristic is a bore with these further keys."""
    return read_sheet(HEAD + stage + BORE + rest).parts[0].characteristics[0]


@pytest.mark.parametrize("name", ["qm-ga.toml", "qm-ga-b.toml", "qm-ba.toml", "qm-guarded.toml"])
def test_every_sample_sheet_is_read_without_a_doubt(name):
    sheet = a_sample(name)

    assert sheet_warnings(sheet) == ()
    assert all(characteristic.limits for part in sheet.parts for characteristic in part.characteristics)
    assert all(limit.source for part in sheet.parts for each in part.characteristics for limit in each.limits)


def test_the_governor_air_sheet_holds_three_stages_in_item_order():
    sheet = a_sample("qm-ga.toml")

    assert (sheet.title, sheet.rule, sheet.unit) == ("QM-GA rev C", Rule.SIMPLE, LengthUnit.MM)
    assert [stage.bore for stage in sheet.stages] == [millimetres("140.00"), millimetres("78.00"), millimetres("40.00")]
    assert [part.item for part in sheet.stages[1].parts][:4] == ["2-01", "2-02", "2-03", "2-04"]
    assert sheet.part("2.ring-2").item == "2-04"
    assert sheet.part("3.suction-valve").construction is Construction.REED


def test_a_size_keeps_the_digits_it_was_written_with():
    gap = a_sample("qm-ga.toml").part("1.ring-1").characteristic("closed-gap")

    assert gap.limit(Measure.VALUE).size == millimetres("1.10")
    assert gap.new.lower.typed == "0.35"
    assert gap.levels == ("unworn end", "worst place")


def test_revision_c_is_tighter_than_revision_b():
    before, after = a_sample("qm-ga-b.toml"), a_sample("qm-ga.toml")

    limits = [sheet.part("2.ring-1").characteristic("closed-gap").limit(Measure.VALUE) for sheet in (before, after)]
    assert [part.ref for part in before.parts] == [part.ref for part in after.parts]
    assert [limit.size for limit in limits] == [millimetres("0.70"), millimetres("0.65")]


def test_an_inch_sheet_is_compared_in_millimetres():
    gap = a_sample("qm-ba.toml").part("1.ring-1").characteristic("closed-gap")

    assert gap.limit(Measure.VALUE).size == inches("0.035")
    assert gap.limit(Measure.VALUE).size.mm == Decimal("0.889")
    assert (gap.unit, gap.decimals) == (LengthUnit.INCH, 3)


def test_a_limit_as_a_share_of_the_bore_is_worked_out_and_says_how():
    # Bloch & Hoefner, Reciprocating Compressors: Operation and Maintenance, p. 259: 10.000 in gives 0.0075 in.
    stage = STAGE.replace("140.00", '"10.000 in"')

    limit = the_bore(
        'limit = [{ measure = "overall difference", per_bore = 0.00075, source = "p. 259" }]', stage
    ).limits[0]

    assert (limit.size.value, limit.size.unit, limit.side) == (Decimal("0.0075"), LengthUnit.INCH, Side.UPPER)
    assert limit.source == "p. 259, 0.00075 x bore 10.000 in"


def test_a_limit_as_a_share_of_the_stroke_is_worked_out():
    limit = the_bore('limit = [{ measure = "taper", per_stroke = 0.0005 }]', STAGE + "stroke = 90\n").limits[0]

    assert limit.size == millimetres("0.045")
    assert limit.source == "table 1, 0.0005 x stroke 90"


@pytest.mark.parametrize(("most", "size"), [('"0.015 in"', "0.140"), ("0.13", "0.13"), ("0.14", "0.14")])
def test_a_share_reaches_no_higher_than_at_most(most, size):
    limit = the_bore(f'limit = [{{ measure = "ovality", per_bore = 0.001, at_most = {most} }}]').limits[0]

    assert limit.size.mm == Decimal(size)


def test_a_share_is_cut_towards_the_safe_side():
    stage = STAGE.replace("140.00", "140.001")

    limit = the_bore('limit = [{ measure = "overall difference", per_bore = 0.00075 }]', stage).limits[0]

    assert limit.size.mm == Decimal("0.105")


def test_a_limit_says_all_that_follows_from_it():
    gap = the_gap(
        'limit = [{ upper = 1.10, on_limit = "must not be reached", renews = "ring set", source = "table 4" }]'
    )

    limit = gap.limits[0]
    assert (limit.on_limit, limit.outcome, limit.renews) == (OnLimit.MUST_NOT_BE_REACHED, Verdict.RENEW, "ring set")
    assert limit.source == "table 4"


def test_a_limit_without_a_source_takes_the_nearest_one_around_it():
    own, sheet = the_gap('source = "table 4"\nlimit = [{ upper = 1.10 }]'), the_gap("limit = [{ upper = 1.10 }]")

    assert [gap.limits[0].source for gap in (own, sheet)] == ["table 4", "table 1"]


def test_a_limit_that_leads_to_renew_names_its_object_and_one_that_leads_to_rework_none():
    gap = the_gap('limit = [{ upper = 1.10 }, { upper = 0.90, outcome = "rework", action = "Hone." }]')

    assert [(limit.renews, limit.action) for limit in gap.limits] == [("ring set", ""), ("", "Hone.")]


@pytest.mark.parametrize(
    ("rest", "decimals"),
    [
        ("limit = [{ upper = 1.1 }]", 1),
        ("new = [0.350, 0.55]\nlimit = [{ upper = 1.1 }]", 3),
        ('limit = [{ upper = "0.018 in" }]', 2),
        ("decimals = 4\nlimit = [{ upper = 1.1 }]", 4),
    ],
)
def test_decimals_come_from_the_digits_of_the_sheet(rest, decimals):
    assert the_gap(rest).decimals == decimals


def test_a_limit_worked_out_adds_no_decimals_to_a_bore():
    bore = the_bore('limit = [{ measure = "overall difference", per_bore = 0.00075 }]')

    assert bore.decimals == 2


@pytest.mark.parametrize(
    ("rest", "lowest", "highest"),
    [
        ("new = [0.35, 0.55]", "0", "140"),
        ("new = [32.00, 32.02]", "16", "48.03"),
        ("limit = [{ lower = 30.0 }]", "15", "45"),
        ("", "0", "140"),
        ("possible = [0.1, 3.0]\nnew = [0.35, 0.55]", "0.1", "3"),
        ('possible = [0, "0.1 in"]\nnew = [0.35, 0.55]', "0", "2.54"),
    ],
)
def test_what_a_reading_can_possibly_be_follows_from_the_sizes(rest, lowest, highest):
    assert the_gap(rest).possible_mm == (Decimal(lowest), Decimal(highest))


@pytest.mark.parametrize(
    ("rest", "base", "lowest", "highest"),
    [
        ("", "140.00", "126", "154"),
        ("base = 140.25", "140.25", "126.225", "154.275"),
        ("limit = [{ upper = 155.0 }]", "140.00", "126", "155"),
    ],
)
def test_a_bore_counts_from_its_base_size(rest, base, lowest, highest):
    bore = the_bore(rest)

    assert bore.base_size == millimetres(base)
    assert bore.possible_mm == (Decimal(lowest), Decimal(highest))


def test_a_characteristic_can_be_in_another_unit_than_its_sheet():
    gap = the_gap('unit = "in"\nnew = [0.014, 0.022]\nlimit = [{ upper = 0.043 }]')

    assert (gap.unit, gap.decimals, gap.limits[0].size) == (LengthUnit.INCH, 3, inches("0.043"))


def test_rings_of_a_count_are_set_out_in_order():
    sheet = read_sheet(HEAD + STAGE + RING + 'count = 3\njoint = "angle"\n' + GAP)

    assert [(part.ref, part.name, part.item) for part in sheet.parts] == [
        ("1.ring-1", "Ring 1", "1-01"),
        ("1.ring-2", "Ring 2", "1-02"),
        ("1.ring-3", "Ring 3", "1-03"),
    ]
    assert {part.joint for part in sheet.parts} == {"angle"}


def test_always_renewed_things_say_when_and_how_many():
    sheet = a_sample("qm-ga.toml")

    gasket, locking = sheet.always[0], sheet.always[4]
    assert (gasket.stage, gasket.order.quantity, gasket.rings_only) == (1, 2, False)
    assert (locking.order.name, locking.rings_only) == ("Rod bolt locking plate 140", True)
    assert sheet.always[-1].stage is None


def test_what_windows_adds_to_a_text_file_is_no_fault():
    text = (SAMPLES / "qm-ga.toml").read_text(encoding="utf-8")

    assert read_sheet("\ufeff" + text.replace("\n", "\r\n")) == read_sheet(text)


def test_a_part_without_characteristics_is_judged_by_eye_alone():
    valve = a_sample("qm-ga.toml").part("3.delivery-valve")

    assert (valve.kind, valve.characteristics, valve.port) == (PartKind.VALVE, (), "delivery")
