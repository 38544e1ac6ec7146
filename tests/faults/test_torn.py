"""A torn page, a backup and a migration cut off in the middle, a clock set back: none of them silent."""

import os
import signal
import subprocess
import sys
import threading
import time
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from app.__main__ import main
from app.actions.backups import Backups
from app.actions.clock import clock_trouble, enter_clock_set_back
from app.application import create_app, open_book
from app.settings import Settings
from app.store.backup import verify_copy
from app.store.book import Book, Damaged, NotStored
from app.store.chain import list_entries, verify_chain
from app.store.evidence import verify_evidence
from app.store.migration import migrate
from app.store.opening import CannotOpen
from app.store.people import list_people
from app.store.readings import list_readings, save_reading
from app.store.wholeness import damage_of, leave_note, take_note
from tests.builders import NOW, PASSWORD, a_book, a_person
from tests.store.builders import a_reading, a_writing, an_open_book
from tests.store.test_migration import _with_a_next_step
from tests.web.visitor import Visitor, words_of
from tests.web.workshop import Workshop

ROOT = Path(__file__).parents[2]
PAGE = 4096


def a_book_with_readings(folder: Path, count: int) -> int:
    """A book with readings, closed; its overhaul."""
    with closing(a_book(folder)) as book:
        _, overhaul_id = an_open_book(book)
        with a_writing(book) as writing:
            for number in range(count):
                save_reading(writing, overhaul_id, a_reading(f"reading-{number:06}"))
    return overhaul_id


def tear(path: Path, page: int) -> None:
    """Write rubbish over the head of a page."""
    with path.open("r+b") as file:
        file.seek((page - 1) * PAGE)
        file.write(b"\xa5" * 64)


def test_start_with_a_torn_page_is_refused_in_words_that_name_the_newest_backup(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    overhaul_id = a_book_with_readings(tmp_path, 200)
    settings = Settings(data_folder=tmp_path)
    with closing(open_book(settings)) as book:
        backup = Backups(book, settings).take(NOW)
    tear(settings.book_path, 30)
    torn = settings.book_path.read_bytes()
    monkeypatch.setenv("WEARBOOK_DATA_FOLDER", str(tmp_path))
    monkeypatch.setenv("WEARBOOK_PORT", "0")

    status, told = main(["serve"]), capsys.readouterr().err
    left_alone = settings.book_path.read_bytes() == torn
    restored = main(["restore", str(backup)])

    assert (status, restored, left_alone) == (1, 0, True)
    assert "damaged" in told or "malformed" in told
    assert f"python -m app restore {backup}" in told
    with closing(open_book(settings)) as book, book.reading() as session:
        assert len(list_readings(session, overhaul_id)) == 200


@pytest.mark.parametrize("page", [2, 17, 41])
def test_every_torn_page_is_noticed_at_start(tmp_path: Path, page: int) -> None:
    a_book_with_readings(tmp_path, 100)
    tear(tmp_path / "wearbook.db", page)

    with pytest.raises(CannotOpen, match="no backup in the folder"):
        open_book(Settings(data_folder=tmp_path))


def serve_once(settings: Settings) -> None:
    """Serve a book, and end in order."""
    with TestClient(create_app(settings)):
        pass


def test_book_closed_in_order_is_served_at_once_and_what_was_torn_since_is_told_and_stores_nothing_more(
    tmp_path: Path,
) -> None:
    a_book_with_readings(tmp_path, 100)
    settings = Settings(data_folder=tmp_path)
    serve_once(settings)
    (backup,) = (tmp_path / "backups").glob("*.db")
    left = settings.book_path.stat()
    tear(settings.book_path, 17)
    os.utime(settings.book_path, ns=(left.st_atime_ns, left.st_mtime_ns))  # as a disk does that forgets by itself

    app = create_app(settings)
    with TestClient(app) as client:
        for looking in [thread for thread in threading.enumerate() if thread.name == "pages"]:
            looking.join()
        page, health = client.get("/sign-in"), client.get("/healthz")
        with pytest.raises(NotStored, match=f"damaged.*app restore {backup}"), app.state.book.writing("M. Tarrow", NOW):
            pass

    assert "The book’s file damaged" in words_of(page.text)
    assert (page.status_code, health.status_code) == (200, 503)
    with pytest.raises(CannotOpen, match=f"app restore {backup}"):
        create_app(settings)


def test_book_that_did_not_end_in_order_or_was_changed_since_is_read_before_it_is_served(tmp_path: Path) -> None:
    a_book_with_readings(tmp_path, 100)
    path, settings = tmp_path / "wearbook.db", Settings(data_folder=tmp_path)
    note = tmp_path / "wearbook.db-closed"

    served = []
    for change in (
        lambda: None,
        note.unlink,
        lambda: path.with_name("wearbook.db-wal").write_bytes(b"left behind"),
        path.touch,
    ):
        serve_once(settings)
        change()
        served.append(take_note(path))
    with closing(create_app(settings).state.book):
        is_noted_while_open = note.exists()

    assert (served, is_noted_while_open) == ([True, False, False, False], False)


def test_page_found_torn_by_a_reader_is_told_on_every_page_and_read_first_at_the_next_start(book: Book) -> None:
    visitor = Visitor(Workshop(book).safe().app)
    visitor.get("/sign-in")
    for page in range(2, book.path.stat().st_size // PAGE):
        tear(book.path, page)

    answer = visitor.post("/sign-in", {"name": "M. Tarrow", "password": PASSWORD}, 503)
    leave_note(book)

    assert "The book’s file damaged" in words_of(answer.text)
    assert "is damaged" in damage_of(book)
    assert not take_note(book.path)


def test_page_torn_while_the_book_is_open_is_said_in_words(tmp_path: Path) -> None:
    overhaul_id = a_book_with_readings(tmp_path, 200)
    path = tmp_path / "wearbook.db"
    with closing(Book(path)) as book:
        for page in range(2, path.stat().st_size // PAGE):
            tear(path, page)

        with pytest.raises(Damaged, match="starting it again names the newest backup"), book.reading() as session:
            list_readings(session, overhaul_id)


CUT_OFF = """
import sys
from pathlib import Path
from app.store.backup import back_up
while True:
    target = Path(sys.argv[2])
    target.unlink(missing_ok=True)
    back_up(Path(sys.argv[1]), target)
    print("whole", flush=True)
"""


def test_backup_cut_off_is_no_backup_and_the_next_one_clears_it_away(tmp_path: Path) -> None:
    a_book_with_readings(tmp_path, 3000)
    settings = Settings(data_folder=tmp_path)
    unfinished = tmp_path / "backups" / "wearbook-20260101T000000Z.db.part"
    target = unfinished.with_suffix("")

    with subprocess.Popen([sys.executable, "-c", CUT_OFF, settings.book_path, target], cwd=ROOT) as copying:
        while not (unfinished.exists() and not target.exists()):
            assert copying.poll() is None
            time.sleep(0.0005)
        copying.kill()
    with closing(open_book(settings)) as book:
        backups = Backups(book, settings)
        was_left, listed = unfinished.exists(), backups.listed()
        path = backups.take(NOW)

        assert was_left
        assert listed == []
        assert [each.path for each in backups.listed()] == [path]
        assert sorted(each.name for each in path.parent.iterdir()) == [path.name, "wearbook-heads.txt"]


CUT_OFF_UPGRADE = """
import sys
from pathlib import Path
from app.store.book import Book
from app.store.migration import migrate
migrate(Book(Path(sys.argv[1])), Path(sys.argv[2]))
"""


def test_migration_cut_off_leaves_the_book_as_it_was_and_is_taken_up_at_the_next_start(tmp_path: Path) -> None:
    overhaul_id = a_book_with_readings(tmp_path, 50)
    path = tmp_path / "wearbook.db"
    with closing(Book(path)) as book:
        newest = book.revision()
    killing = _with_a_next_step(tmp_path / "killed", newest, fails="import os; os.kill(os.getpid(), 9)")
    whole = _with_a_next_step(tmp_path / "whole", newest)

    status = subprocess.run([sys.executable, "-c", CUT_OFF_UPGRADE, path, killing], cwd=ROOT, check=False).returncode
    (backup,) = (tmp_path / "backups").glob("*.db")
    with closing(Book(path)) as book:
        stands_at = book.revision()
        migrate(book, whole)

        with book.reading() as session:
            assert len(list_readings(session, overhaul_id)) == 50
            assert verify_chain(session) is None
            assert verify_evidence(session) == []
        assert (status, stands_at, book.revision()) == (-signal.SIGKILL, newest, "9999")
    verify_copy(backup)


def test_clock_set_back_is_entered_once_before_what_is_entered_by_it(tmp_path: Path) -> None:
    with closing(a_book(tmp_path)) as book:
        a_person(book)
        earlier = NOW - timedelta(days=30)

        in_time = clock_trouble(book, NOW - timedelta(minutes=1))
        for _ in range(2):
            enter_clock_set_back(book, earlier)
        with book.writing("M. Tarrow", earlier):
            pass

        with book.reading() as session:
            entries = list_entries(session)
            assert verify_chain(session) is None
            assert [person.name for person in list_people(session)] == ["M. Tarrow"]
        assert [entry.what for entry in entries] == ["clock set back", "person added", "site key begun"]
        assert (entries[0].at, entries[0].person) == (earlier, "the clock")
        assert in_time == ""
        assert "24 Nov 2026 09:00 UTC" in clock_trouble(book, earlier)
    with closing(a_book(tmp_path)) as again:
        assert clock_trouble(again, earlier)


def test_clock_behind_the_last_entry_is_told_on_every_page_and_entered_with_the_first_form(book: Book) -> None:
    shop = Workshop(book).safe()
    with book.writing("M. Tarrow", datetime.now(UTC) + timedelta(days=400)) as writing:
        writing.enter("reading entered by a clock ahead", "test", None, None)

    page = shop.fitter.get(shop.url("/gauge/2.pin/diameter"))
    shop.fitter.post("/sign-out")

    assert "behind the last entry of" in words_of(page.text)
    with book.reading() as session:
        assert next(entry.what for entry in list_entries(session)) == "clock set back"
