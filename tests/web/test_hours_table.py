"""Tests of the page of all meters: readings by a table, whole or not at all, in whatever way a table is written."""

from datetime import UTC, datetime, timedelta

from app.actions.meter import meter_of
from app.store.book import Book
from tests.builders import a_machine
from tests.web.visitor import Visitor, a_visitor, an_auditor, words_of

NOW = datetime.now(UTC)


def day(days: float) -> str:
    """The day so many days ago."""
    return (NOW - timedelta(days=days)).date().isoformat()


def german(days: float) -> str:
    """The same day, written the other way round."""
    return f"{NOW - timedelta(days=days):%d.%m.%Y}"


def at_the_table(book: Book) -> Visitor:
    """A fitter at the page, with two machines in the book."""
    for tag, sheet in (("GA-1", "QM-GA"), ("BA-1", "QM-BA")):
        a_machine(book, tag, "2000", NOW - timedelta(days=40), sheet)
    visitor = a_visitor(book)
    visitor.get("/hours")
    return visitor


def send(visitor: Visitor, text: str, status: int = 200) -> str:
    """Send a pasted table, and give the words that come back."""
    return words_of(visitor.post("/hours/table", {"text": text}, status).text)


def hours(book: Book, tag: str = "GA-1") -> list[str]:
    """The hours that count."""
    return [str(each.hours) for each in meter_of(book, tag).readings]


def test_a_table_of_several_machines_comes_in_whatever_the_order_of_its_rows(book: Book) -> None:
    visitor = at_the_table(book)
    table = f"machine,date,hours,time\nGA-1,{day(5)},2210,06:30\nBA-1,{day(9)},2100,\nGA-1,{day(15)},2150,\n"

    first, again = send(visitor, table), send(visitor, table)

    assert "3 readings kept" in first
    assert "0 readings kept 3 were in the book already." in again
    assert hours(book) == ["2000", "2150", "2210"]
    assert hours(book, "BA-1") == ["2000", "2100"]
    assert [each.source for each in meter_of(book, "BA-1").readings] == ["", "CSV"]


SPREADSHEETS = [
    f"\ufeffMachine;Date;Hours\r\nGA-1;{german(5)};2210,5\r\n".encode(),
    f"machine\tdate\thours\nGA-1\t{day(5)}\t2210.5\n".encode("utf-16"),
    f"machine;note;date;hours\nGA-1;Zähler;{day(5)};2210,5\n".encode("cp1252"),
    f'\n\nmachine,date,hours\n\nGA-1,{day(5)},"2210,5"\n,,\n'.encode(),
]


def test_a_table_is_read_as_spreadsheets_of_any_country_write_it(book: Book) -> None:
    visitor = at_the_table(book)

    for content in SPREADSHEETS:
        answer = visitor.post("/hours/table", status=200, files={"file": ("hours.csv", content, "text/csv")})
        words = words_of(answer.text)

        assert hours(book) == ["2000", "2210.5"]
        assert "1 reading kept" in words or "0 readings kept 1 was in the book already." in words


IN_DOUBT = [
    (f"XX-9,{day(5)},2210", "Line 3: machine: No machine “XX-9” is in the book."),
    (f"GA-1,{day(5)},two", "Line 3: hours: This is not one plain number."),
    ("GA-1,,2210", "Line 3: date: The day is missing."),
    ("GA-1,5 March,2210", "Line 3: date: A day is written 2026-11-24."),
    ("GA-1,31.02.2026,2210", "Line 3: date: A day is written"),
    (f"GA-1,{day(-4)},2210", "has not come yet"),
    (f"GA-1,{day(5)},1990", "Line 3: The meter stood at 2100 h"),
    (f"GA-1,{day(5)},9000", "is more than the clock has run"),
    (f"GA-1,{day(15)},2101", "Line 3: the same machine at the same time as line 2."),
    (f"GA-1,{day(5)},2,210,5", "Line 3: more cells than the heading has. A decimal comma"),
    (f'GA-1,{day(5)},"2210', "a quotation mark is not closed"),
]


def test_a_line_in_doubt_refuses_the_table_whole_and_is_named_by_its_number(book: Book) -> None:
    visitor = at_the_table(book)

    for row, said in IN_DOUBT:
        words = send(visitor, f"machine,date,hours\nGA-1,{day(15)},2100\n{row}\n", 422)

        assert "Nothing was kept." in words
        assert said in words
        assert f"GA-1,{day(15)},2100" in visitor.page
        assert hours(book) == ["2000"]


UNREADABLE = [
    ("", "Choose a file, or paste the table."),
    ("GA-1,2026-11-24,2100\n", "missing: machine, date, hours."),
    ("machine,hours\nGA-1,2100\n", "missing: date."),
    ("machine,date,hours,hours\n", "The column “hours” stands there 2 times."),
    ("machine,date,hours\n" + "GA-1,2026-11-24,2100\n" * 5001, "More than 5000 rows."),
    ("machine,date,hours\n" + "XX-1,2026-11-24,2100\n" * 150, "and 50 more"),
]


def test_a_table_that_cannot_be_read_says_what_is_expected(book: Book) -> None:
    visitor = at_the_table(book)

    for text, said in UNREADABLE:
        assert said in send(visitor, text, 422)
        assert hours(book) == ["2000"]


def test_a_million_rows_are_refused_before_they_are_read(book: Book) -> None:
    visitor = at_the_table(book)
    content = b"machine,date,hours\n" + b"GA-1,2026-11-24,2100\n" * 1_000_000

    visitor.post("/hours/table", status=413, files={"file": ("hours.csv", content, "text/csv")})

    assert hours(book) == ["2000"]


def test_bytes_that_are_no_text_are_refused_in_words(book: Book) -> None:
    visitor = at_the_table(book)

    answer = visitor.post("/hours/table", status=422, files={"file": ("hours.csv", b"\x81\x8d\x00", "text/csv")})

    assert "neither UTF-8 nor Windows-1252" in words_of(answer.text)


def test_an_auditor_sees_the_meters_without_forms(book: Book) -> None:
    at_the_table(book)

    page = an_auditor(book).get("/hours").text

    assert "GA-1" in page
    assert "/hours/table" not in page
    assert "/hours/tokens" not in page
