"""Tests of choosing among the readings of a machine."""

import csv
import re
from io import StringIO

import pytest

from app.store.book import Book
from tests.builders import a_reading, enter
from tests.web.lives import SECOND, THIRD, a_machine_with_a_past
from tests.web.visitor import Visitor, an_auditor, words_of

READINGS = "/machines/GA-1/readings"


@pytest.fixture
def auditor(book: Book) -> Visitor:
    """An auditor in front of a machine of three overhauls; another person gauged one pin with a micrometer."""
    past = a_machine_with_a_past(book)
    by = {"measured_by": "R. Osk", "instrument": "M-7"}
    enter(book, past.third, a_reading("2.pin", "diameter", "21.97", THIRD, reason="=1+1", **by))
    return an_auditor(book)


def rows(page: str) -> list[str]:
    """The rows of readings, as words."""
    return [words_of(row) for row in re.findall(r"<tr.*?</tr>", page, re.DOTALL)][1:]


def count(page: str) -> int:
    """How many readings the page says there are."""
    return int(re.search(r'<h2 id="readings">(\d+) ', page)[1])  # type: ignore[index]


def test_every_reading_stands_with_verdict_limit_person_instrument_and_overhaul(auditor: Visitor) -> None:
    row = rows(auditor.get(f"{READINGS}?person=R.+Osk").text)

    assert len(row) == 1
    assert "Piston pin pin diameter 21.97 mm as found =1+1 REUSE" in row[0]
    assert "at least 21.970 " in row[0].replace("\u00a0", " ")
    assert "QM-GA rev C R. Osk typed in by M. Tarrow M-7 16 Mar 2021 09:00 UTC Overhaul 3" in row[0].replace(
        "\u00a0", " "
    )


def test_readings_are_chosen_by_what_the_address_says(auditor: Visitor) -> None:
    expected = {
        "instrument=M-7": 1,
        "person=nobody": 0,
        "part=2.ring-1&overhaul=3": 4,
        "part=2.ring-1&verdict=renew": 1,
        "part=2.ring-1&verdict=superseded": 1,
        "part=2.ring-1&from=2018-03-16&to=2018-03-16&verdict=renew": 1,
        "part=2.ring-1&from=2018-03-17&to=2021-03-15": 0,
        "from=2500-01-01": 0,
        "from=0001-01-01&to=9999-12-31&instrument=M-7": 1,
    }

    got = {query: auditor.get(f"{READINGS}?{query}").text for query in expected}

    assert {query: count(page) for query, page in got.items()} == expected
    assert {query: len(rows(page)) for query, page in got.items()} == expected


def test_all_verdicts_together_are_all_readings_that_stand_or_were_superseded(auditor: Visitor) -> None:
    words = ("reuse", "rework", "renew", "undecided", "notgauged", "superseded")

    counts = [count(auditor.get(f"{READINGS}?verdict={word}").text) for word in words]

    assert sum(counts) == count(auditor.get(READINGS).text)
    assert counts[0] > counts[2] > 0


def test_a_reading_leads_to_its_place_in_the_history_of_its_part(auditor: Visitor) -> None:
    page = auditor.get(f"{READINGS}?part=2.cylinder&overhaul=3").text

    address, anchor = re.findall(r'<th scope="row"><a href="([^"#]+characteristic=bore)#([^"]+)"', page)[0]
    assert f'id="{anchor}"' in auditor.get(address.replace("&amp;", "&")).text


def test_pages_go_from_the_newest_readings_to_the_earliest_with_the_choice_kept(auditor: Visitor) -> None:
    first = auditor.get(f"{READINGS}?person=M.+Tarrow").text
    (link,) = re.findall(r'href="([^"]+page=2)"', first)
    second = auditor.get(link.replace("&amp;", "&")).text

    assert "person=M.+Tarrow" in link
    assert len(rows(first)) == 100
    assert "Newer readings" in second
    assert auditor.get(f"{READINGS}?page=999999").text.count("<tr") > 1


def test_the_file_holds_all_that_was_chosen_and_no_formula(auditor: Visitor) -> None:
    whole = list(csv.DictReader(StringIO(auditor.get(f"{READINGS}.csv").text.lstrip("\ufeff"))))
    chosen = list(csv.DictReader(StringIO(auditor.get(f"{READINGS}.csv?instrument=M-7").text.lstrip("\ufeff"))))

    assert len(whole) == count(auditor.get(READINGS).text) > 100
    (row,) = chosen
    assert (row["reading"], row["measured_by"], row["entered_by"], row["overhaul"]) == (
        "21.97 mm",
        "R. Osk",
        "M. Tarrow",
        "3",
    )
    assert (row["measured_at"], row["verdict"], row["sheet"]) == ("2021-03-16T09:00:00+00:00", "reuse", "QM-GA rev C")
    assert not row["reason"].startswith("=")


def test_a_choice_that_cannot_be_read_comes_back_beside_its_field(auditor: Visitor) -> None:
    said = {
        "from=16.3.2018": "Write the day as 2026-11-24.",
        "overhaul=two": "Choose an overhaul of this machine.",
        "verdict=fine": "Choose one of the verdicts.",
    }

    for query, words in said.items():
        assert words in auditor.get(f"{READINGS}?{query}", 422).text
        auditor.get(f"{READINGS}.csv?{query}", 422)


def test_an_odd_choice_gets_an_answer(auditor: Visitor) -> None:
    for odd in ("page=0", "page=-1", "page=x", "part=%00", "person=%27%3B--", "instrument=%F0%9F%94%A7"):
        assert "readings" in auditor.get(f"{READINGS}?{odd}").text


def test_a_second_look_is_told_and_has_no_verdict_of_its_own(book: Book, auditor: Visitor) -> None:
    look = a_reading("2.pin", "diameter", "21.98", SECOND, is_second_look=True, measured_by="S. Other")
    enter(book, 3, look)

    (row,) = rows(auditor.get(f"{READINGS}?person=S.+Other").text)

    assert "second look" in row
    assert "—" in row
