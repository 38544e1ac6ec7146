"""The bands in the page and the script that looks figures up in them say what the book says, word for word."""

import json
import re
from collections import Counter
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import replace
from decimal import Decimal
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from app.web.gauge_round import begin_round
from tests.browser.generated import SHEETS, Spot, spots, words
from tests.house.source import ROOT

pytestmark = pytest.mark.browser
SEED = 20261127
READINGS = 10_000
NUMBER = re.compile(r"\d+\.\d+")
MOST_BYTES = 6_500
SCRIPTS = [ROOT / "static" / "js" / name for name in ("figures.js", "bands.js")]
SAY = "([laid, typed]) => typed.map((each) => bands.say(laid, {is_leaf: false, ...each}))"


@pytest.fixture(scope="module")
def blank(browser: Browser) -> Iterator[Page]:
    """An empty page with the two scripts."""
    page = browser.new_page()
    for script in SCRIPTS:
        page.add_script_tag(content=script.read_text(encoding="utf-8"))
    yield page
    page.close()


@pytest.fixture(scope="module")
def all_spots() -> list[Spot]:
    """Every place with its bands."""
    return list(spots(SEED))


def is_left_to_the_book(spot: Spot, typed: dict[str, str]) -> bool:
    """Whether the script says nothing on purpose: a stack of leaves whose errors count one by one."""
    return bool(spot.laid.get("single")) and "+" in typed["goes"] + typed["does_not_go"]


def differences(page: Page, spot: Spot, laid: Any, entries: list[dict[str, str]], would_be: Any) -> list[str]:
    """Say at which entries the script says anything else than the book."""
    found = []
    for typed, said in zip(entries, page.evaluate(SAY, [laid, entries]), strict=True):
        reading = None if is_left_to_the_book(spot, typed) else spot.reading(typed)
        expected = spot.said(would_be(reading), reading) if reading else None
        if not is_alike(said, expected, is_rounded=spot.characteristic.is_read_in_both):
            found.append(f"{spot.place} {typed}: page {said}, book {expected}")
    return found


def is_alike(said: dict[str, Any] | None, expected: Any, *, is_rounded: bool) -> bool:
    """Whether both say the same, or both nothing."""
    if said is None or expected is None:
        return said is expected
    verdict, renews, lines = expected
    if (said["verdict"], said["renews"]) != (verdict, renews):
        return False
    if is_word_for_word(said["lines"], lines) or is_more_reasons(said["lines"], lines):
        return True
    return is_rounded and is_word_for_word(to_millionths(said["lines"]), to_millionths(lines))


def is_word_for_word(page: list[list[str]], book: list[list[str]]) -> bool:
    """Whether the sentences are the same; a number that the page cannot form stands as an ellipsis in it."""
    patterns = [(role, re.escape(text).replace("…", r"-?[\d.]+")) for role, text in page]
    pairs = zip(patterns, book, strict=False)
    return len(page) == len(book) and all(p[0] == b[0] and re.fullmatch(p[1], b[1]) for p, b in pairs)


def to_millionths(lines: list[list[str]]) -> list[list[str]]:
    """The same sentences with no number finer than the page counts: an inch that does not end is rounded in it."""
    return [
        [role, NUMBER.sub(lambda found: f"{round(Decimal(found[0]), 6).normalize():f}", text)] for role, text in lines
    ]


def is_more_reasons(page: list[list[str]], book: list[list[str]]) -> bool:
    """Whether leaves between two limits have both reasons where the book leads with the nearer, and no more."""
    mine, its = ([tuple(line) for line in lines if line[0] == "reason"] for lines in (page, book))
    others = [line for line in page if line[0] != "reason"]
    return len(mine) == len(its) + 1 and set(its) < set(mine) and all(line in book for line in others)


def test_page_and_book_say_the_same_of_ten_thousand_generated_readings(blank: Page, all_spots: list[Spot]) -> None:
    chance, each = Random(SEED), -(-READINGS // len(all_spots))
    found: list[str] = []
    verdicts: Counter[str] = Counter()

    for spot in all_spots:
        entries = [words(spot, chance) for _ in range(each)]
        would_be = spot.round.would_be(spot.part.ref)
        found += differences(blank, spot, spot.laid, entries, would_be)
        verdicts.update(said["verdict"] if said else "" for said in blank.evaluate(SAY, [spot.laid, entries]))

    assert found == []
    assert verdicts.total() >= READINGS
    assert {"reuse", "rework", "renew", "undecided", "notgauged"} < set(verdicts)
    assert verdicts[""] < READINGS / 5


def test_what_bands_are_asked_of_is_the_whole_round_judged_again(all_spots: list[Spot]) -> None:
    chance = Random(SEED)
    found = []

    for spot in all_spots:
        reading = next(r for r in (spot.reading(words(spot, chance)) for _ in range(50)) if r)
        overhaul = spot.round.overhaul
        whole = begin_round(replace(overhaul, readings=(*overhaul.readings, reading)), spot.round.occasion)
        if whole.verdict(spot.part.ref) != spot.round.would_be(spot.part.ref)(reading):
            found.append(spot.place)

    assert found == []


def test_bands_are_laid_at_every_place_of_every_sheet(all_spots: list[Spot]) -> None:
    laid = {spot.round.overhaul.sheet.title for spot in all_spots if spot.laid}

    assert len(laid) == len(SHEETS)
    assert [spot.place for spot in all_spots if not spot.laid] == []


def test_a_band_that_begins_one_last_decimal_late_is_caught(blank: Page, all_spots: list[Spot]) -> None:
    spot = next(s for s in all_spots if len(s.laid.get("sizes", [])) > 2)
    chance = Random(SEED)
    entries = [words(spot, chance) for _ in range(200)]
    shifted: Any = deepcopy(spot.laid)
    shifted["sizes"][1][0] += 10 ** (6 - spot.characteristic.decimals)

    found = differences(blank, spot, shifted, entries, spot.round.would_be(spot.part.ref))

    assert found != []


def test_the_data_laid_in_a_page_stay_small(all_spots: list[Spot]) -> None:
    largest = max(len(json.dumps(spot.laid)) for spot in all_spots)

    assert largest <= MOST_BYTES
