"""Pressures typed as absolute where a gauge is meant: said behind the figure, chosen, or asked about once."""

from dataclasses import replace
from decimal import Decimal

import pytest

from app.domain.errors import InputRefused
from app.domain.limits import LimitSheet
from app.domain.pressure_doubts import pressure_doubts
from app.domain.pressure_words import Counted, counted
from app.domain.running import Figures, read_figures
from app.domain.running_limits import PressureUnit
from app.domain.sheet_file import read_sheet
from tests.builders import a_good_run, a_sheet_text

BAR = PressureUnit.BAR


def a_sheet(without_gauges: bool = False) -> LimitSheet:
    """The three-stage sheet, or the same without what its gauges show."""
    sheet = read_sheet(a_sheet_text())
    if not without_gauges:
        return sheet
    bare = tuple(replace(stage, running=replace(stage.running, gauge=None)) for stage in sheet.stages)  # type: ignore[type-var]
    return replace(sheet, stages=bare)


def read(**other: str) -> Figures:
    """The figures of a good run with these in place of its own."""
    return read_figures(a_good_run(**other), 3, BAR)


def asked(sheet: LimitSheet, baseline: Figures | None = None, **other: str) -> dict[str, str]:
    """What is asked of a run."""
    return pressure_doubts(read(**other), a_good_run(**other), sheet, baseline)


@pytest.mark.parametrize(
    ("typed", "figure", "said"),
    [
        ("3.3 bara", "3.3", Counted.ABSOLUTE), ("3,3 bar(a)", "3,3", Counted.ABSOLUTE),
        ("3.3 bar abs.", "3.3", Counted.ABSOLUTE), ("3.3 BAR ABSOLUTE", "3.3", Counted.ABSOLUTE),
        ("2.3 barg", "2.3", Counted.GAUGE), ("2.3 bar gauge", "2.3", Counted.GAUGE),
        ("2.3", "2.3", None), ("2.3 bar", "2.3 bar", None), ("47 psia", "47 psia", None),
        ("bara", "", Counted.ABSOLUTE),
    ],
)  # fmt: skip
def test_word_behind_a_pressure_says_what_it_is_in_the_unit_of_the_form(
    typed: str, figure: str, said: Counted | None
) -> None:
    assert counted({"gauge-1": typed}, "gauge-1", BAR) == (figure, said)


@pytest.mark.parametrize("typed", [{"gauge-1": "3.313 bara"}, {"gauge-1": "3.313", "gauge-1-is": "absolute"}])
def test_absolute_pressure_counts_from_the_air_around(typed: dict[str, str]) -> None:
    assert read(**typed).stages[0].pressure == Decimal("2.300")


def test_absolute_in_psi_is_taken_at_its_word() -> None:
    typed = {"barometer": "14.7 psia", "gauge-1": "47.7 psia", "gauge-2": "160 psig", "gauge-3": "580"}

    figures = read_figures(a_good_run(**typed), 3, PressureUnit.PSI)

    assert [stage.pressure for stage in figures.stages] == [Decimal("33.0"), Decimal(160), Decimal(580)]


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("gauge-1", "0.9 bara", "less than the air around, 1.013"),
        ("barometer", "1.013 barg", "absolute, in bar: about 1.013"),
        ("gauge-1", "bara", "Nothing is typed"),
        ("gauge-1", "33 psia", "does not belong here"),
    ],
)
def test_absolute_that_cannot_be_is_refused_beside_its_field(field: str, typed: str, words: str) -> None:
    with pytest.raises(InputRefused) as refusal:
        read(**{field: typed})

    assert words in refusal.value.fields[field]


def test_run_in_good_order_is_asked_nothing_by_sheet_baseline_or_estimate() -> None:
    assert asked(a_sheet()) == {}
    assert asked(a_sheet(), read()) == {}
    assert asked(a_sheet(without_gauges=True)) == {}


def test_gauge_one_atmosphere_above_the_sheet_is_asked_about_with_both_figures() -> None:
    found = asked(a_sheet(), **{"gauge-1": "3.31"})

    assert list(found) == ["gauge-1"]
    assert found["gauge-1"].startswith("Gauge or absolute? 3.31 bar is off the sheet, ")
    assert "2.297, without the air around, is not." in found["gauge-1"]


@pytest.mark.parametrize("answer", ["gauge", "absolute"])
def test_what_was_answered_is_not_asked_again(answer: str) -> None:
    others = {f"gauge-{number}-is": "gauge" for number in (2, 3)}

    assert asked(a_sheet(), **{"gauge-1": "3.31", "gauge-1-is": answer}, **others) == {}


def test_baseline_tells_what_the_sheet_leaves_open() -> None:
    wide = asked(a_sheet(without_gauges=True), **{"gauge-2": "12.3"})

    found = asked(a_sheet(without_gauges=True), read(), **{"gauge-2": "12.3"})

    assert "the baseline, 11.3" in found["gauge-2"]
    assert "baseline" not in wide.get("gauge-2", "")


def test_swept_volumes_tell_where_neither_sheet_nor_baseline_does() -> None:
    found = asked(a_sheet(without_gauges=True), **{"gauge-1": "3.3"})

    assert "the estimate by the swept volumes" in found["gauge-1"]


def test_baseline_of_another_unit_or_of_other_stages_tells_nothing() -> None:
    other = replace(read(), unit=PressureUnit.PSI)
    fewer = replace(read(), stages=read().stages[:2])

    for baseline in (other, fewer):
        assert "baseline" not in asked(a_sheet(), baseline, **{"gauge-1": "3.31"})["gauge-1"]


def test_fault_that_is_no_atmosphere_is_not_asked_about() -> None:
    assert asked(a_sheet(), read(), **{"gauge-1": "2.9"}) == {}
    assert asked(a_sheet(), read(), **{"gauge-2": "13.5"}) == {}


def test_one_absolute_gauge_asks_of_those_that_do_not_tell_by_themselves() -> None:
    found = asked(a_sheet(), **{"gauge-1": "3.313 bara", "gauge-3": "41.0"})

    assert "Stage 1 is absolute: say of this one too." in found["gauge-3"]
    assert "gauge-1" not in found


@pytest.mark.parametrize(
    ("typed", "field", "words"),
    [
        ({"start-1": "1.013"}, "start-1", "an empty receiver’s gauge, 0"),
        ({"end-2": "41.013"}, "end-2", "the last stage’s gauge, 40.0"),
    ],
)
def test_receivers_gauge_in_absolute_is_asked_about(typed: dict[str, str], field: str, words: str) -> None:
    assert words in asked(a_sheet(), **typed)[field]
    assert asked(a_sheet(), **typed, **{"receiver-is": "gauge"}) == {}


def test_oil_without_a_figure_or_a_sheet_of_it_is_asked_nothing() -> None:
    sheet = replace(a_sheet(), proving=None)
    figures = replace(read(), oil_pressure=None)

    assert pressure_doubts(figures, a_good_run(), a_sheet(), None) == {}
    assert asked(sheet, oil_pressure="3.5") == {}


def test_question_falls_away_where_no_estimate_can_be_made() -> None:
    sheet = a_sheet(without_gauges=True)
    bare = replace(sheet, stages=tuple(replace(stage, stroke=None, running=None) for stage in sheet.stages))

    assert asked(bare, **{"gauge-1": "3.3"}) == {}
