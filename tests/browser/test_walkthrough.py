"""The newcomer's guide, performed as it is written: from an empty book to a reading judged on one's own machine."""

import time
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.chromium import Tablet, a_server
from tests.walkthrough import PICTURES, bold_words, perform, steps

pytestmark = pytest.mark.browser
TEN_MINUTES_S = 600
SECONDS_A_TAP, SECONDS_A_FIELD = 4, 8  # a slow hand that looks each figure up


def test_every_bold_word_of_the_guide_is_a_step() -> None:
    performed = [step for step in steps() if step.kind != "picture"]

    assert len(performed) == bold_words() > 50


def test_every_picture_of_the_guide_is_there_and_no_other() -> None:
    named = {f"{step.words}.png" for step in steps() if step.kind == "picture"}

    assert {path.name for path in PICTURES.iterdir()} == named


def test_guide_works_as_it_is_written_and_within_ten_minutes(browser: Browser, tmp_path: Path) -> None:
    with a_server(tmp_path) as address:
        tablet = Tablet(browser, address, "large", "day")
        begun = time.perf_counter()

        done = list(perform(tablet.open("/")))

        machine_s = time.perf_counter() - begun
        tablet.close()

    taps, fields = (sum(step.kind == kind for step in done) for kind in ("tap", "fill"))
    assert len(done) == len(steps())
    assert taps * SECONDS_A_TAP + fields * SECONDS_A_FIELD + machine_s < TEN_MINUTES_S
