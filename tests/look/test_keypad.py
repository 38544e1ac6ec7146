"""The keypad on a real page: what keys write, where Enter goes, and what a second tap on Keep must not do."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.look.specimen import render, serve

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    out = tmp_path_factory.mktemp("look")
    render(Path(out))
    server = serve(Path(out))
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    page = browser.new_page(viewport={"width": 1280, "height": 728})
    page.add_init_script(
        "Object.defineProperty(window, 'indexedDB', { value: undefined });"  # the tablet's queue would take the form
        "window.kept = 0;"
        "addEventListener('submit', event => { if (!event.defaultPrevented) kept += 1; event.preventDefault() })"
    )
    yield page
    page.close()


def press(page: Page, *keys: str) -> None:
    for key in keys:
        page.click(f'[data-key="{key}"]')


def value(page: Page, name: str) -> str:
    return page.input_value(f'[name="{name}"]')


def wait_out_the_guard(page: Page) -> None:
    page.wait_for_timeout(650)


def test_keys_write_into_the_current_field(page: Page, address: str) -> None:
    page.goto(f"{address}/gauge.html")

    press(page, "clear", "0", ".", "6", "8")

    assert value(page, "gap") == "0.68"


def test_second_decimal_sign_is_not_written(page: Page, address: str) -> None:
    page.goto(f"{address}/gauge.html")

    press(page, "clear", "0", ".", "6", ".", "8")

    assert value(page, "gap") == "0.68"


def test_decimal_sign_alone_begins_with_a_nought(page: Page, address: str) -> None:
    page.goto(f"{address}/gauge.html")

    press(page, "clear", ".", "7")

    assert value(page, "gap") == "0.7"


def test_comma_typed_on_a_keyboard_stays_and_counts_as_the_decimal_sign(page: Page, address: str) -> None:
    page.goto(f"{address}/gauge.html")

    page.fill('[name="gap"]', "0,6")
    press(page, ".", "5")

    assert value(page, "gap") == "0,65"


def test_back_one_takes_the_last_figure_and_clear_takes_all(page: Page, address: str) -> None:
    page.goto(f"{address}/gauge.html")

    press(page, "back")
    after_back = value(page, "gap")
    press(page, "clear")

    assert after_back == "0.7"
    assert value(page, "gap") == ""


def test_sign_key_turns_the_sign_of_a_signed_field_and_back(page: Page, address: str) -> None:
    page.goto(f"{address}/bore.html")

    press(page, "sign")
    turned = value(page, "r-CT")
    press(page, "sign")

    assert turned == "-78.03"
    assert value(page, "r-CT") == "78.03"


def test_figure_written_into_a_kept_field_is_typed_until_it_is_as_kept_again(page: Page, address: str) -> None:
    page.goto(f"{address}/bore.html")
    page.click('[name="r-AP"]')

    press(page, "7", "8")
    typed = page.get_attribute('[data-read]:has([name="r-AP"])', "class")
    press(page, ".", "0", "9")

    assert "typed" in typed.split()
    assert "kept" in page.get_attribute('[data-read]:has([name="r-AP"])', "class").split()


def test_field_that_becomes_current_is_replaced_by_the_first_key(page: Page, address: str) -> None:
    page.goto(f"{address}/bore.html")

    press(page, "next", "7")

    assert value(page, "r-AP") == "7"


def test_large_figure_repeats_the_current_field(page: Page, address: str) -> None:
    page.goto(f"{address}/bore.html")

    page.click('[name="r-BT"]')

    assert page.inner_text("[data-pad-mirror] b") == "78.07"
    assert "Level B, axis T" in page.inner_text("[data-pad-mirror] .label")


def test_own_keypad_keeps_the_screens_keyboard_away_only_where_it_works(page: Page, address: str) -> None:
    page.goto(f"{address}/gauge.html")

    assert page.get_attribute('[name="gap"]', "inputmode") == "none"


def test_page_without_script_is_a_plain_form(browser: Browser, address: str) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{address}/gauge.html")

    assert page.locator(".pad").is_hidden()
    assert page.get_attribute('[name="gap"]', "inputmode") == "decimal"
    assert page.locator('button[data-keep][type="submit"]').is_visible()
    context.close()


def test_enter_goes_to_the_empty_field_first_and_keeps_when_none_is_empty(page: Page, address: str) -> None:
    page.goto(f"{address}/gauge_pair.html")
    wait_out_the_guard(page)
    page.fill('[name="not"]', "")
    page.fill('[name="goes"]', "0.60")

    page.press('[name="goes"]', "Enter")
    kept_after_first = page.evaluate("kept")
    page.keyboard.type("0.70")
    page.keyboard.press("Enter")

    assert kept_after_first == 0
    assert value(page, "not") == "0.70"
    assert page.evaluate("kept") == 1


def test_second_tap_on_keep_is_not_a_second_reading(page: Page, address: str) -> None:
    page.goto(f"{address}/gauge.html")
    wait_out_the_guard(page)

    page.dblclick("[data-keep]")

    assert page.evaluate("kept") == 1


def test_tap_that_falls_on_the_next_page_just_after_it_opens_keeps_nothing(page: Page, address: str) -> None:
    page.goto(f"{address}/gauge.html")

    page.evaluate("document.querySelector('[data-keep]').click()")

    assert page.evaluate("kept") == 0


def test_keep_works_again_after_the_guard(page: Page, address: str) -> None:
    page.goto(f"{address}/gauge.html")
    wait_out_the_guard(page)

    page.click("[data-keep]")
    wait_out_the_guard(page)
    page.click("[data-keep]")

    assert page.evaluate("kept") == 2


def swap_in(page: Page, selector: str) -> None:
    page.evaluate(
        "selector => htmx.ajax('GET', location.href, {target: selector, swap: 'outerHTML', select: selector})",
        selector,
    )


def test_verdict_that_is_swapped_in_does_not_hold_up_keep(page: Page, address: str) -> None:
    page.goto(f"{address}/gauge.html")
    wait_out_the_guard(page)

    swap_in(page, "#verdict")
    page.click("[data-keep]")

    assert page.evaluate("kept") == 1


def test_keypad_works_on_a_page_part_that_is_swapped_in_and_guards_its_keep(page: Page, address: str) -> None:
    page.goto(f"{address}/gauge.html")
    wait_out_the_guard(page)

    swap_in(page, ".gauge-form")
    page.evaluate("document.querySelector('[data-keep]').click()")
    kept_at_once = page.evaluate("kept")
    press(page, "clear", "5")

    assert kept_at_once == 0
    assert value(page, "gap") == "5"
    assert page.get_attribute('[name="gap"]', "inputmode") == "none"


def test_light_is_remembered_in_a_cookie(page: Page, address: str) -> None:
    page.goto(f"{address}/gauge.html")

    page.click("[data-lamp]")

    assert page.get_attribute("html", "data-room") == "engine"
    assert "room=engine" in page.evaluate("document.cookie")
