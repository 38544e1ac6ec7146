"""From what was typed to a reading: everything sound is kept as typed, everything else refused beside its field."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest

from app.domain.entries import Typed, find_place, kinds_of, read_entry, with_entry
from app.domain.errors import InputRefused, NotThere
from app.domain.readings import SEEN, Kind, Occasion
from app.domain.units import LengthUnit
from tests.builders import NOW
from tests.domain.builders import a_part, a_place, a_sheet_with, an_overhaul

GAP = a_place("2.ring-1", "closed-gap", "worst place")
BORE = a_place("2.cylinder", "bore", "mid stroke", "along the pin")
LIFT = a_place("2.suction-valve", "lift")
SPRING = a_place("2.suction-valve", "spring-length")
SIGHT = a_place("2.suction-valve", SEEN)
NOT_A_SIZE = [
    "letters", "", "   ", "1,234.5", "1.2.3", "-0.70", "+0.70", "nan", "1e400", "9**9**9", "7" * 10_000, "0.7 kg",
    "١٫٣٠", "０.７０",
]  # fmt: skip


def typed(place=GAP, kind=Kind.SIZE, **fields) -> Typed:
    """An entry as the form sends it."""
    return Typed(id="entry-0001", place=place, occasion=Occasion.AS_FOUND, kind=str(kind), **fields)


def read(place=GAP, kind=Kind.SIZE, **fields):
    """Read an entry by M. Tarrow."""
    return read_entry(an_overhaul(), typed(place, kind, **fields), "M. Tarrow", NOW)


def refused(place=GAP, kind=Kind.SIZE, **fields) -> dict[str, str]:
    """The fields refused, with their words."""
    with pytest.raises(InputRefused) as refusal:
        read(place, kind, **fields)
    assert all(1 < len(words) < 260 for words in refusal.value.fields.values())
    return refusal.value.fields


@pytest.mark.parametrize("text", NOT_A_SIZE)
def test_what_is_no_size_is_refused_beside_the_field_it_was_typed_in(text):
    assert set(refused(value=text)) == {"value"}
    assert set(refused(kind=Kind.PAIR, goes=text, does_not_go="0.50")) == {"goes"}
    assert set(refused(BORE, Kind.DIAL, value="0.02", set_size=text)) == {"set_size"}


def test_nothing_is_no_diameter():
    assert refused(BORE, value="0")["value"].endswith("Type the size that was read.")
    assert set(refused(BORE, Kind.DIAL, value="0.02", set_size="0")) == {"set_size"}
    assert set(refused(BORE, Kind.DIAL, value="-78", set_size="78")) == {"value"}


@pytest.mark.parametrize("text", [text for text in NOT_A_SIZE if text.strip()])
def test_a_leaf_that_does_not_go_is_read_as_strictly(text):
    assert set(refused(kind=Kind.PAIR, goes="0.45", does_not_go=text)) == {"does_not_go"}


@pytest.mark.parametrize("text", ["1,30", "1.30", "1.30 mm"])
def test_a_decimal_comma_and_a_decimal_point_are_the_same_reading_kept_as_typed(text):
    reading = read(value=text)

    assert (reading.size_mm, reading.value.typed) == (Decimal("1.30"), text)


@pytest.mark.parametrize(
    ("unit", "text", "mm"),
    [("", "0.70", "0.70"), ("mm", "0.70", "0.70"), ("in", "0.018", "0.4572"), ("in", "0.70 mm", "0.70"),
     ("mm", "0.018 in", "0.4572")],
)  # fmt: skip
def test_the_unit_is_the_one_behind_the_number_else_the_forms_else_the_sheets(unit, text, mm):
    assert read(value=text, unit=unit).size_mm == Decimal(mm)


def test_a_unit_that_is_none_of_length_is_refused():
    assert refused(value="0.7", unit="kg") == {"unit": "Choose mm or in."}


@pytest.mark.parametrize(
    ("place", "fields"),
    [
        (GAP, {"value": "78.001"}),  # a gap larger than the bore
        (GAP, {"kind": Kind.PAIR, "goes": "0.45", "does_not_go": "79"}),
        (GAP, {"kind": Kind.GOES, "goes": "100"}),
        (BORE, {"value": "39.00"}),  # half the nominal bore
        (BORE, {"value": "7.802"}),
        (BORE, {"kind": Kind.DIAL, "value": "40", "set_size": "78.00"}),
        (BORE, {"kind": Kind.DIAL, "value": "0.02", "set_size": "7.80"}),
        (SPRING, {"value": "30"}),
    ],
)
def test_a_size_that_cannot_be_on_this_part_is_refused_with_the_range_it_lies_in(place, fields):
    fields = {"kind": Kind.SIZE} | fields

    [words] = refused(place, **fields).values()

    assert "cannot be" in words
    assert "lies within" in words


def test_a_size_at_the_end_of_what_is_possible_is_kept():
    lowest, highest = a_part("2.cylinder").characteristics[0].possible_mm

    assert [read(BORE, value=str(size)).size_mm for size in (lowest, highest)] == [lowest, highest]


def test_leaves_are_kept_as_a_pair_and_one_alone_as_goes():
    pair, alone = read(kind=Kind.PAIR, goes="0.45", does_not_go="0,50"), read(kind=Kind.PAIR, goes="0.45")

    assert (pair.kind, pair.written) == (Kind.PAIR, "goes 0.45 mm, does not go 0,50 mm")
    assert (alone.kind, alone.does_not_go) == (Kind.GOES, None)


@pytest.mark.parametrize("stops", ["0.45", "0.40"])
def test_leaves_the_wrong_way_round_are_refused(stops):
    assert "thicker" in refused(kind=Kind.PAIR, goes="0.45", does_not_go=stops)["does_not_go"]


@pytest.mark.parametrize(("deviation", "size"), [("-0.01", "77.99"), ("+0,03", "78.03"), ("0.02", "78.02")])
def test_a_dial_is_read_with_its_sign_from_the_size_it_was_set_to(deviation, size):
    reading = read(BORE, Kind.DIAL, value=deviation, set_size="78.00")

    assert (reading.kind, reading.size_mm) == (Kind.DIAL, Decimal(size))


def test_a_dial_whose_both_fields_are_wrong_says_so_at_both():
    assert set(refused(BORE, Kind.DIAL, value="x", set_size="")) == {"value", "set_size"}


@pytest.mark.parametrize(
    ("place", "kinds"),
    [
        (GAP, {Kind.SIZE, Kind.PAIR, Kind.GOES, Kind.CANNOT}),
        (BORE, {Kind.SIZE, Kind.DIAL, Kind.CANNOT}),
        (LIFT, {Kind.SIZE, Kind.CANNOT}),
    ],
)
def test_each_characteristic_takes_the_kinds_of_entry_its_gauge_can_give(place, kinds):
    _, characteristic = find_place(an_overhaul(), place)

    assert set(kinds_of(characteristic)) == kinds
    for kind in set(Kind) - kinds:
        assert set(refused(place, kind, value="1", goes="1", set_size="1", findings=("sound",))) == {"kind"}


@pytest.mark.parametrize("kind", ["", "guess", "SIZE"])
def test_a_kind_that_does_not_exist_is_refused(kind):
    assert "closed gap is taken by feeler".casefold() in refused(kind=kind, value="0.70")["kind"].casefold()


def test_what_was_seen_is_kept_once_each_with_its_note():
    reading = read(SIGHT, Kind.SEEN, findings=("seat-marked", "spring-tired", "seat-marked"), reason=" light ")

    assert (reading.kind, reading.findings, reading.reason) == (Kind.SEEN, ("seat-marked", "spring-tired"), "light")


@pytest.mark.parametrize(
    ("findings", "words"),
    [((), "Choose what is seen"), (("reed-bent",), "Choose what is seen"), (("sound", "x"), "Choose what is seen"),
     (("sound", "plate-marked"), "contradict each other")],
)  # fmt: skip
def test_nothing_seen_what_cannot_be_on_this_part_and_sound_with_a_fault_are_refused(findings, words):
    assert words in refused(SIGHT, Kind.SEEN, findings=findings)["findings"]


def test_a_size_is_no_sight():
    assert set(refused(SIGHT, Kind.SIZE, value="1.50")) == {"findings"}


def test_a_note_that_is_too_long_is_refused():
    assert set(refused(SIGHT, Kind.SEEN, findings=("sound",), reason="x" * 501)) == {"reason"}


@pytest.mark.parametrize("reason", ["", "  ", "no", "x" * 501])
def test_cannot_gauge_needs_its_reason(reason):
    assert set(refused(kind=Kind.CANNOT, reason=reason)) == {"reason"}
    assert set(refused(SIGHT, Kind.CANNOT, reason=reason)) == {"reason"}


def test_cannot_gauge_is_kept_with_its_reason_anywhere():
    for place in (GAP, BORE, SIGHT):
        assert read(place, Kind.CANNOT, reason=" The gauge does not enter. ").reason == "The gauge does not enter."


@pytest.mark.parametrize(
    ("text", "degrees"), [("24", "24"), ("-5,5", "-5.5"), ("-20", "-20"), ("120", "120"), ("", None)]
)
def test_the_parts_temperature_is_read_with_its_sign(text, degrees):
    assert read(value="0.70", temperature=text).temperature_c == (Decimal(degrees) if degrees else None)


@pytest.mark.parametrize("text", ["-20.1", "120.1", "warm", "24 °C", "1e3"])
def test_a_temperature_no_part_is_gauged_at_is_refused(text):
    assert set(refused(value="0.70", temperature=text)) == {"temperature"}


@pytest.mark.parametrize("field", ["instrument", "measured_by"])
def test_a_name_that_is_too_long_is_refused(field):
    assert read(value="0.70", **{field: "x" * 60})
    assert refused(value="0.70", **{field: "x" * 61}) == {field: "At most 60 characters."}


def test_who_measured_and_who_entered_are_kept_apart():
    copied, own = read(value="0.70", measured_by=" R. Osk "), read(value="0.70")

    assert (copied.measured_by, copied.entered_by) == ("R. Osk", "M. Tarrow")
    assert (own.measured_by, own.measured_at, own.stored_at) == ("M. Tarrow", NOW, NOW)


@pytest.mark.parametrize(("minutes", "is_kept"), [(-60, True), (10, True), (11, False)])
def test_a_time_of_measuring_in_the_future_is_refused_but_for_a_little_slack_of_clocks(minutes, is_kept):
    moment = NOW + timedelta(minutes=minutes)

    if is_kept:
        assert read(value="0.70", measured_at=moment).measured_at == moment
    else:
        assert set(refused(value="0.70", measured_at=moment)) == {"measured_at"}


def test_every_wrong_field_is_named_at_once():
    wrong = refused(kind=Kind.PAIR, goes="x", does_not_go="y", temperature="z", instrument="i" * 61)

    assert set(wrong) == {"goes", "does_not_go", "temperature", "instrument"}


@pytest.mark.parametrize(
    "place",
    [
        a_place("9.ring-1", "closed-gap", "worst place"),
        a_place("1.ring-1", "closed-gap", "worst place"),  # another stage than the one opened
        a_place("2.ring-1", "closed-gap"),
        a_place("2.ring-1", "closed-gap", "worst place", "along the pin"),
        a_place("2.ring-1", "lift"),
        a_place("2.ring-1", SEEN, "worst place"),
        a_place("x" * 10_000, SEEN),
    ],
)
def test_a_place_that_this_overhaul_does_not_have_is_not_there(place):
    with pytest.raises(NotThere) as refusal:
        read(place, value="0.70")

    assert len(str(refusal.value)) < 120


def test_an_inch_sheet_takes_inches_and_words_its_range_in_inches():
    possible_mm = Decimal("68.58"), Decimal("83.82")
    bore = replace(a_part("2.cylinder").characteristics[0], unit=LengthUnit.INCH, decimals=4, possible_mm=possible_mm)
    overhaul = an_overhaul(sheet=a_sheet_with(replace(a_part("2.cylinder"), characteristics=(bore,))))

    assert read_entry(overhaul, typed(BORE, value="3.0004"), "M. Tarrow", NOW).size_mm == Decimal("76.21016")
    with pytest.raises(InputRefused, match=r"1\.5000 in cannot be: Bore lies within 2\.7000 to 3\.3000 in"):
        read_entry(overhaul, typed(BORE, value="1.5"), "M. Tarrow", NOW)


@pytest.mark.parametrize(("is_look", "where"), [(False, "readings"), (True, "looks")])
def test_an_entry_joins_the_readings_and_a_second_look_stands_beside_them(is_look, where):
    reading = replace(read(value="0.62"), is_second_look=is_look)

    before = an_overhaul()
    after = with_entry(before, reading)

    assert getattr(after, where) == (*getattr(before, where), reading)
    assert len(after.readings) + len(after.looks) == len(before.readings) + len(before.looks) + 1


def test_what_is_carried_over_from_entry_to_entry_is_what_all_entries_give() -> None:
    gap = read(GAP, value="0.60")
    again = replace(gap, id="again", supersedes=gap.id, value=gap.value)
    fitted = replace(gap, id="fitted", occasion=Occasion.AS_FITTED)
    back = replace(again, id="back", kind=Kind.TAKEN_BACK, value=None, supersedes="again")
    look = replace(gap, id="look", entered_by="I. Brandreth", is_second_look=True)
    one_by_one, entries = an_overhaul(), (gap, read(SIGHT, Kind.SEEN, findings=("sound",)), again, fitted, back, look)

    for at, entry in enumerate(entries, 1):
        assert one_by_one.missing  # so that it is there to be carried over
        one_by_one = with_entry(one_by_one, entry)
        at_once = an_overhaul(*(each for each in entries[:at] if not each.is_second_look))
        at_once = replace(at_once, looks=tuple(each for each in entries[:at] if each.is_second_look))

        assert one_by_one == at_once
        assert list(one_by_one.missing) == list(at_once.missing)
        assert one_by_one.parts == at_once.parts
        for occasion in Occasion:
            assert one_by_one.standing(occasion) == at_once.standing(occasion)
            assert list(one_by_one.standing(occasion)) == list(at_once.standing(occasion))
