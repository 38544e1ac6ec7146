"""Every text can be read in both lights, and no verdict is told by colour alone."""

import re
from itertools import combinations

import pytest

from app.domain.verdicts import Verdict
from tests.house.colour import SIGHTS, Triple, ciede2000, contrast, seen
from tests.house.source import ROOT

TOKENS = (ROOT / "static" / "css" / "tokens.css").read_text(encoding="utf-8")
SHAPES = (ROOT / "templates" / "_defs.html").read_text(encoding="utf-8")
LIGHTS = ("day", "engine")
TEXT = ("ink", "ink2", "pencil", *(verdict.value for verdict in Verdict))
CLEARLY_APART = 15


def colours(light: str) -> dict[str, str]:
    """Read the colours of a light."""
    day, engine = TOKENS.split("[data-room=engine]{")
    return dict(re.findall(r"--([a-z0-9]+):(#[0-9a-f]{6})", day if light == "day" else engine))


def shape(verdict: Verdict) -> str:
    """Read the outline that a verdict's mark has in one ink."""
    found = re.search(rf'<g id="{{{{ symbol }}}}-{verdict.value}"><(\w+) class="bg" ([^>]*?)/>', SHAPES)
    assert found, f"{verdict} has no shape of its own"
    return f"{found[1]} {found[2]}"


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("token", TEXT)
def test_text_stands_out_from_the_sheet(light: str, token: str) -> None:
    found = colours(light)

    assert contrast(found[token], found["sheet"]) >= 4.5  # WCAG 2.2, 1.4.3


@pytest.mark.parametrize("light", LIGHTS)
def test_outlines_stand_out_from_the_sheet(light: str) -> None:
    found = colours(light)

    assert contrast(found["edge"], found["sheet"]) >= 3  # WCAG 2.2, 1.4.11


def test_every_verdict_has_a_shape_of_its_own() -> None:
    shapes = {shape(verdict) for verdict in Verdict}

    assert len(shapes) == len(Verdict)


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("sight", SIGHTS)
def test_verdicts_are_clearly_apart_in_colour_or_else_in_shape(light: str, sight: str) -> None:
    found = colours(light)

    alike = [(a, b) for a, b in combinations(Verdict, 2) if difference(found, sight, a, b) < CLEARLY_APART]

    assert [(a, b) for a, b in alike if shape(a) == shape(b)] == []


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("sight", SIGHTS)
def test_reuse_and_renew_are_clearly_apart_for_every_sight(light: str, sight: str) -> None:
    found = colours(light)

    assert difference(found, sight, Verdict.REUSE, Verdict.RENEW) >= CLEARLY_APART


def difference(found: dict[str, str], sight: str, one: Verdict, other: Verdict) -> float:
    """How far two verdicts' colours are apart for one kind of sight."""
    return ciede2000(seen(found[one.value], sight), seen(found[other.value], sight))


@pytest.mark.parametrize(
    ("one", "other", "published"),
    [
        ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
        ((50, 0, 0), (50, -1, 2), 2.3669),
        ((50, 2.49, -0.001), (50, -2.49, 0.0009), 7.1792),
        ((50, 2.49, -0.001), (50, -2.49, 0.0011), 7.2195),
        ((50, 2.5, 0), (73, 25, -18), 27.1492),
        ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
        ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
    ],
)
def test_colour_difference_is_the_published_one(one: Triple, other: Triple, published: float) -> None:
    # Sharma, Wu & Dalal, Color Research & Application 30 (2005), table 1.
    found = ciede2000(one, other), ciede2000(other, one)

    assert found == (pytest.approx(published, abs=5e-5), pytest.approx(published, abs=5e-5))


def test_contrast_of_black_on_white_is_twenty_one() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize("sight", SIGHTS)
def test_grey_stays_grey_for_every_sight(sight: str) -> None:
    _lightness, a, b = seen("#808080", sight)

    assert abs(a) < 0.1
    assert abs(b) < 0.1
