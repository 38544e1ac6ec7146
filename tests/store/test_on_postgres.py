"""Tests of what a book in PostgreSQL alone has: several processes, tables emptied at once, and the move from a file."""

import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from app.__main__ import main
from app.actions.backups import Backups
from app.actions.elsewhere import bring_in
from app.actions.people import person_named
from app.actions.verifying import verify_book
from app.domain.errors import InputRefused
from app.settings import Settings
from app.store.backup import BackupFailed
from app.store.book import Book
from app.store.chain import chain_head, verify_chain
from app.store.copies import back_up_book
from app.store.dump import verify_dump
from app.store.evidence import verify_evidence
from app.store.heads_file import sign_head
from app.store.opening import give_key
from app.store.postgres import StrangeAddress, read_address
from app.store.readings import list_readings, save_reading
from tests.builders import a_book, an_app
from tests.demonstration_book import copy_demonstration
from tests.on_postgres import ADDRESS, MISSING, a_book_on_postgres, a_database
from tests.store.behind import past_the_book
from tests.store.builders import NOW, a_reading, a_writing, an_open_book
from tests.web.test_elsewhere import a_bundle
from tests.web.visitor import Visitor
from tests.web.workshop import Workshop

ROOT = Path(__file__).parents[2]
WRITER = """
import sys
from pathlib import Path
from app.store.book import Book
from app.store.postgres import read_address
from app.store.readings import save_reading
from tests.store.builders import a_reading, a_writing

book = Book(Path(sys.argv[1]), read_address(sys.argv[2]))
for number in range(40):
    with a_writing(book) as writing:
        save_reading(writing, int(sys.argv[3]), a_reading(f"{sys.argv[4]}-{number}"))
    print(f"{sys.argv[4]}-{number}", flush=True)
"""
pytestmark = pytest.mark.skipif(not ADDRESS, reason=MISSING)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Book]:
    with a_book_on_postgres(tmp_path) as book:
        yield book


def test_four_processes_write_one_chain_and_lose_nothing_when_one_is_killed(book: Book) -> None:
    _, overhaul_id = an_open_book(book)
    address = book.url.render_as_string(hide_password=False)
    command = [sys.executable, "-c", WRITER, str(book.path), address, str(overhaul_id)]
    writers = [subprocess.Popen([*command, f"w{one}"], cwd=ROOT, stdout=subprocess.PIPE, text=True) for one in range(4)]

    told = [writers[0].stdout.readline().strip() for _ in range(10)]  # type: ignore[union-attr]
    writers[0].kill()
    # Read on from the same stream: what came with the tenth line waits in it, and communicate would pass it over.
    told += [line for writer in writers for line in writer.stdout.read().split()]  # type: ignore[union-attr]
    ends = [writer.wait(60) for writer in writers]
    for writer in writers:
        writer.stdout.close()  # type: ignore[union-attr]

    assert ends == [-signal.SIGKILL, 0, 0, 0]
    with book.reading() as session:
        kept = {reading.id for reading in list_readings(session, overhaul_id)}
        assert verify_chain(session) is None
        assert verify_evidence(session) == []
    assert {f"w{one}-{number}" for one in (1, 2, 3) for number in range(40)} <= set(told) <= kept
    assert len(kept) <= len(told) + 1


@pytest.mark.parametrize("table", ["entry", "reading", "signature", "overhaul", "photo_file"])
def test_sealed_table_refuses_to_be_emptied_at_once(book: Book, table: str) -> None:
    with pytest.raises(IntegrityError, match="are never deleted"), past_the_book(book) as connection:
        connection.execute(text(f"TRUNCATE {table} CASCADE"))


def test_seal_that_was_switched_off_is_named(book: Book) -> None:
    with past_the_book(book) as connection:
        connection.execute(text("ALTER TABLE reading DISABLE TRIGGER ALL"))

    settings = Settings(data_folder=book.path.parent)
    found = verify_book(book, settings).faults

    with past_the_book(book) as connection:
        connection.execute(text("ALTER TABLE reading ENABLE TRIGGER ALL"))
    assert found == ("The seal of reading is off: its rows can be changed.",)
    assert verify_book(book, settings).faults == ()


def test_what_another_process_entered_and_counted_is_known_here(book: Book) -> None:
    with closing(Book(book.path, book.url)) as beside:
        before = book.last_moment()
        an_open_book(beside)
        for _ in range(4):
            beside.attempts.begin("M. Tarrow", "10.0.0.6", NOW, "password")

        assert (before, book.last_moment()) == (None, NOW)
        with pytest.raises(InputRefused, match="Too many"):
            book.attempts.begin("m. tarrow", "10.0.0.6", NOW, "password")
        book.attempts.forget("M. Tarrow", "10.0.0.6")
        beside.attempts.begin("M. Tarrow", "10.0.0.6", NOW, "password")


def test_copy_is_read_again_and_must_hold_the_chain(book: Book, tmp_path: Path) -> None:
    an_open_book(book)
    with book.reading() as session:
        seq, digest = chain_head(session)

    copy = back_up_book(book, tmp_path / "copies" / "one.dump")

    verify_dump(copy, (seq, digest))
    with pytest.raises(BackupFailed, match="does not hold entry"):
        verify_dump(copy, (seq, "another"))
    copy.write_bytes(copy.read_bytes()[:-2000])
    with pytest.raises(BackupFailed, match="not a whole copy"):
        verify_dump(copy, (seq, digest))


def test_backup_on_demand_is_listed(book: Book) -> None:
    an_open_book(book)
    backups = Backups(book, Settings(data_folder=book.path.parent))

    path = backups.take(NOW)

    assert [each.path for each in backups.listed()] == [path]
    assert not backups.is_due(NOW)


def test_book_moves_with_every_row_seal_and_number_and_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = copy_demonstration(tmp_path).rename(tmp_path / "wearbook.db")
    monkeypatch.setenv("WEARBOOK_DATA_FOLDER", str(tmp_path))
    settings = Settings(data_folder=tmp_path)
    with closing(Book(path)) as file:
        give_key(file, settings.key_path)
        sign_head(file, NOW, settings.heads_path)
        with file.reading() as session:
            head = chain_head(session)
    before = path.read_bytes()

    with a_database() as address:
        statuses = [main(["move-to", address]) for _ in range(2)]
        monkeypatch.setenv("WEARBOOK_DATABASE_URL", address)
        verified = main(["verify"])
        with closing(Book(path, read_address(address))) as moved:
            with moved.reading() as session:
                arrived = chain_head(session)
            give_key(moved, settings.key_path)
            with a_writing(moved) as writing:
                save_reading(writing, 1, a_reading("after-the-move"))
            sign_head(moved, NOW, settings.heads_path)
            after = verify_book(moved, settings)

    said = capsys.readouterr()
    assert (statuses, verified) == ([0, 1], 0)
    assert "is not empty; it was left alone" in said.err
    assert (arrived, after.faults, after.head_seq) == (head, (), head[0] + 1)
    assert (len(after.keys), after.heads) == (1, 2)
    assert path.read_bytes() == before


def test_records_of_other_books_move_to_the_letter_and_are_read_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    with closing(a_book(tmp_path / "there")) as other:
        content = a_bundle(Workshop(other).all_gauged())
    with closing(a_book(tmp_path / "here")) as file:
        Workshop(file)
        bring_in(file, person_named(file, "R. Osk"), content, NOW)
    settings = Settings(data_folder=tmp_path / "here")
    monkeypatch.setenv("WEARBOOK_DATA_FOLDER", str(settings.data_folder))

    with a_database() as address:
        moved = main(["move-to", address])
        with closing(Book(settings.book_path, read_address(address))) as book:
            give_key(book, settings.key_path)
            auditor = Visitor(an_app(book)).sign_in("S. Venn")
            record = auditor.get("/elsewhere/1/overhauls/1/record").text
            listed, kept = auditor.get("/elsewhere").text, auditor.get("/elsewhere/1/bundle.zip").content
            again = bring_in(book, person_named(book, "R. Osk"), content, NOW)
            faults = verify_book(book, settings).faults

    assert (moved, faults, kept) == (0, (), content), capsys.readouterr().err
    assert "Read-only: a record of Quillmoor" in record
    assert "signed by the key " in listed
    assert (again.number, len(again.held)) == (None, 1)


@pytest.mark.parametrize("address", ["mysql://a@b/c", "postgresql://only-a-host", "no address"])
def test_address_of_no_such_database_is_refused_in_words(address: str) -> None:
    with pytest.raises(StrangeAddress, match="is expected"):
        read_address(address)
