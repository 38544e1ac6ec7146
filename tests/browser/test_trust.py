"""The page of trust as a tablet's camera sees it."""

from collections.abc import Callable
from datetime import UTC, datetime
from io import BytesIO

import pytest
import zxingcpp
from PIL import Image

from app.serving.addresses import reached
from app.serving.certificate import open_credentials
from tests.browser.chromium import Tablet
from tests.web.workshop import Workshop

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("light", ["day", "engine"])
def test_code_on_the_page_is_read_back_as_the_way_in(
    bench: Callable[..., Tablet], workshop: Workshop, light: str
) -> None:
    folder = workshop.book.path.parent / "tls"
    trust = open_credentials(folder, reached("10.20.0.5"), 8000, 8080, datetime.now(UTC)).trust
    workshop.app.state.trust = trust
    one = bench("", "small", light)

    page = one.open("/trust")
    picture = Image.open(BytesIO(page.locator(".qr").screenshot()))

    assert [code.text for code in zxingcpp.read_barcodes(picture)] == ["http://10.20.0.5:8080/trust"]
    assert trust.fingerprint in page.locator("main").inner_text()
    assert (one.axe(), one.overflow()) == ([], 0)
