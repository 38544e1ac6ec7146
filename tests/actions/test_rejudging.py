"""Old paper is judged as the pages would judge it, and what cannot be read is listed and never left out in silence."""

from io import StringIO
from pathlib import Path

import pytest

from app.actions.reading_file import COLUMNS
from app.actions.rejudging import rejudge
from app.domain.overhaul_verdicts import judge_overhaul, renewed_object
from app.domain.readings import SEEN
from app.reports.reading_template import write_template
from app.reports.verdict_files import Format
from tests.builders import NOW, a_book
from tests.old_paper import Cells, a_file, a_row, a_sheet, a_table, good_rows, rejudged
from tests.web.workshop import Workshop

GAP = a_row("2.ring-1", "closed-gap", level="worst place", value="0.50")
# Two openings that are good but for these rows: between them every kind of entry, every verdict, a set and its mates.
WORN = [
    GAP | {"value": "0.70"},
    a_row("2.cylinder", "bore", level="mid stroke", axis="across the pin", value="0.17", set_size="78.00"),
    a_row("2.pin", "seen", findings="scored; blued by heat", reason="Dry bush."),
    a_row("2.pin", "diameter", value="0.865", unit="in"),
]
OPEN = [
    GAP | {"value": "", "goes": "0.60", "does_not_go": "0.70"},
    a_row("2.ring-2", "closed-gap", level="worst place", value="0.70"),
    a_row("2.ring-2", "closed-gap", level="worst place", goes="0.60"),
    a_row("2.pin", "diameter", reason="Micrometer was out."),
]


@pytest.mark.parametrize("instead", [WORN, OPEN], ids=["worn", "open"])
def test_verdicts_are_those_that_the_pages_give_for_the_same_readings(tmp_path: Path, instead: list[Cells]) -> None:
    rows = [row for row in good_rows(a_sheet(), 2) if _at(row) not in [_at(one) for one in instead]] + instead
    shop = Workshop(a_book(tmp_path)).safe()
    for row in rows:
        key_in(shop, row)

    run = rejudged(tmp_path, a_table(rows))

    parts = run.openings[0]["parts"]
    pages = judge_overhaul(shop.overhaul)
    shop.book.close()
    assert run.tally.refused_count == 0
    assert [_found(part) for part in parts] == [
        (v.part.ref, v.verdict.word, renewed_object(v), v.set_reason, [p.ref for p in v.waits_for]) for v in pages
    ]
    assert [[(r["reason"], r["source"], r["advice"]) for r in part["reasons"]] for part in parts] == [
        [(judged.reason, judged.source, judged.advice) for judged in verdict.reasons] for verdict in pages
    ]


def _at(row: Cells) -> tuple[str, ...]:
    """Where a row belongs."""
    return tuple(row.get(column, "") for column in ("part", "characteristic", "level", "axis"))


def _found(part: dict[str, object]) -> tuple[object, ...]:
    """What stands in the JSON about a part."""
    return tuple(part[key] for key in ("part", "verdict", "renews", "set_reason", "waits_for"))


def key_in(shop: Workshop, row: Cells) -> None:
    """Key a row of old paper in at its page."""
    part = next(part for part in shop.overhaul.parts if part.ref == row["part"])
    gauged = part.characteristic(row["characteristic"])
    typed = {name: row.get(name, "") for name in ("value", "goes", "does_not_go", "set_size", "unit", "reason")}
    if gauged is None:
        codes = {"scored; blued by heat": ["scored", "blued"]}.get(row["findings"], row["findings"])
        shop.key_in(shop.fitter, f"{part.ref}/{SEEN}", findings=codes, reason=typed["reason"])
        return
    level, axis = gauged.levels.index(row.get("level", "")), gauged.axes.index(row.get("axis", ""))
    filled = {name for name, text in typed.items() if text} - {"unit"}
    how = {"reason": "cannot", "value": "size", "set_size": "dial", "goes": "pair"}[min(filled, key=_told_by)]
    shop.key_in(shop.fitter, f"{part.ref}/{gauged.key}?level={level}&axis={axis}", how=how, **typed)


def _told_by(name: str) -> int:
    """Which field tells the kind of an entry first."""
    return ("reason", "set_size", "goes", "does_not_go", "value").index(name)


def test_template_filled_in_and_judged_gives_a_verdict_for_every_part(tmp_path: Path) -> None:
    sheet, text = a_sheet(), StringIO()
    write_template(sheet, COLUMNS, text)
    good = {_at(row): row for row in good_rows(sheet, 1, 2, 3)}
    heading, *lines = [line.split(",") for line in text.getvalue().splitlines()]

    rows = [dict(zip(heading, line, strict=True)) for line in lines]
    run = rejudged(tmp_path, a_table([row | good[_at(row)] for row in rows]))

    assert (len(rows), run.tally.reading_count, run.tally.refused_count) == (len(good), len(good), 0)
    assert {part["verdict"] for part in run.openings[0]["parts"]} == {"REUSE"}
    assert len(run.openings[0]["parts"]) == len(sheet.parts)


def test_template_left_empty_is_no_opening_and_nothing_is_refused(tmp_path: Path) -> None:
    text = StringIO()
    write_template(a_sheet(), COLUMNS, text)

    run = rejudged(tmp_path, text.getvalue())

    assert (run.openings, run.tally.refused_count) == ([], 0)
    assert run.tally.empty_count == len(text.getvalue().splitlines()) - 1


REFUSED = {
    "no opening": (GAP | {"overhaul": ""}, "overhaul", "Name the opening that this row belongs to."),
    "long opening": (GAP | {"overhaul": "x" * 61}, "overhaul", "At most 60 characters."),
    "no hours": (GAP | {"hours": ""}, "hours", "Give the operating hours at this opening, such as 10300."),
    "hours in words": (GAP | {"hours": "many"}, "hours", "This is not one plain number."),
    "too many hours": (GAP | {"hours": "1000001"}, "hours", "More than 1000000 h cannot be."),
    "ambiguous date": (GAP | {"date": "03/04/1999"}, "date", "Give the date as 2026-11-24 or 24.11.2026."),
    "date that is none": (GAP | {"date": "31.02.1999"}, "date", "Give the date as 2026-11-24 or 24.11.2026."),
    "date to come": (GAP | {"date": "2099-01-01"}, "date", "This lies in the future."),
    "no part": (GAP | {"part": ""}, "part", "Name the part, such as 1.suction-valve."),
    "misspelt part": (GAP | {"part": "2.rnig-1"}, "part", "no part “2.rnig-1”; perhaps “2.ring-1” is meant."),
    "part of several stages": (GAP | {"part": "Ring 1"}, "part", "write 1.ring-1 or 2.ring-1 or 3.ring-1."),
    "no characteristic": (GAP | {"characteristic": ""}, "characteristic", "closed-gap or side-clearance or seen."),
    "misspelt characteristic": (GAP | {"characteristic": "closed-gab"}, "characteristic", "“closed-gap” is meant."),
    "wrong level": (GAP | {"level": "middle"}, "level", "Name the level of closed gap: “worst place”."),
    "axis where there is none": (GAP | {"axis": "A"}, "axis", "Closed gap has no axis on the sheet: leave this empty."),
    "no axis": (
        a_row("2.cylinder", "bore", level="mid stroke", value="78.01"), "axis",
        "Name the axis of bore: “along the pin”, “across the pin”.",
    ),
    "level of a condition": (a_row("2.pin", "seen", level="top", findings="sound"), "level", "of the whole part"),
    "kind that is none": (GAP | {"kind": "siez"}, "kind", "There is no kind “siez”; perhaps “size” is meant."),
    "two kinds at once": (GAP | {"goes": "0.50"}, "kind", "These do not go together in one entry: goes, value."),
    "column of another kind": (GAP | {"kind": "size", "goes": "0.5"}, "goes", "does not belong to an entry of"),
    "remark that would be lost": (GAP | {"kind": "size", "reason": "worn"}, "reason", "does not belong to an entry"),
    "kind without its value": (GAP | {"kind": "size", "value": ""}, "value", "Nothing is typed."),
    "unit that is none": (GAP | {"unit": "cm"}, "unit", "“cm” is not a unit of length."),
    "unit behind the number": (GAP | {"value": "0.5 bar"}, "value", "“bar” is not a unit of length."),
    "thousands mark": (GAP | {"value": "1,234.5"}, "value", "This is not one plain number."),
    "impossible size": (GAP | {"value": "1001"}, "value", "cannot be: Closed gap lies within"),
    "leaves the wrong way round": (
        GAP | {"value": "", "goes": "0.55", "does_not_go": "0.50"}, "does_not_go", "must be thicker",
    ),
    "finding that is none": (
        a_row("2.pin", "seen", findings="scord"), "findings", "“scord” is not seen on 2.pin; perhaps “scored”",
    ),
    "sound and a fault": (a_row("2.pin", "seen", findings="sound;scored"), "findings", "contradict each other."),
    "size as a condition": (a_row("2.pin", "seen", value="21.99"), "findings", "Choose what is seen"),
    "condition of a size": (GAP | {"value": "", "findings": "sound"}, "kind", "Choose how it is gauged"),
    "short reason": (GAP | {"value": "", "reason": "no"}, "reason", "Say why it cannot be gauged, in 4 to 500"),
    "occasion that is none": (GAP | {"occasion": "before"}, "occasion", "Write as found or as fitted"),
    "too hot": (GAP | {"temperature": "200"}, "temperature", "A part is gauged between -20 and 120 °C."),
    "long name": (GAP | {"measured_by": "x" * 61}, "measured_by", "At most 60 characters."),
}  # fmt: skip


@pytest.mark.parametrize(("row", "column", "said"), REFUSED.values(), ids=REFUSED.keys())
def test_row_that_cannot_be_believed_is_listed_with_its_line_and_the_others_are_judged(
    tmp_path: Path, row: Cells, column: str, said: str
) -> None:
    good = a_row("3.pin", "seen", findings="sound", overhaul="8")

    run = rejudged(tmp_path, a_table([row, good]))

    listed = run.refused
    assert [(one["line"], one["what"], one["column"]) for one in listed] == [("2", "refused", column)]
    assert said in listed[0]["words"]
    assert listed[0]["typed"] == row.get(column, "")
    assert (run.tally.reading_count, run.tally.refused_count) == (1, 1)
    assert run.openings[-1]["overhaul"] == "8"


def test_row_with_several_faults_names_each_beside_its_column(tmp_path: Path) -> None:
    run = rejudged(tmp_path, a_table([GAP | {"value": "wide", "temperature": "warm"}]))

    assert sorted(one["column"] for one in run.refused) == ["temperature", "value"]
    assert run.tally.refused_count == 1


@pytest.mark.parametrize("name", ["2.ring-1", "2-03", "2 Ring 1", "Stage 2 ring 1", " 2.RING-1 "])
def test_part_is_found_by_reference_item_or_name(tmp_path: Path, name: str) -> None:
    run = rejudged(tmp_path, a_table([GAP | {"part": name}]))

    assert run.tally.refused_count == 0
    assert run.part("2.ring-1")["reasons"]


def test_only_level_of_a_characteristic_may_be_left_out(tmp_path: Path) -> None:
    run = rejudged(tmp_path, a_table([GAP | {"level": ""}]))

    assert run.tally.refused_count == 0


def test_input_is_the_same_whether_dates_are_written_with_dots_or_hyphens(tmp_path: Path) -> None:
    rows = [GAP | {"date": "24.11.1999"}, GAP | {"overhaul": "8", "date": "1999-11-24"}]

    run = rejudged(tmp_path, a_table(rows))

    assert [opening["date"] for opening in run.openings] == ["1999-11-24", "1999-11-24"]


def test_paper_of_today_is_not_of_the_future(tmp_path: Path) -> None:
    path = a_file(tmp_path, a_table([GAP | {"date": NOW.date().isoformat()}]))

    tally = rejudge(a_sheet(), path, tmp_path / "out", Format.JSON, NOW, lambda _: None)

    assert tally.refused_count == 0
