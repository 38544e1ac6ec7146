"""Old paper comes into the book: looked through whole, each overhaul kept whole, and judged as what it is."""

from datetime import UTC, timedelta
from decimal import Decimal

import pytest

from app.actions.machine_record import machine_record
from app.actions.old_paper_kept import keep_from_paper, setting_of
from app.actions.past_overhauls import past_overhauls
from app.actions.ring_trends import ring_trends
from app.domain.errors import NotAllowed, Sealed
from app.domain.overhaul import Meaning
from app.domain.people import Person
from app.domain.verdicts import Verdict
from app.store.book import Book
from app.store.evidence import verify_evidence
from app.store.overhaul_reading import list_base_sizes
from app.store.overhauls import find_open_overhaul, get_overhaul, list_overhauls
from tests.actions.papers import BEGAN, HEAD, NOW, a_returned_overhaul, bring_in, instead, looked_through, rows_of
from tests.builders import a_person, an_overhaul
from tests.old_paper import Cells, a_row, a_sheet, a_table


def refused(book: Book, *rows: Cells) -> list[tuple[int, str, str]]:
    """The refused lines of a table."""
    return [(line.line, line.column, line.words) for line in looked_through(book, a_table(list(rows))).lines]


def numbers(book: Book) -> list[int]:
    """The numbers of the machine's overhauls by day, the oldest first."""
    with book.reading() as session:
        return [each.number for each in reversed(list_overhauls(session, 1))]


def test_an_overhaul_comes_in_whole_sealed_and_marked_and_the_book_verifies(book: Book, chief: Person) -> None:
    rows = instead(rows_of(), "2.ring-1", "seen", done="renewed", part_number="QM-31-230", batch="L 4")

    assert bring_in(book, chief, *rows) == [True]

    with book.reading() as session:
        (summary,) = list_overhauls(session, 1)
        found = get_overhaul(session, summary.id)
        assert verify_evidence(session) == []
        assert find_open_overhaul(session, 1) is None
    assert found.origin == "from paper, entered by I. Brandreth"
    assert found.paper == f"“7”, lines 2 to {len(rows) + 1} of old.csv"
    assert [each.meaning for each in found.signatures] == [Meaning.FROM_PAPER]
    assert found.opened_at.date().isoformat() == "1999-03-02"
    assert {each.measured_at.date().isoformat() for each in found.readings} == {"1999-03-02"}
    assert {(each.measured_by, each.entered_by) for each in found.readings} == {("old paper", "I. Brandreth")}
    assert [(d.ref, d.verdict) for d in found.decisions] == [("2.ring-1", Verdict.RENEW)]
    assert [(f.ref, f.number, f.batch) for f in found.fittings] == [("2.ring-1", "QM-31-230", "L 4")]


def test_the_same_paper_comes_in_once_and_other_paper_of_that_day_not_at_all(book: Book, chief: Person) -> None:
    rows = rows_of()
    bring_in(book, chief, *rows)

    again = looked_through(book, a_table(rows))
    other = refused(book, *rows[1:])

    assert (again.ready, again.known, again.lines) == ([], ["7"], [])
    assert other == [(2, "date", "The whole overhaul: there is one of that day already: overhaul 1. "
                      "What came in never changes.")]  # fmt: skip


def test_two_that_looked_the_same_file_through_bring_it_in_once(book: Book, chief: Person) -> None:
    found = looked_through(book, a_table(rows_of()))
    with book.reading() as session:
        setting = setting_of(session, "GA-1", "QM-GA", "C")

    kept = [keep_from_paper(book, chief, setting, found.ready[0], "old.csv", NOW) for _ in range(2)]

    assert kept == [True, False]
    assert numbers(book) == [1]


def test_an_opening_that_came_meanwhile_is_not_written_over(book: Book, chief: Person) -> None:
    first, second = (looked_through(book, a_table(rows)) for rows in (rows_of(), rows_of()[1:]))
    with book.reading() as session:
        setting = setting_of(session, "GA-1", "QM-GA", "C")
    keep_from_paper(book, chief, setting, first.ready[0], "old.csv", NOW)

    with pytest.raises(Sealed, match="Overhaul 1 came into the book meanwhile"):
        keep_from_paper(book, chief, setting, second.ready[0], "old.csv", NOW)


def test_a_fitter_brings_no_paper_in(book: Book, chief: Person) -> None:
    found = looked_through(book, a_table(rows_of()))
    with book.reading() as session:
        setting = setting_of(session, "GA-1", "QM-GA", "C")

    with pytest.raises(NotAllowed):
        keep_from_paper(book, a_person(book), setting, found.ready[0], "old.csv", NOW)


def test_paper_stands_among_live_overhauls_by_its_day_and_begins_lives_before_later_ones(
    book: Book, chief: Person
) -> None:
    live = a_returned_overhaul(book)
    gap = {"goes": "0.60", "does_not_go": "0.62"}
    old = instead(rows_of("8", "2003-06-01", "21000"), "2.ring-1", "closed-gap", **gap)
    older = instead(rows_of(), "2.ring-1", "seen", done="renewed")

    bring_in(book, chief, *old, *older)

    assert numbers(book) == [2, 3, live]
    (trend,) = ring_trends(past_overhauls(book, 1), a_sheet())
    ahead = [(int(r.operating_hours), r.overhaul_number, r.life, r.began) for r in trend.readings]
    assert ahead[:3] == [(9350, 2, 1, ""), (21000, 3, 1, ""), (21000, 3, 2, "renewed at overhaul 2")]
    assert trend.readings[-1].operating_hours == 61000
    assert machine_record(book, "GA-1", NOW.date(), UTC).past[-1].overhaul.number == live


def test_paper_does_not_move_what_an_overhaul_begun_before_it_was_judged_from(book: Book, chief: Person) -> None:
    live = a_returned_overhaul(book)
    rows = instead(rows_of(), "2.cylinder", "seen", done="reworked", made_to="78.25")

    bring_in(book, chief, *rows)

    with book.reading() as session:
        assert get_overhaul(session, live).base_sizes == {}
        assert {ref: size.typed for ref, size in list_base_sizes(session, 1).items()} == {"2.cylinder": "78.25"}
        machine = get_overhaul(session, live).machine
    new = an_overhaul(book, machine, "62000", NOW, a_sheet())
    with book.reading() as session:
        assert get_overhaul(session, new).base_sizes["2.cylinder"].mm == Decimal("78.25")


DOUBTS = [
    ({"date": ""}, "date", "no row gives its date"),
    ({"hours": "60001"}, "hours", "The meter stood at 60000 h on 01 Jan 2020, which is later and less."),
    ({"date": "2019-12-31", "hours": "9350"}, "hours", "a day has 24 h"),
    ({"date": "2020-06-01", "hours": "59999"}, "hours", "It cannot run back"),
]


def test_a_whole_overhaul_that_cannot_be_is_refused_by_its_first_line(book: Book, chief: Person) -> None:
    for cells, column, words in DOUBTS:
        (line,) = refused(book, *[row | cells for row in rows_of()])

        assert line[:2] == (2, column)
        assert line[2].startswith("The whole overhaul: ")
        assert words in line[2]


def test_hours_that_fall_between_two_overhauls_of_one_file_are_refused(book: Book, chief: Person) -> None:
    later = rows_of("8", "2003-06-01", "9000")

    assert [each.name for each in looked_through(book, a_table(later + rows_of())).ready] == ["7"]
    assert "It cannot run back" in refused(book, *later, *rows_of())[0][2]


def test_paper_of_a_day_after_the_machine_was_opened_is_refused(book: Book, chief: Person) -> None:
    with book.reading() as session:
        machine = setting_of(session, "GA-1", "QM-GA", "C").machine
    an_overhaul(book, machine, "61000", BEGAN + timedelta(days=400), a_sheet())

    assert "open since 4 Feb 2021" in refused(book, *rows_of("9", "2022-01-01", "61500"))[0][2]


LINES: list[tuple[Cells, str, str]] = [
    ({"overhaul": ""}, "overhaul", "Name the overhaul of this row"),
    ({"machine": "GA-2"}, "machine", "This page brings in overhauls of GA-1."),
    ({"part": "2.flywheel"}, "part", "The sheet has no part"),
    ({"value": "2l.9"}, "value", ""),
    ({"date": "31.02.1999"}, "date", "Give the date as"),
    ({"date": "2999-01-01"}, "date", "This lies in the future"),
    ({"hours": "9351"}, "hours", "Line 2 gives 9350 h. Which is right?"),
    ({"unit": "cm"}, "unit", "is not a unit of length"),
    ({"done": "polished"}, "done", "Write what was done with the part: “reused”, “reworked”, “renewed”."),
    ({"part_number": "QM-1"}, "done", "Write what was done"),
    ({"done": "reused", "batch": "7"}, "batch", "This belongs to a part that was renewed."),
    ({"done": "renewed", "batch": "7" * 121}, "batch", "At most 120 characters."),
    ({"done": "reworked", "made_to": "21.8"}, "made_to", "Only a bore is made to a size"),
    ({"part": "2.cylinder", "characteristic": "seen", "value": "", "findings": "sound", "done": "reworked",
      "made_to": "782.5"}, "made_to", "782.5 cannot be"),
    ({"part": "2.cylinder", "characteristic": "seen", "value": "", "findings": "sound", "done": "reworked",
      "made_to": "wide"}, "made_to", ""),
    ({"part": "2.cylinder", "characteristic": "seen", "value": "", "findings": "sound", "done": "reused",
      "made_to": "78.25"}, "made_to", "A part that was reused was not made to a size."),
]  # fmt: skip


def test_each_line_that_is_not_as_it_should_be_is_listed_with_column_and_reason(book: Book, chief: Person) -> None:
    rows = [a_row("2.pin", "diameter", value="21.99", **HEAD) | cells for cells, _, _ in LINES]

    found = looked_through(book, a_table([a_row("2.ring-1", "seen", findings="sound", **HEAD), *rows]))

    assert [(line.line, line.column) for line in found.lines] == [(n, each[1]) for n, each in enumerate(LINES, start=3)]
    assert all(words in line.words for line, (_, _, words) in zip(found.lines, LINES, strict=True))
    assert found.refused_count == len(LINES)
    assert [len(each.readings) for each in found.ready] == [1]


def test_a_size_that_cannot_be_is_told_apart_as_a_slip(book: Book, chief: Person) -> None:
    found = looked_through(book, a_table([a_row("2.pin", "diameter", value="219.9", **HEAD)]))

    assert [line.found for line in found.slips] == ["219.9"]
    assert found.ready == []


def test_a_second_row_for_a_place_is_refused_and_so_is_what_says_otherwise_of_a_part(book: Book, chief: Person) -> None:
    first = a_row("2.pin", "diameter", value="21.99", done="renewed", **HEAD)

    found = refused(
        book, first, first, first | {"value": "21.98"}, first | {"done": "reused", "characteristic": "seen"}
    )

    assert found == [
        (3, "part", "Line 2 is for the same place already, with the same words."),
        (4, "part", "Line 2 is for the same place already: 21.99 mm."),
        (5, "done", "Line 2 says otherwise of this part. Which is right?"),
    ]


def test_a_row_may_say_only_what_was_done_and_a_row_that_says_nothing_is_passed_over(book: Book, chief: Person) -> None:
    done = a_row("2.pin", "", done="renewed", **HEAD)

    found = looked_through(
        book, a_table([done, a_row("2.pin", "diameter"), a_row("2.ring-1", "seen", findings="sound")])
    )

    assert found.row_count == 2
    assert [(ref, work.verdict) for ref, work in found.ready[0].works] == [("2.pin", Verdict.RENEW)]
    assert found.ready[0].scope.stages == (2,)
