"""The record as a page says all that the record as a PDF says, of an overhaul in which everything happened."""

import html
from collections import Counter
from collections.abc import Iterator
from datetime import UTC, datetime
from typing import Any

from app.actions.record_pdf import record_input
from app.reports.record_document import record_document
from app.store.book import Book
from tests.builders import an_app
from tests.store import lived_book
from tests.web.visitor import Visitor, words_of

ZONE = "Pacific/Auckland"
# What the page draws, counts or names in its own way; a size stands there without the unit that its sheet names once.
ITS_OWN = {"title", "name", "made_at", "made", "marks", "key", "section", "plots", "proof", "what", "new", "found"}
ITS_OWN |= {
    "fitted",
    "corrections",
    "digest",
    "meaning",
    "how",
    "times",
    "unit",
    "photos",
    "looks",
    "amended",
    "covers",
}


def texts(node: Any) -> Iterator[str]:
    """Every text of a document but what the page has in its own way."""
    if isinstance(node, str):
        yield node
    elif isinstance(node, dict):
        for name, each in node.items():
            yield from () if name in ITS_OWN else texts(each)
    elif isinstance(node, list | tuple):
        for each in node:
            yield from texts(each)


def bare(words: str) -> str:
    """Words without spaces and signs, which a page sets in its own way."""
    return "".join(sign for sign in html.unescape(words).lower() if sign.isalnum() or sign in "°–×")


def test_page_of_the_record_says_all_that_its_pdf_says(book: Book) -> None:
    overhaul_id = lived_book.live_in(book)
    document: Any = record_document(record_input(book, overhaul_id, ZONE, False), datetime.now(UTC))

    visitor = Visitor(an_app(book, site_zone=ZONE)).sign_in("I. Brandreth")
    page = bare(words_of(visitor.get(f"/overhauls/{overhaul_id}/record").text))

    parts = [part for stage in document["stages"] for part in stage["parts"]]
    looks = [bare(text) for stage in document["stages"] for what, said, _ in stage["looks"] for text in (what, said)]
    hands = Counter(bare(by.partition(": ")[2]) for part in parts for row in part["rows"] for by in row["by"])
    by_others = [one for stage in document["stages"] for *_, by in stage["looks"] for one in by.split("; as ")]
    hands.update(bare(one.partition(": ")[2]) for one in by_others)
    said = [bare(by) for part in parts for row in part["rows"] for by in row["by"]]
    told = [text for text in map(bare, texts(document)) if text not in said]
    assert [text for text in (*told, *looks) if text not in page] == []
    assert {by: (page.count(by), count) for by, count in hands.items() if page.count(by) < count} == {}
    assert [photo["digest"][:8] in page for photo in document["photos"]] == [True]
    assert [bare(each["words"]) in page for part in parts for each in part["amended"]] == [True]
