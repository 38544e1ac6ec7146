"""The first day of a book: an empty data folder, the first person, a limit sheet brought in, a machine added."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.chromium import Tablet, a_server
from tests.browser.hand import follow
from tests.builders import PASSWORD, SAMPLES, a_sheet_text

pytestmark = pytest.mark.browser


def test_empty_folder_becomes_a_book_with_a_machine(browser: Browser, tmp_path: Path) -> None:
    with a_server(tmp_path) as address:
        one = Tablet(browser, address, "upright", "engine")

        page = one.open("/")
        begun_at = page.url
        first = one.axe()
        page.get_by_label("Your name").fill("I. Brandreth")
        page.get_by_label("Password", exact=True).fill(PASSWORD)
        page.get_by_label("The same password again").fill(PASSWORD)
        follow(page, page.locator("#next"))
        importing = one.axe()
        page.get_by_label("File of the sheet").set_input_files(SAMPLES / "qm-ga.toml")
        follow(page, page.locator("#next"))
        adding = one.axe()
        for label, words in {
            "Tag": "GA-1", "Serial number": "QM-0141", "What it is": "Governor-air compressor", "Site": "Quillmoor",
            "Hours on the meter": "2000",
        }.items():  # fmt: skip
            page.get_by_label(label).fill(words)
        follow(page, page.locator("#next"))
        machine, reached = one.axe(), page.url
        one.close()

    assert begun_at.endswith("/first-use")
    assert [first, importing, adding, machine] == [[], [], [], []]
    assert reached.endswith("/machines/GA-1")


def test_passwords_that_differ_are_told_beside_the_field_and_nobody_is_added(browser: Browser, tmp_path: Path) -> None:
    with a_server(tmp_path) as address:
        one = Tablet(browser, address, "large", "day")

        page = one.open("/first-use")
        page.get_by_label("Your name").fill("I. Brandreth")
        page.get_by_label("Password", exact=True).fill(PASSWORD)
        page.get_by_label("The same password again").fill("leaf-lamp-and-oak")
        follow(page, page.locator("#next"))
        refused, name = page.locator(".field.bad").inner_text(), page.get_by_label("Your name").input_value()
        page.goto("/")
        still_empty = page.url
        one.close()

    assert "The two passwords differ" in refused
    assert name == "I. Brandreth"
    assert still_empty.endswith("/first-use")


def test_sheet_with_faults_comes_back_with_every_fault_and_its_text(browser: Browser, tmp_path: Path) -> None:
    with a_server(tmp_path) as address:
        one = Tablet(browser, address, "large", "engine")
        page = one.open("/first-use")
        page.get_by_label("Your name").fill("I. Brandreth")
        page.get_by_label("Password", exact=True).fill(PASSWORD)
        page.get_by_label("The same password again").fill(PASSWORD)
        follow(page, page.locator("#next"))

        wrong = a_sheet_text().replace('unit = "mm"', 'unit = "furlong"')
        page.get_by_label("Text of the sheet").fill(wrong)
        follow(page, page.locator("#next"))
        faults = page.locator(".errors tbody tr").all_inner_texts()
        kept = page.get_by_label("Text of the sheet").input_value()
        violations = one.axe()
        one.close()

    assert any("unit" in fault for fault in faults)
    assert kept == wrong
    assert violations == []
