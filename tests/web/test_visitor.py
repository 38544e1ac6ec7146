"""Tests of the audit itself: it finds each fault, and nothing on a sound page."""

import pytest

from tests.web.visitor import audit

SOUND = (
    "<!doctype html><html lang=en><head><title>Ring 1: GA-1</title></head><body><h1>Ring 1</h1>"
    '<form method="post" action="/x"><input type="hidden" name="csrf" value="t">'
    '<label for="gap">Gap</label><input id="gap" name="gap"></form></body></html>'
)


def test_audit_finds_nothing_on_a_sound_page() -> None:
    assert audit(SOUND) == []


@pytest.mark.parametrize(
    ("good", "bad", "fault"),
    [
        ("<h1>Ring 1</h1>", "<h1>Ring 1</h1><h1>Ring 2</h1>", "2 h1"),
        ("<h1>Ring 1</h1>", "<h1>Ring 2</h1>", "title “Ring 1: GA-1” without h1 “Ring 2”"),
        ("<h1>", "<h1 style=color:red>", "attribute style"),
        ("<h1>", "<h1 onclick=x()>", "attribute onclick"),
        ("<h1>", "<script>x()</script><h1>", "inline script"),
        ("<h1>", "<style>h1{}</style><h1>", "inline style element"),
        ("<h1>", "<h1 id=gap>", "id gap stands 2 times"),
        ('for="gap"', 'for="other"', "other is pointed at and not there"),
        ('<label for="gap">Gap</label>', "", "input gap has no label"),
        ('method="post" ', "", "form /x without method or action"),
        ('<input type="hidden" name="csrf" value="t">', "", "form /x without its token"),
        ("</form>", "", "expected-one-end-tag"),
    ],
)
def test_audit_names_a_fault(good: str, bad: str, fault: str) -> None:
    assert good in SOUND

    faults = audit(SOUND.replace(good, bad, 1))

    assert any(fault in found for found in faults), faults
