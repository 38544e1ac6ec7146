"""A newcomer builds the whole sheet of a two-stage machine by forms alone, and opens an overhaul with it."""

import time
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.browser.chromium import Tablet, a_server
from tests.browser.hand import follow
from tests.browser.test_walkthrough import SECONDS_A_FIELD, SECONDS_A_TAP
from tests.walkthrough import Step, perform

pytestmark = pytest.mark.browser
WHOLE = "0 to fill in, 0 to put right"
A_QUARTER_HOUR_S = 900
HEAD = {"Joint": "Cylinder head", "Nuts": "6", "Final torque": "95"}


class Hand:
    """Somebody who types and taps, and whose taps and fields are counted."""

    def __init__(self, page: Page) -> None:
        self.page, self.taps, self.fields = page, 0, 0

    def type(self, **labels: str) -> None:
        """Type into fields by their labels, in the last form of that name on the page."""
        for label, words in labels.items():
            self.page.get_by_label(label.replace("_", " "), exact=False).locator("visible=true").last.fill(words)
            self.fields += 1

    def choose(self, label: str, option: str) -> None:
        """Choose one of a list."""
        self.page.get_by_label(label, exact=True).locator("visible=true").last.select_option(option)
        self.taps += 2

    def go(self, words: str) -> None:
        """Tap what bears these words, and wait for the page it leads to."""
        named = self.page.get_by_role("button", name=words).or_(self.page.get_by_role("link", name=words))
        follow(self.page, named.locator("visible=true").first)
        self.taps += 1

    def unfold(self, words: str) -> None:
        """Unfold what bears these words."""
        self.page.locator("summary", has_text=words).first.tap()
        self.taps += 1


def close_stage(hand: Hand, number: int) -> None:
    """Type the head's joint and the gauge of a stage, while the nuts are drawn beside."""
    hand.go(f"Stage {number}")
    hand.go("Closing this stage")
    hand.type(**{label.replace(" ", "_"): words for label, words in HEAD.items()})
    hand.choose("Its unit", "N.m")
    hand.choose("Thread", "oiled")
    hand.page.locator("#closed", has_text="6 nuts crosswise, to 95 N.m, oiled").wait_for()
    hand.go(f"Keep, back to stage {number}")


def take_joints_over(hand: Hand) -> None:
    """Close stage 2 as stage 1 is."""
    hand.go("Closing this stage")
    hand.go("Take the joints of stage 1 over")
    hand.page.locator("#closed", has_text="6 nuts crosswise, to 95 N.m, oiled").wait_for()
    hand.go("Keep, back to stage 2")


def more_of_stage_1(hand: Hand) -> None:
    """Type an oversize of the cylinder, and a clearance that is worked out."""
    hand.go("Cylinder")
    hand.unfold("Add the first oversize")
    hand.type(The_bore_is_made_to="120.50")
    hand.unfold("Work out a clearance")
    hand.type(Name_of_the_clearance="Piston clearance")
    hand.choose("The larger size", "cylinder.bore")
    hand.choose("The smaller size in it", "piston.skirt")
    hand.go("Keep, back to stage 1")
    hand.page.get_by_label("Cylinder, piston clearance, at most").fill("0.45")
    hand.fields += 1
    hand.go("Keep, go to stage 2")


def upkeep(hand: Hand) -> None:
    """Type one more task with a reading, the instrument that gauges bores, and what the machine is proved against."""
    hand.go("Tasks")
    hand.type(Name="Oil change", Every="1000")
    hand.go("Add this task")
    hand.type(What_is_recorded="Oil filled")
    hand.choose("It is", "amount")
    hand.page.locator("[id='f-item/new/unit']").fill("l")
    hand.fields += 1
    hand.go("Keep, back to the tasks")
    hand.go("Instruments")
    hand.choose("Method", "bore gauge")
    hand.type(Resolution="0.01", Permissible_error="0.01")
    hand.go("Keep these instruments")
    hand.go("Proving")
    hand.choose("Unit of pressures", "bar")
    hand.type(Rated_speed="900", Rated_free_air="1.2")
    hand.go("Keep these figures")
    hand.go("Checks")


def test_whole_sheet_is_built_by_forms_alone_used_and_an_overhaul_opened_with_it(
    browser: Browser, tmp_path: Path
) -> None:
    with a_server(tmp_path) as address:
        tablet = Tablet(browser, address, "upright", "day")
        page, begun = tablet.open("/"), time.perf_counter()
        hand, done, checked, faults = Hand(page), list[Step](), "", [""]

        for step in perform(page):
            done.append(step)
            if step.words == WHOLE:
                close_stage(hand, 1)
                more_of_stage_1(hand)
                take_joints_over(hand)
                upkeep(hand)
                checked, faults = page.locator("main").inner_text(), tablet.axe()
        machine_s = time.perf_counter() - begun
        due = tablet.open("/due").locator("main").inner_text()
        tablet.close()

    taps, fields = hand.taps + sum(s.kind == "tap" for s in done), hand.fields + sum(s.kind == "fill" for s in done)
    assert faults == []
    assert all(task in checked and task in due for task in ("Oil level", "Oil change"))
    assert done[-1].words == "Keep"
    assert taps * SECONDS_A_TAP + fields * SECONDS_A_FIELD + machine_s < A_QUARTER_HOUR_S
