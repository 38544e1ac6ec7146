"""Tests of what a document prints for signs that its letters lack."""

import unicodedata

import pytest

from app.reports.printable import ORDINARY, breakable, printable, written_out


@pytest.mark.parametrize("text", ["0,70 mm", "⌀ 140.00", "Größe ± 5 °C", "Ωμέγα", "Кольцо", "שלום", "مرحبا", "a\nb"])
def test_text_that_the_letters_cover_stays_as_it_is(text: str) -> None:
    assert written_out(text) == text


@pytest.mark.parametrize(
    ("sign", "written"),
    [("漢", "[U+6F22]"), ("\u202e", "[U+202E]"), ("\x07", "[U+0007]"), ("\ufeff", "[U+FEFF]"), ("\ue000", "[U+E000]"),
     ("\u00ad", "[U+00AD]"), ("\u200b", "[U+200B]")],
)  # fmt: skip
def test_sign_that_cannot_be_seen_or_set_is_written_by_its_number(sign: str, written: str) -> None:
    assert written_out(f"a{sign}b") == f"a{written}b"


def test_what_is_taken_for_ordinary_is_covered_and_can_be_seen() -> None:
    signs = [chr(number) for number in range(0x2500) if ORDINARY.fullmatch(chr(number)) and chr(number) != "\n"]

    assert len(signs) > 300
    assert [sign for sign in signs if written_out(f"{sign}漢") != f"{sign}[U+6F22]"] == []
    assert [sign for sign in signs if unicodedata.category(sign).startswith("C")] == []


def test_word_longer_than_a_column_may_break_and_loses_no_letter() -> None:
    long = "".join(map(str, range(200)))

    broken = breakable(f"see {long} there")

    assert max(map(len, broken.split("\u200b"))) <= 24
    assert broken.replace("\u200b", "") == f"see {long} there"


def test_drawings_and_digests_are_not_broken() -> None:
    assert printable({"svg": "M" * 60, "digest": "a" * 64}) == {"svg": "M" * 60, "digest": "a" * 64}
