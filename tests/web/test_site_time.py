"""The site's time stands beside UTC on every page and in every table that goes out."""

import csv
import re
from datetime import UTC, datetime
from io import BytesIO
from zoneinfo import ZoneInfo

from openpyxl import load_workbook

from app.reports.moments import site_and_utc
from app.store.book import Book
from app.web.moments import in_zone
from tests.web.visitor import words_of
from tests.web.workshop import Workshop

AUCKLAND = ZoneInfo("Pacific/Auckland")
ELEMENT = re.compile(r'<time datetime="([^"]+)">(.*?)</time>', re.DOTALL)
AS_KEPT = re.compile(r"\d{4}-\d{2}-\d{2}T[\d:.]+\+00:00|Such as 07:40")  # the chain's own text, and a hint
CLOCK = re.compile(r"\b\d{1,2}:\d{2}\b")
PAGES = (
    "/overhauls/1/record", "/overhauls/1/decide", "/overhauls/1/gauged", "/overhauls/1/prove",
    "/overhauls/1/gauge/2.pin/diameter", "/overhauls/1/amendments", "/machines/GA-1", "/machines/GA-1/readings",
    "/machines/GA-1/history?part=2.pin&characteristic=diameter", "/machines/GA-1/timeline", "/machines/GA-1/hours",
    "/machines/GA-1/runs", "/runs/1", "/entries", "/entries/9", "/verify", "/sheets/QM-GA/C", "/people/2",
)  # fmt: skip


def clocks_alone(page: str) -> list[str]:
    """The times of day on a page that stand without UTC or their stamp, or beside a wrong one."""
    main = page.split("<main", 1)[1]
    times = [(stamp, words_of(words).replace("\u00a0", " ")) for stamp, words in ELEMENT.findall(main)]
    alone = [words for stamp, words in times if CLOCK.search(words) and words not in both(stamp)]
    return alone + CLOCK.findall(AS_KEPT.sub("", words_of(ELEMENT.sub("", main)))) + ([] if times else ["no time"])


def both(stamp: str) -> tuple[str, str]:
    """A moment as a page of this site writes it, with its year, or where there is no room without."""
    moment = datetime.fromisoformat(stamp)
    here, utc = site_and_utc(moment, AUCKLAND)
    whole = f"{here} ({utc})"
    return whole, whole.replace(f" {moment.astimezone(AUCKLAND).year}", "", 1)


def test_every_time_of_day_on_a_page_stands_beside_utc_with_its_full_stamp(book: Book) -> None:
    shop = Workshop(book, site_zone=str(AUCKLAND)).returned()

    found = {page: clocks_alone(shop.chief.get(page).text) for page in PAGES}

    assert {page: alone for page, alone in found.items() if alone} == {}


def test_site_that_goes_by_utc_reads_one_time_only() -> None:
    day, time = in_zone("UTC")
    moment = datetime(2026, 11, 27, 18, 40, 5, tzinfo=UTC)

    assert day(moment) == '<time datetime="2026-11-27T18:40:05Z">27\u00a0Nov\u00a02026</time>'
    assert time(moment) == '<time datetime="2026-11-27T18:40:05Z">27\u00a0Nov\u00a02026\u00a018:40\u00a0UTC</time>'


def test_tables_that_go_out_have_both_times_in_columns_of_their_own(book: Book) -> None:
    shop = Workshop(book, site_zone=str(AUCKLAND)).returned()
    table = list(csv.DictReader(shop.auditor.get("/exports/book.csv").text.lstrip("\ufeff").splitlines()))
    chosen = list(csv.DictReader(shop.auditor.get("/machines/GA-1/readings.csv").text.lstrip("\ufeff").splitlines()))
    sheets = load_workbook(BytesIO(shop.auditor.get("/exports/book.xlsx").content))

    pairs = [(row["measured_at_utc"], row["measured_at_site"]) for row in table]
    pairs += [(row["stored_at"], row["stored_at_site"]) for row in chosen]
    head, first = list(sheets["signatures"].iter_rows(values_only=True))[:2]
    told = dict(zip(head, first, strict=True))
    pairs += [(str(told["at_utc"]), str(told["at_site"]))]
    assert len(pairs) > len(table)
    for utc, here in pairs:
        assert datetime.fromisoformat(utc).replace(microsecond=0) == datetime.fromisoformat(here).replace(microsecond=0)
        assert datetime.fromisoformat(here).utcoffset() == datetime.fromisoformat(utc).astimezone(AUCKLAND).utcoffset()
