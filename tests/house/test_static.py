"""What the browser loads comes from this house, and what came from another carries its licence."""

import re
from pathlib import Path

import pytest

from app.web.static_files import BUNDLES
from tests.house.source import ROOT, files

STATIC = ROOT / "static"
VENDORED = sorted(path for path in (STATIC / "vendor").iterdir() if path.suffix in (".js", ".css", ".ttf", ".woff2"))
SHEETS = files("*.css", below="static")
SCRIPTS = files("*.js", below="static")
IN_PIXELS = re.compile(
    r"(?<![\w-])(?:font|font-size):[^;}]*\dpx|--(?:caption|body|button|third|second|word|figure):\d+px"
)
REFERENCE = re.compile(r"(?:asset\(|/static/)['\"]?(?P<path>[\w./-]+)")


@pytest.mark.parametrize("path", VENDORED, ids=lambda path: path.name)
def test_vendored_file_has_its_licence_beside_it(path: Path) -> None:
    licence = path.with_name(path.name.split(".")[0] + ".LICENSE.txt")

    assert licence.is_file()
    assert len(licence.read_text(encoding="utf-8")) > 500


def test_htmx_is_vendored() -> None:
    assert "htmx.min.js" in [path.name for path in VENDORED]


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.name)
def test_style_sheet_fetches_nothing(path: Path) -> None:
    text = path.read_text(encoding="utf-8")

    assert "@import" not in text
    assert re.findall(r"url\(\s*['\"]?(?:https?:)?//", text) == []


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.name)
def test_lettering_grows_with_the_size_that_a_reader_chose(path: Path) -> None:
    # Only inside a drawing is lettering in pixels: there they are the drawing's own units.
    rules = [rule for rule in path.read_text(encoding="utf-8").split("}") if not rule.lstrip().startswith(".dr")]

    assert [found[0] for rule in rules for found in IN_PIXELS.finditer(rule)] == []


@pytest.mark.parametrize("path", SCRIPTS, ids=lambda path: path.name)
def test_script_neither_evaluates_text_nor_writes_style_attributes(path: Path) -> None:
    text = path.read_text(encoding="utf-8")

    assert re.findall(r"\beval\(|new Function\(|setAttribute\(\s*['\"]style['\"]|https?://", text) == []


def test_every_file_that_a_template_names_is_there() -> None:
    named = {
        found["path"]
        for path in files("*.html", below="templates")
        for found in REFERENCE.finditer(path.read_text(encoding="utf-8"))
        if "." in found["path"]
    }

    parts = {part for bundle in BUNDLES.values() for part in bundle}
    missing = {path for path in (named - set(BUNDLES)) | parts if not (STATIC / path).is_file()}

    assert {"vendor/htmx.min.js", "book.js", "book.css"} <= named
    assert missing == set()


def test_every_sheet_and_script_is_sent_by_some_page() -> None:
    named = {part for bundle in BUNDLES.values() for part in bundle}
    text = "".join(path.read_text(encoding="utf-8") for path in files("*.html", below="templates"))

    unsent = {path.relative_to(STATIC).as_posix() for path in (*SHEETS, *SCRIPTS)} - named
    # The worker is asked for by the browser, by its own address.
    assert {path for path in unsent if path not in text} == {"js/worker.js"}
