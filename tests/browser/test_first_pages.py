"""The sign-in page and the list of machines, on every tablet and in both lights."""

from collections.abc import Callable

import pytest

from tests.browser.chromium import LIGHTS, SIZES, Tablet

pytestmark = pytest.mark.browser
Take = Callable[..., Tablet]


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("size", SIZES)
def test_sign_in_page_is_usable_on_every_tablet_and_in_both_lights(tablet: Take, size: str, light: str) -> None:
    one = tablet(size, light)

    page = one.open("/sign-in")

    assert page.locator("html").get_attribute("data-room") == light
    assert page.get_by_label("Password", exact=True).is_visible()
    assert one.axe() == []
    assert one.overflow() == 0


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("size", SIZES)
def test_list_of_machines_is_usable_on_every_tablet_and_in_both_lights(tablet: Take, size: str, light: str) -> None:
    one = tablet(size, light)

    page = one.sign_in("fitter")

    assert [tag for tag in ("GA-1", "GA-2", "BA-1") if tag not in page.locator("main").inner_text()] == []
    assert one.axe() == []
    assert one.overflow() == 0


def test_wrong_password_is_told_beside_its_field_and_the_name_stays(tablet: Take) -> None:
    one = tablet()
    page = one.open("/sign-in")

    page.get_by_label("Name", exact=True).fill("M. Tarrow")
    page.get_by_label("Password", exact=True).fill("not this one")
    page.locator("#next").tap()
    page.locator(".field .error").first.wait_for()

    assert page.get_by_label("Name", exact=True).input_value() == "M. Tarrow"
    assert one.axe() == []


def test_light_is_changed_and_remembered(tablet: Take) -> None:
    one = tablet("large", "day")
    page = one.open("/sign-in")

    page.locator("[data-lamp]").tap()
    page.reload()

    assert page.locator("html").get_attribute("data-room") == "engine"
