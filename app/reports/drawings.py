"""Drawings as SVG files of their own, from the same templates and style sheets as those on the pages."""

import re
from functools import cache
from io import BytesIO
from pathlib import Path

import segno
from jinja2 import Environment, FileSystemLoader, StrictUndefined

from app.domain.verdicts import Verdict
from app.reports.section import SectionLayout
from app.reports.trend_plot import TrendPlotLayout

ROOT = Path(__file__).resolve().parents[2]
FAMILY = "DejaVu Sans"
NAME_SPACE = "http://www.w3.org/2000/svg"
TOKEN = re.compile(r"--([\w-]+):([^;}]+)")
USED = re.compile(r"var\(--([\w-]+)\)")
# An SVG file of its own knows neither custom properties nor rules for other media.
OTHER_MEDIA = re.compile(r"@media[^{]*\{(?:[^{}]*\{[^{}]*\})*[^{}]*\}")
COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)


@cache
def _templates() -> Environment:
    """The templates of the drawings."""
    loader = FileSystemLoader(ROOT / "templates")
    return Environment(loader=loader, undefined=StrictUndefined, autoescape=True, trim_blocks=True, lstrip_blocks=True)


def plot_svg(plot: TrendPlotLayout) -> str:
    """Draw a trend plot."""
    return _alone(str(_macro("drawing/_plot.html", "trend_plot")(plot)))


def section_svg(layout: SectionLayout, label: str) -> str:
    """Draw the section of a stage, lettered as on the record."""
    return _alone(str(_macro("drawing/_section.html", "record_section")(layout, label)))


def mark_svg(verdict: Verdict) -> str:
    """Draw the shape of a verdict."""
    return _alone(str(_macro("_marks.html", "mark")(verdict.value)))


def qr_svg(text: str) -> str:
    """Draw a text as a QR code."""
    code = segno.make(text, error="m", micro=False)
    file = BytesIO()
    code.save(file, kind="svg", border=4, xmldecl=False, svgclass=None, lineclass=None, omitsize=True)
    return file.getvalue().decode()


def _macro(template: str, name: str):  # type: ignore[no-untyped-def]  # a macro takes what its template says
    """Find a macro of a template."""
    return getattr(_templates().get_template(template).module, name)


def _alone(svg: str) -> str:
    """Put into a drawing what it takes from its page: the name space, the colours and what it refers to."""
    head, rest = svg[: svg.index(">") + 1], svg[svg.index(">") + 1 :]
    named = head.replace("<svg", f'<svg xmlns="{NAME_SPACE}"', 1)
    return f"{named}{_shared()}{rest}"


@cache
def _shared() -> str:
    """The style and the definitions that every drawing shares, in the light of paper."""
    defs = _templates().get_template("_defs.html").render()
    inner = defs[defs.index("<defs>") : defs.index("</svg>")]
    return f"<style>{_style()}</style>{inner}"


def _style() -> str:
    """Write the rules of drawings and of verdicts with the colours of daylight in the place of their names."""
    tokens = dict(reversed(TOKEN.findall(_sheet("tokens.css"))))  # the first of each name is daylight's
    tokens |= {"letter": f"'{FAMILY}'", "text": f"'{FAMILY}'", "v": tokens["ink"]}
    rules = _sheet("drawing.css") + _sheet("verdict.css")
    return USED.sub(lambda found: tokens[found[1]], rules)


def _sheet(name: str) -> str:
    """Read a style sheet without its comments and without its rules for other media."""
    text = (ROOT / "static" / "css" / name).read_text(encoding="utf-8")
    return OTHER_MEDIA.sub("", COMMENT.sub("", text))
