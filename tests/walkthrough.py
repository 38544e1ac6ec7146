"""Performs what README says of one's own machine as it is written, in Chromium against an empty book.

`python -m tests.walkthrough` takes its pictures anew into `static/guide/`, and prints the taps, fields and seconds.
"""

import re
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image
from playwright.sync_api import Locator, Page

from tests.browser.chromium import Tablet, a_browser, a_server
from tests.browser.hand import HAS_COME, MARK, wake
from tests.house.source import ROOT

DRAWN_MS = 700
COLOURS = 24
HEADING, PICTURES = "## Your own machine in ten minutes\n", ROOT / "static" / "guide"
# What a sentence asks for; a row of a table fills a field; a picture is of the page as it stands then.
STEP = re.compile(
    r"\b(?:(?P<fill>[Ff]ill) \*\*(?P<field>.+?)\*\* with `(?P<value>.+?)`"
    r"|(?P<tap>[Tt]ap) \*\*(?P<target>.+?)\*\*"
    r"|(?P<see>[Ss]ee) \*\*(?P<words>.+?)\*\*)"
    r"|^\| \*\*(?P<cell>.+?)\*\* \| `(?P<figure>.+?)` \|$"
    r"|!\[.*?\]\(static/guide/(?P<picture>[\w-]+)\.png\)",
    re.MULTILINE,
)
BOLD = re.compile(r"\*\*.+?\*\*")


@dataclass(frozen=True)
class Step:
    """One thing that the guide asks for: fill, tap, see or picture."""

    kind: str
    words: str
    value: str = ""


def guide() -> str:
    """Give the section of README, each paragraph on one line."""
    section = (ROOT / "README.md").read_text(encoding="utf-8").split(HEADING)[1].split("\n## ")[0]
    return re.sub(r"(?<=[^\n|])\n(?=[^\n|#!])", " ", section)


def steps() -> list[Step]:
    """Read every step out of the guide, in order."""
    return [_step(found) for found in STEP.finditer(guide())]


def _step(found: re.Match[str]) -> Step:
    """Read one step."""
    if found["fill"] or found["cell"]:
        return Step("fill", found["field"] or found["cell"], found["value"] or found["figure"])
    if found["tap"]:
        return Step("tap", found["target"])
    return Step("see", found["words"]) if found["see"] else Step("picture", found["picture"])


def bold_words() -> int:
    """How many words the guide says stand on the pages."""
    return len(BOLD.findall(guide()))


def perform(page: Page, pictures: Path | None = None) -> Iterator[Step]:
    """Do what the guide says, step by step; a word that does not stand on its page fails."""
    for step in steps():
        if step.kind == "fill":
            page.get_by_label(step.words).and_(page.locator("input")).locator("visible=true").first.fill(step.value)
        elif step.kind == "tap":
            _tap(page, step.words)
        elif step.kind == "see":
            page.get_by_text(step.words).locator("visible=true").first.wait_for()
        elif pictures is not None:
            _take(page, pictures / f"{step.words}.png")
        yield step


def _take(page: Page, path: Path) -> None:
    """Take a picture once the drawing has followed what was typed, and keep it small."""
    page.evaluate("document.activeElement.blur()")
    page.wait_for_timeout(DRAWN_MS)
    with Image.open(BytesIO(page.screenshot(scale="css"))) as taken:
        taken.convert("P", palette=Image.Palette.ADAPTIVE, colors=COLOURS).save(path, optimize=True)


def _tap(page: Page, words: str) -> None:
    """Tap what bears these words, and wait for the page it leads to."""
    target = _named(page, words)
    target.wait_for()
    if target.get_attribute("data-keep") is not None:
        wake(page)
    page.evaluate(MARK)
    target.tap()
    page.locator(HAS_COME).wait_for(state="attached")
    page.wait_for_load_state()


def _named(page: Page, words: str) -> Locator:
    """Find the button or link that bears these words."""
    found = page.get_by_role("button", name=words).or_(page.get_by_role("link", name=words))
    return found.locator("visible=true").first


def main() -> int:
    """Perform the guide and take its pictures."""
    with TemporaryDirectory() as folder, a_server(Path(folder)) as address, a_browser() as browser:
        tablet = Tablet(browser, address, "large", "day")
        page, begun = tablet.open("/"), time.perf_counter()
        done = list(perform(page, PICTURES))
        took = time.perf_counter() - begun
        tablet.close()
    count = {kind: sum(step.kind == kind for step in done) for kind in ("tap", "fill", "see", "picture")}
    sys.stdout.write(f"{count['tap']} taps, {count['fill']} fields, {count['picture']} pictures in {took:.0f} s\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
