"""Pages parsed strictly, each text once: what asks several things of a page does not read it several times."""

from functools import lru_cache
from xml.etree.ElementTree import Element

import html5lib


@lru_cache(maxsize=16)
def parsed(page: str) -> tuple[Element, tuple[str, ...]]:
    """Give the root of a page, to be read only, and what a strict parser finds wrong."""
    parser = html5lib.HTMLParser(namespaceHTMLElements=False)
    root = parser.parse(page)
    return root, tuple(f"line {place[0]}: {code} {data}" for place, code, data in parser.errors)
