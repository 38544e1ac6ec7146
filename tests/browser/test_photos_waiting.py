"""Photos without network: they wait in order with the readings, and what the book refuses can be saved as a file."""

from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.browser.chromium import Tablet
from tests.browser.hand import follow, keep, tap_keys
from tests.browser.test_cut_network import GAP, fetched_ahead, forgive, sent
from tests.pictures import a_picture
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser
Bench = Callable[..., Tablet]
HAS_PAGE = """(path) => new Promise((done) => {
  const ask = async () => (await tablet.store.get_page(path)) ? done() : setTimeout(ask, 50);
  ask();
})"""
MOST_BYTES = 20 * 1024 * 1024


def choose(page: Page, name: str, content: bytes, of: str = "") -> None:
    """Choose a file, and what it shows, and keep it."""
    kind = "image/jpeg"
    page.locator("#f-file").set_input_files({"name": name, "mimeType": kind, "buffer": content})
    if of:
        page.get_by_label("What it shows").select_option(label=of)
    page.get_by_role("button", name="Keep the photo").tap()


def test_photo_of_a_reading_that_waits_is_sent_after_it(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("fitter", "upright", "day")
    page = one.open(workshop.url(GAP))
    fetched_ahead(page)
    photos = workshop.url("/photos/2.ring-1")
    page.evaluate(HAS_PAGE, photos)
    one.context.set_offline(True)
    tap_keys(page, "0.70")
    keep(page)

    follow(page, page.locator(f'a[href="{photos}"]'))
    shown = page.locator("[data-unsent]").inner_text()
    choose(page, "worn.jpg", a_picture(), shown)
    expect(page.locator(".photos-unsent li")).to_contain_text("worn.jpg")
    waiting, at_cut = page.locator(".photos-unsent").inner_text(), one.axe()
    expect(page.locator("[data-on-tablet]")).to_contain_text("1 reading and 1 photo kept on this tablet")
    follow(page, page.get_by_role("link", name="Back to ring 1"))
    back_at = page.locator(".gauge-form").get_attribute("data-here")
    one.context.set_offline(False)
    sent(page)

    assert "0.70 mm, not yet sent" in shown
    assert "kept on this tablet, not yet sent" in waiting
    assert at_cut == []
    assert "/gauge/2.ring-1/" in (back_at or "")
    (photo,) = workshop.overhaul.photos
    assert photo.reading == workshop.readings[0].id
    assert page.evaluate("async () => (await tablet.store.list_entries()).some((entry) => entry.file)") is False
    forgive(one)


def test_photo_that_the_book_refuses_stays_and_is_saved_as_a_file(
    bench: Bench, workshop: Workshop, tmp_path: Path
) -> None:
    workshop.safe()
    one = bench("fitter", "large", "engine")
    page = one.open(workshop.url("/photos/2.ring-1"))

    choose(page, "no-picture.jpg", b"these are words")
    expect(page.locator(".error")).to_contain_text("This is no picture")
    choose(page, "large.jpg", b"\xff" * (MOST_BYTES + 1))
    expect(page.locator(".photos-unsent li")).to_have_count(2)
    listed = page.locator(".photos-unsent").inner_text()
    page.goto("/on-this-tablet")
    rows = page.locator("#tablet-entries tbody tr")
    expect(rows).to_have_count(2)
    with page.expect_download() as download:
        rows.filter(has_text="no-picture.jpg").get_by_role("button", name="Save the photo").tap()
    download.value.save_as(tmp_path / "saved.jpg")

    assert "At most 20 MB." in listed
    assert "This is no picture that can be read." in listed
    assert (tmp_path / "saved.jpg").read_bytes() == b"these are words"
    assert workshop.overhaul.photos == ()
    assert one.axe() == []


def test_photo_kept_after_the_machine_went_back_stays_with_the_reason(bench: Bench, workshop: Workshop) -> None:
    workshop.safe()
    one = bench("fitter", "small", "day")
    page = one.open(workshop.url("/photos/2.ring-1"))
    one.context.set_offline(True)
    choose(page, "late.jpg", a_picture())
    expect(page.locator(".photos-unsent li")).to_have_count(1)
    workshop.returned()

    one.context.set_offline(False)
    sent(page)

    expect(page.locator(".photos-unsent li")).to_contain_text("The machine is signed back into service")
    assert workshop.overhaul.photos == ()
    forgive(one)
