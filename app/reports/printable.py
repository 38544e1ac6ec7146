"""Text as a document can print it: what its letters do not cover is written out by its number, never left out."""

import re
import unicodedata
from collections.abc import Callable
from functools import cache
from pathlib import Path

FONTS = Path(__file__).resolve().parents[2] / "static" / "vendor"
DRAWN = frozenset({"svg", "digest"})  # never broken in two
# Latin letters and figures are in every font; only what lies beyond is worth opening one for.
ORDINARY = re.compile(r"[\n -~\u00a0-\u00ac\u00ae-\u017f–—‘’“”…×−⌀]*")
TOO_LONG = re.compile(r"(?=\S{21})(?:\S{12})")
HIDDEN = ("Cc", "Cf", "Cs", "Co", "Cn")  # controls, formatting, halves, private and unassigned
MAY_BREAK = "\u200b"


def printable(content: object, is_drawn: bool = False) -> object:
    r"""Make every text in lists and dictionaries printable; what is no text stays.

    >>> printable(["0.70", {"words": "a\u202eb\t漢"}])
    ['0.70', {'words': 'a[U+202E]b [U+6F22]'}]
    """
    match content:
        case str():
            return written_out(content) if is_drawn else breakable(written_out(content))
        case dict():
            return {name: printable(each, name in DRAWN) for name, each in content.items()}
        case list() | tuple():
            return [printable(each, is_drawn) for each in content]
    return content


def written_out(text: str, is_covered: Callable[[str], bool] | None = None) -> str:
    """Write by its number what cannot be seen, what would turn other letters round, and what the letters lack."""
    if ORDINARY.fullmatch(text):
        return text
    known = is_covered or _is_covered
    return "".join(_sign(sign, known) for sign in text.replace("\t", " ").replace("\r\n", "\n"))


def breakable(text: str) -> str:
    """Let a word break that is longer than any column is wide."""
    return TOO_LONG.sub(lambda found: found[0] + MAY_BREAK, text)


def _sign(sign: str, is_covered: Callable[[str], bool]) -> str:
    """One sign as it is printed."""
    if sign == "\n" or (unicodedata.category(sign) not in HIDDEN and is_covered(sign)):
        return sign
    return f"[U+{ord(sign):04X}]"


def _is_covered(sign: str) -> bool:
    """Whether the fonts of the documents have a sign."""
    return ord(sign) in _covered()


@cache
def _covered() -> frozenset[int]:
    """What all fonts of the documents have, thin and bold."""
    return frozenset.intersection(*map(_signs_of, FONTS.glob("*.ttf")))


def _signs_of(path: Path) -> frozenset[int]:
    """What one font has."""
    from fontTools.ttLib import TTFont  # noqa: PLC0415 - few texts need it

    with TTFont(path, lazy=True) as font:
        return frozenset(font.getBestCmap())
