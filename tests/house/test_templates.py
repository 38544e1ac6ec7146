"""Templates show and never judge, work under the content security policy, and hold nothing that belongs elsewhere."""

import re
from pathlib import Path

import pytest
from jinja2 import StrictUndefined

from app.web.page import environment
from tests.house.source import ROOT, files

TEMPLATES = ROOT / "templates"
FORBIDDEN = {
    "inline script": re.compile(r"<script(?![^>]*\bsrc=)[^>]*>", re.IGNORECASE),
    "inline style": re.compile(r"<style\b|\sstyle\s*=", re.IGNORECASE),
    "inline handler": re.compile(r"\son[a-z]+\s*=\s*[\"']", re.IGNORECASE),
    "address of a host": re.compile(r"(?:https?:)?//[a-z0-9-]+(?:\.[a-z0-9-]+)+", re.IGNORECASE),
    "escape from escaping": re.compile(r"\|\s*safe\b|autoescape\s+false", re.IGNORECASE),
}
ALL = [pytest.param(path, id=str(path.relative_to(TEMPLATES))) for path in files("*.html", below="templates")]


@pytest.mark.parametrize("path", ALL)
def test_template_compiles_where_nothing_may_be_undefined(path: Path) -> None:
    templates = environment()

    template = templates.get_template(str(path.relative_to(TEMPLATES)))

    assert templates.undefined is StrictUndefined
    assert templates.autoescape is not False
    assert template.filename == str(path)


@pytest.mark.parametrize("path", ALL)
def test_template_holds_nothing_that_the_policy_forbids(path: Path) -> None:
    text = path.read_text(encoding="utf-8")

    assert faults(text) == []


@pytest.mark.parametrize("path", ALL)
def test_fragment_begins_with_an_underscore_and_a_page_extends_the_sheet(path: Path) -> None:
    text = path.read_text(encoding="utf-8")

    is_page = bool(re.search(r"{%-?\s*extends\b", text)) or "<!doctype html>" in text

    assert is_page != path.name.startswith("_")


@pytest.mark.parametrize(
    ("wrong", "fault"),
    [
        ("<script>alert(1)</script>", "inline script"),
        ('<p style="color:red">', "inline style"),
        ('<button onclick="go()">', "inline handler"),
        ('<a href="//elsewhere.example.com/">', "address of a host"),
        ("{{ words | safe }}", "escape from escaping"),
    ],
)
def test_what_the_policy_forbids_would_be_found(wrong: str, fault: str) -> None:
    found = faults(wrong)

    assert found == [fault]


@pytest.mark.parametrize(
    "right", ["<script defer src=\"{{ asset('a.js') }}\"></script>", '<rect fill="url(#h-renew)"/>']
)
def test_what_the_policy_allows_is_not_complained_about(right: str) -> None:
    assert faults(right) == []


def faults(text: str) -> list[str]:
    """Name what is wrong in a template's text."""
    return [name for name, pattern in FORBIDDEN.items() if pattern.search(text)]


def test_no_day_is_written_by_a_sign_that_one_system_alone_knows() -> None:
    found = [path.name for path in files("*.py", "*.html", below="app") + files("*.html", below="templates")
             if re.search(r"%-[dmHIMSjy]", path.read_text(encoding="utf-8"))]  # fmt: skip

    assert found == []
