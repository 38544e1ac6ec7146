"""The auditor reads everything, is offered nothing that writes, and is refused where a form is forged."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

from tests.browser.chromium import Tablet
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]
# Pages of an overhaul, of a machine and of the office, on the demonstration.
OF_AN_OVERHAUL = ("/gauge/2.ring-1/closed-gap", "/gauged", "/decide", "/safe", "/box-up", "/prove", "/record", "/blank")
OF_THE_BOOK = (
    "/", "/machines/GA-1", "/machines/GA-1/history",
    "/machines/GA-1/history?part=2.cylinder&characteristic=bore", "/sheets", "/sheets/QM-GA/C", "/people",
)  # fmt: skip
FORGE = """async ([url, csrf]) => {
  const body = new URLSearchParams({csrf, step: "permit", "value-permit": "1"});
  return (await fetch(url, {method: "POST", body, redirect: "manual"})).status;
}"""


def ways_of_writing(page: Page) -> list[str]:
    """Name every form of a page that posts, but for the one that signs out, and every Keep and key."""
    posts = page.locator('form[method="post"]:not([action="/sign-out"]):visible :is(button, input:not([type=hidden]))')
    return (
        posts.evaluate_all("found => found.map(one => one.textContent || one.name)")
        + page.locator("[data-keep]:visible").all_inner_texts()
    )


def test_auditor_reads_the_book_and_is_offered_nothing_that_writes(tablet: Bench) -> None:
    one = tablet("large", "engine")
    one.sign_in("auditor")

    found = {}
    for path in OF_THE_BOOK:
        page = one.open(path)
        found[path] = ways_of_writing(page) + one.axe() + [str(one.overflow())] * bool(one.overflow())

    assert {path: wrong for path, wrong in found.items() if wrong} == {}


@pytest.mark.parametrize(
    ("machine", "size", "light", "asks_axe"), [("GA-1", "small", "day", False), ("GA-2", "upright", "engine", True)]
)
def test_auditor_reads_every_page_of_an_overhaul(
    tablet: Bench, machine: str, size: str, light: str, asks_axe: bool
) -> None:
    one = tablet(size, light)
    page = one.sign_in("auditor")
    page.goto(f"/machines/{machine}")
    base = page.locator("section:has(#records) tbody th a").first.get_attribute("href")

    found = {}
    for path in OF_AN_OVERHAUL:
        page = one.open(f"{base}{path}")
        found[path] = ways_of_writing(page) + (one.axe() if asks_axe else [])

    assert {path: wrong for path, wrong in found.items() if wrong} == {}


def test_forged_form_of_an_auditor_is_refused_and_writes_nothing(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("auditor", "large", "day")
    page = one.open(workshop.url("/gauge/2.ring-1/closed-gap"))
    csrf = page.locator('form[action="/sign-out"] [name=csrf]').get_attribute("value")

    targets = [workshop.url(path) for path in ("/readings", "/safe", "/decisions", "/fittings/2.ring-set")]
    targets += ["/people", "/machines/new", "/machines/GA-1/hours", "/machines/GA-1/open", "/sheets/import"]
    answers = {path: page.evaluate(FORGE, [path, csrf]) for path in targets}

    assert {path: status for path, status in answers.items() if status != 403} == {}
    assert workshop.readings == ()


def test_foot_of_a_page_held_upright_holds_its_words(tablet: Bench) -> None:
    one = tablet("upright", "engine")
    one.sign_in("auditor")
    page = one.open("/overhauls/1/gauge/1.suction-valve/seen")

    overfull = "cells => cells.filter(cell => cell.scrollWidth > cell.clientWidth + 1).map(cell => cell.innerText)"

    assert page.locator("footer.title > *").evaluate_all(overfull) == []
