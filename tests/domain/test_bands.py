"""Bands of the verdict: asked of the judging code, halved where answers differ, proven before they are laid."""

from decimal import Decimal

import pytest

from app.domain.bands import Band, BandsUnclear, Formed, InInches, InMm, Line, Said, find_bands, millionths, within
from app.domain.reasons import size
from app.domain.units import LengthUnit, to_mm
from app.domain.verdicts import Verdict
from tests.domain.builders import a_gap

LIMIT = 650_000
ENDS = (0, 2_000_000)


def of(verdict: Verdict, *texts: str) -> Said:
    """What is said: a verdict with its reasons."""
    return Said(verdict, "", tuple(("reason", text) for text in texts))


def shown(n: int) -> str:
    """A figure as sentences show it."""
    return f"{Decimal(n) / 10**6:.2f}" if n % 10_000 == 0 else f"{(Decimal(n) / 10**6).normalize():f}"


def simple(n: int) -> Said:
    """A size against an upper limit of 0.65."""
    if n == LIMIT:
        return of(Verdict.REUSE, f"{shown(n)} mm is on the limit 0.65 mm.")
    word, verdict = ("over", Verdict.RENEW) if n > LIMIT else ("within", Verdict.REUSE)
    return of(verdict, f"{shown(n)} mm is {word} the limit 0.65 mm.")


def test_a_limit_parts_three_bands_and_its_figure_is_formed_in_each():
    bands = find_bands(simple, [LIMIT], ENDS, 2)

    assert [(band.start, band.verdict) for band in bands] == [
        (0, Verdict.REUSE), (LIMIT, Verdict.REUSE), (LIMIT + 1, Verdict.RENEW),
    ]  # fmt: skip
    assert bands[0].lines == (Line("reason", ("", " mm is within the limit ", " mm."), (Formed(1, 0), "0.65")),)
    assert bands[1].lines[0].numbers == ("0.65", "0.65")


def test_a_turn_that_no_mark_names_is_found_by_halving():
    bands = find_bands(lambda n: of(Verdict.RENEW if n > 1_234_567 else Verdict.REUSE), [LIMIT], ENDS, 2)

    assert [band.start for band in bands] == [0, 1_234_568]


def test_marks_at_which_nothing_turns_part_no_bands():
    bands = find_bands(lambda n: of(Verdict.REUSE, f"{shown(n)} mm."), [100_000, 200_000, 9_000_000], ENDS, 2)

    assert len(bands) == 1


def test_a_difference_that_falls_while_the_figure_grows_is_formed():
    bands = find_bands(lambda n: of(Verdict.REUSE, f"Taper {shown(ENDS[1] - n)} mm."), [], ENDS, 2)

    assert bands[0].lines[0].numbers == (Formed(-1, ENDS[1]),)


def test_a_difference_that_only_counts_beyond_a_reading_turns_there():
    bands = find_bands(lambda n: of(Verdict.REUSE, f"Wear {shown(max(n, 500_000))} mm."), [500_000], ENDS, 2)

    assert [(band.start, band.lines[0].numbers) for band in bands] == [(0, ("0.50",)), (500_001, (Formed(1, 0),))]


def test_a_number_that_does_not_go_with_the_figure_is_not_formed():
    bands = find_bands(lambda n: of(Verdict.REUSE, f"At 20 °C {shown(n // 2)} mm."), [], ENDS, 2)

    assert bands[0].lines[0].numbers == ("20", None)


@pytest.mark.parametrize(("unit", "decimals"), [(LengthUnit.MM, 2), (LengthUnit.INCH, 4)])
def test_what_stands_beside_a_figure_in_the_other_unit_is_formed_too(unit, decimals):
    gap = a_gap(unit=unit, decimals=decimals, is_read_in_both=True)
    bands = find_bands(
        lambda n: of(Verdict.REUSE, f"Wear {size(to_mm(Decimal(n) / 10**6, unit), gap)}."), [], ENDS, decimals
    )

    beside = {LengthUnit.MM: InInches(1, 0, 4), LengthUnit.INCH: InMm(1, 0)}[unit]
    assert [band.lines[0].numbers for band in bands] == [(Formed(1, 0), beside)]
    assert [number.written(700_000, decimals) for number in bands[0].lines[0].numbers] == {
        LengthUnit.MM: ["0.70", "0.0276"], LengthUnit.INCH: ["0.7000", "17.78"],
    }[unit]  # fmt: skip


def test_a_number_in_brackets_that_is_not_the_one_before_in_the_other_unit_is_not_formed():
    bands = find_bands(lambda n: of(Verdict.REUSE, f"{shown(n)} mm ({shown(n)} in)."), [], ENDS, 2)

    assert bands[0].lines[0].numbers == (Formed(1, 0), None)


def test_a_figure_between_two_millionths_is_not_formed():
    bands = find_bands(lambda n: of(Verdict.REUSE, f"{Decimal(2 * n + 1) / 2_000_000:.7f}"), [], ENDS, 2)

    assert bands[0].lines[0].numbers == (None,)


def test_something_else_in_the_middle_of_a_band_lays_none():
    odd = sum(ENDS) // 2

    with pytest.raises(BandsUnclear, match="than on both sides"):
        find_bands(lambda n: of(Verdict.RENEW if n == odd else Verdict.REUSE), [], ENDS, 2)


def test_a_number_among_the_words_is_no_other_sentence():
    bands = find_bands(lambda n: of(Verdict.REUSE, "Sheet QM-31." if n < LIMIT else "Sheet QM-32."), [], (0, 10), 2)

    assert bands[0].lines[0].numbers == ("-31",)


@pytest.mark.parametrize(
    "said",
    [of(Verdict.RENEW, "0.10 mm."), Said(Verdict.REUSE, "part", (("reason", "0.10 mm."),)), of(Verdict.REUSE),
     Said(Verdict.REUSE, "", (("leaf", "0.10 mm."),)), of(Verdict.REUSE, "0.10 in."), of(Verdict.REUSE, "0.11 mm.")],
)  # fmt: skip
def test_a_band_fits_only_what_it_says_itself(said):
    band = Band(0, Verdict.REUSE, "", (Line("reason", ("", " mm."), (Formed(1, 0),)),))

    assert band.fits(of(Verdict.REUSE, "0.10 mm."), 100_000, 2)
    assert not band.fits(said, 100_000, 2)


def test_inches_are_counted_in_millionths_of_an_inch_and_ends_lie_within():
    assert millionths(Decimal("0.4572"), LengthUnit.INCH) == 18_000
    assert within((Decimal("1"), Decimal("25.4")), LengthUnit.INCH) == (39_371, 1_000_000)
