"""A sheet says how its readings are judged: temperature, guard, instruments, and when the machine is opened next."""

from decimal import Decimal
from pathlib import Path

import pytest

from app.domain.guard import Guard
from app.domain.limits import InstrumentClass, Method, Rule
from app.domain.numbers import inches, millimetres
from app.domain.sheet_file import SheetRefused, read_sheet, sheet_warnings

SAMPLES = Path(__file__).parents[2] / "sample_data"
GUARDED = (SAMPLES / "qm-guarded.toml").read_text(encoding="utf-8")
PLAIN = (Path(__file__).parent / "sound_sheet.toml").read_text(encoding="utf-8")
FEELER = 'method = "feeler"\npermissible_error = 0.01'
CORRECTED = '"corrected to 20 C"'
EXPANSION = "repeatability = 0.002\nexpansion = 11.5e-6"
# What stands in the guarded sheet, what is put in its place, the fault's place, its line's text, and what is expected.
FAULTS = [
    (
        CORRECTED,
        '"warm"',
        "sheet, judging, temperature",
        '"warm"',
        "one of “as read”, “corrected to 20 C”; found “warm”",
    ),
    (
        "spread = 5",
        "spread = -1",
        "sheet, judging, temperature_spread",
        "spread = -1",
        "a number from 0 to 50; found -1",
    ),
    (
        "spread = 5",
        "spread = 50.1",
        "sheet, judging, temperature_spread",
        "spread = 5",
        "kelvin, a number from 0 to 50;",
    ),
    ('"ISO 14253-1"', '"ISO 14253"', "sheet, judging, guard", "guard = ", "one of “ISO 14253-1”, “ILAC-G8”;"),
    (
        'rule = "guarded"',
        'rule = "simple"',
        "sheet, judging, guard",
        "guard = ",
        "only a sheet with the guarded rule has",
    ),
    ("guard = ", "gard = ", "sheet, judging", "gard", "no key “gard”; perhaps “guard” is meant"),
    ("= 2500", "= 0", "sheet, opening_interval", "opening_i", "operating hours, a number from 1 to 200000; found 0"),
    ("= 2500", "= -2500", "sheet, opening_interval", "opening_i", "found -2500"),
    ("= 2500", '= "2500"', "sheet, opening_interval", "opening_i", "found “2500”"),
    ("= 2500", "= true", "sheet, opening_interval", "opening_i", "found true"),
    ("= 2500", "= nan", "sheet, opening_interval", "opening_i", "found nan"),
    ("= 2500", "= 2500.0000000000001", "sheet, opening_interval", "opening_i", "found 2500.0000000000001"),
    (FEELER, FEELER.replace("feeler", "ruler"), "sheet, instrument 1, method", '"ruler"', "one of “feeler”, “bore"),
    (FEELER, FEELER.replace("0.01", "0"), "sheet, instrument 1, permissible_error", "error = 0\n", "a size above zero"),
    (FEELER, f"{FEELER}\nexpanson = 1", "sheet, instrument 1", "expanson", "perhaps “expansion” is meant"),
    (
        FEELER,
        'method = "feeler"',
        "sheet, instrument 1",
        "[[sheet.ins",
        "at least one of resolution, permissible_error,",
    ),
    (
        FEELER,
        FEELER.replace("feeler", "caliper"),
        "sheet, instrument",
        "[[sheet.ins",
        "one for each method; found “cal",
    ),
    (
        EXPANSION,
        EXPANSION[:-3],
        "sheet, instrument 2, expansion",
        "expansion = 11.5\n",
        "11.5e-6, a number from 0.00000",
    ),
    (EXPANSION, "expansion = 0.99e-6", "sheet, instrument 2, expansion", "expansion = 0.99", "found 0.99e-6"),
    (EXPANSION, "expansion = 100.1e-6", "sheet, instrument 2, expansion", "expansion = 100", "1/K, such as 11.5e-6,"),
    (EXPANSION, "expansion = 1e-99", "sheet, instrument 2, expansion", "expansion = 1e", "found 1e-99"),
]


def faults_of(text):
    with pytest.raises(SheetRefused) as refused:
        read_sheet(text)
    return refused.value.faults


def line_of(text, sign):
    """The line on which a piece of the text begins."""
    return text[: text.index(sign)].count("\n") + 1


@pytest.mark.parametrize(("sound", "faulty", "place", "sign", "expected"), FAULTS)
def test_a_fault_of_judging_is_named_with_its_place_and_line(sound, faulty, place, sign, expected):
    assert GUARDED.count(sound) == 1
    text = GUARDED.replace(sound, faulty)

    faults = [fault for fault in faults_of(text) if fault.place == place]

    assert any(expected in fault.expected for fault in faults), faults
    assert {fault.line for fault in faults} == {line_of(text, sign)}


def test_the_guarded_sheet_says_how_it_is_judged():
    sheet = read_sheet(GUARDED)

    assert (sheet.rule, sheet.guard, sheet.is_corrected_to_20) == (Rule.GUARDED, Guard.ISO_14253, True)
    assert (sheet.temperature_spread_k, sheet.opening_interval_hours) == (Decimal(5), Decimal(2500))
    assert sheet_warnings(sheet) == ()


def test_an_instrument_is_found_by_its_method():
    sheet = read_sheet(GUARDED)

    gauge = sheet.instrument(Method.BORE_GAUGE)

    sizes = millimetres("0.001"), millimetres("0.004"), millimetres("0.002")
    assert gauge == InstrumentClass(Method.BORE_GAUGE, *sizes, Decimal("0.0000115"))
    assert sheet.instrument(Method.FEELER) == InstrumentClass(Method.FEELER, None, millimetres("0.01"))


def test_a_sheet_that_says_nothing_is_judged_as_read_by_the_simple_rule():
    sheet = read_sheet(PLAIN)

    assert (sheet.rule, sheet.guard, sheet.is_corrected_to_20) == (Rule.SIMPLE, Guard.ISO_14253, False)
    assert (sheet.temperature_spread_k, sheet.opening_interval_hours, sheet.instruments) == (Decimal(0), None, ())
    assert sheet.instrument(Method.FEELER) is None


def test_a_sheet_can_ask_for_the_wider_guard():
    assert read_sheet(GUARDED.replace('"ISO 14253-1"', '"ILAC-G8"')).guard is Guard.ILAC_G8


@pytest.mark.parametrize("written", ["11.5e-6", "0.0000115", "11.5E-6", "115e-7", "+11.5e-6"])
def test_an_expansion_is_read_exactly_however_it_is_written(written):
    sheet = read_sheet(GUARDED.replace(EXPANSION, f"expansion = {written}"))

    assert sheet.instrument(Method.BORE_GAUGE).expansion_per_k == Decimal("0.0000115")


@pytest.mark.parametrize("written", ["1e-6", "100e-6"])
def test_an_expansion_may_stand_on_either_bound(written):
    sheet = read_sheet(GUARDED.replace(EXPANSION, f"expansion = {written}"))

    assert sheet.instrument(Method.BORE_GAUGE).expansion_per_k == Decimal(written)


def test_instruments_of_an_inch_sheet_are_in_inches():
    text = PLAIN.replace('unit = "mm"', 'unit = "in"')
    instrument = '[[sheet.instrument]]\nmethod = "micrometer"\nresolution = 0.0001\nrepeatability = "0.002 mm"\n'

    micrometer = read_sheet(text.replace("[[stage]]", f"{instrument}[[stage]]", 1)).instrument(Method.MICROMETER)

    assert (micrometer.resolution, micrometer.repeatability.mm) == (inches("0.0001"), Decimal("0.002"))
