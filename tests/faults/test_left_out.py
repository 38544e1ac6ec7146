"""A damaged book and a backup from before its last entries: none of them is left behind without a word."""

import csv
import json
import shutil
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from app.__main__ import main
from app.actions.backups import Backups
from app.application import open_book
from app.settings import Settings
from app.store.chain import chain_head, list_entries, verify_chain
from app.store.evidence import verify_evidence
from app.store.newer import find_newer
from app.store.readings import list_readings, save_reading
from app.store.wholeness import say_damaged
from tests.builders import NOW, a_book
from tests.faults.test_torn import tear
from tests.store.builders import a_reading, a_writing, an_open_book
from tests.web.visitor import words_of
from tests.web.workshop import Workshop

PAGE = 4096
LATER = 60


@pytest.fixture
def settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Settings:
    """Settings by which the command line finds a book with 20 readings in its backup and 60 more."""
    for name, value in (("DATA_FOLDER", tmp_path), ("PORT", 0), ("SITE_ZONE", "Europe/London")):
        monkeypatch.setenv(f"WEARBOOK_{name}", str(value))
    settings = Settings(data_folder=tmp_path, port=0, site_zone="Europe/London")
    with closing(a_book(tmp_path)) as book:
        _, overhaul_id = an_open_book(book)
        _read(book, overhaul_id, range(20))
        Backups(book, settings).take(NOW)
        _read(book, overhaul_id, range(20, 20 + LATER))
    return settings


def _read(book, overhaul_id: int, numbers: range) -> None:
    for number in numbers:
        at = NOW + timedelta(minutes=number)
        with a_writing(book, "M. Tarrow", at) as writing:
            save_reading(writing, overhaul_id, a_reading(f"reading-{number:06}", measured_at=at, stored_at=at))


def the_backup(settings: Settings) -> Path:
    (backup,) = (settings.data_folder / "backups").glob("*.db")
    return backup


def tear_entry(path: Path, number: int) -> None:
    """Write rubbish over the head of the page on which the entry of a reading lies."""
    tear(path, path.read_bytes().rindex(f'"id":"reading-{number:06}"'.encode()) // PAGE + 1)


def change_entry(path: Path, number: int) -> None:
    """Change one byte of the entry of a reading, wherever the file has it."""
    path.write_bytes(path.read_bytes().replace(f'"id":"reading-{number:06}"'.encode(), b'"id":"reading-xxxxxx"'))


def listed(settings: Settings) -> list[dict[str, str]]:
    (file,) = settings.data_folder.glob("wearbook-entries-*.csv")
    with file.open(encoding="utf-8-sig", newline="") as lines:
        return list(csv.DictReader(lines))


def test_restore_replaces_nothing_before_what_it_would_leave_out_is_counted_and_listed(settings, capsys) -> None:
    before = {each: each.read_bytes() for each in settings.data_folder.iterdir() if each.is_file()}

    status, told = main(["restore", str(the_backup(settings))]), capsys.readouterr().err

    rows = listed(settings)
    backup = the_backup(settings)
    assert status == 1
    assert f"holds {LATER} entries that {backup} does not" in told
    assert f"GA-1, overhaul 1: {LATER} by M. Tarrow" in told
    assert "Nothing was replaced." in told
    assert f"python -m app restore {backup} --leave-newer" in told
    assert [json.loads(row["new"])["id"] for row in rows] == [f"reading-{n:06}" for n in range(20, 20 + LATER)]
    assert {(row["where"], row["part"], row["as_written"]) for row in rows} == {("GA-1, overhaul 1", "2.ring-1", "yes")}
    assert (rows[0]["at_utc"], rows[0]["at_site"]) == ("2026-11-24T09:20:00.000000+00:00", "24 Nov 2026 09:20 UTC")
    assert "goes_typed: 0.45" in rows[0]["told"]
    assert {each: each.read_bytes() for each in before} == before


def test_torn_page_hides_no_other_entry_and_a_changed_one_is_named(settings, capsys) -> None:
    tear_entry(settings.book_path, 45)
    change_entry(settings.book_path, 70)
    torn = settings.book_path.read_bytes()
    backup = the_backup(settings)

    refused = main(["restore", str(backup)])
    newer, rows, told = find_newer(settings.book_path, backup), listed(settings), capsys.readouterr().err
    status = main(["restore", str(backup), "--leave-newer"])

    assert newer is not None
    assert (refused, status) == (1, 0)
    assert 0 < len(newer.unread) < 10
    assert len(rows) + len(newer.unread) == LATER
    assert [row["as_written"] for row in rows].count("no") == 1
    assert f"Not to be read any more: entries {newer.unread[0]} to {newer.unread[-1]}." in told
    assert f"Not as they were written, or torn from the one before: entry {newer.altered[0]}." in told
    (aside,) = settings.data_folder.glob("wearbook-set-aside-*.db")
    assert aside.read_bytes() == torn
    with closing(open_book(settings)) as book, book.reading() as session:
        entry = list_entries(session, "book")[-1]
        assert (verify_chain(session), verify_evidence(session)) == (None, [])
        assert len(list_readings(session, 1)) == 20
    assert (
        f"{len(rows)} entries of the book before are not in this one; {len(newer.unread)} of its entries" in entry.why
    )
    assert "lists what was read" in entry.why


def test_entries_that_stand_in_the_log_of_a_killed_server_alone_are_counted_too(settings, tmp_path: Path) -> None:
    killed = tmp_path / "killed"
    with closing(open_book(settings)) as book:
        _read(book, 1, range(80, 90))
        killed.mkdir()
        for ending in ("", "-wal"):
            shutil.copy(f"{book.path}{ending}", killed)
        with book.reading() as session:
            head = chain_head(session)
    left = (killed / "wearbook.db-wal").read_bytes()

    newer = find_newer(killed / "wearbook.db", the_backup(settings))

    assert newer is not None
    assert (len(newer.entries), newer.head, newer.altered) == (LATER + 10, head, ())
    assert (killed / "wearbook.db-wal").read_bytes() == left


def test_book_of_which_nothing_can_be_read_is_replaced_only_by_a_second_word(settings, capsys) -> None:
    settings.book_path.write_bytes(b"\x07" * 50_000)
    backup = the_backup(settings)

    refused, told = main(["restore", str(backup)]), capsys.readouterr().err
    status = main(["restore", str(backup), "--leave-newer"])

    assert (refused, status) == (1, 0)
    assert f"What {settings.book_path} holds beyond {backup} cannot be read." in told
    with closing(open_book(settings)) as book, book.reading() as session:
        assert list_entries(session, "book")[-1].why == "how far the book before had come could not be read"


def test_book_that_the_backup_holds_whole_is_replaced_at_once(settings) -> None:
    main(["backup"])
    newest = max((settings.data_folder / "backups").glob("*.db"))

    assert main(["restore", str(newest)]) == 0
    assert not list(settings.data_folder.glob("wearbook-entries-*"))


def test_backup_of_another_course_of_the_book_leaves_out_all_since_they_parted(settings, tmp_path: Path) -> None:
    other = shutil.copy(the_backup(settings), tmp_path / "other.db")
    with closing(open_book(Settings(data_folder=tmp_path / "apart", site_key=settings.key_path))):
        pass
    shutil.copy(other, tmp_path / "apart" / "wearbook.db")
    with closing(a_book(tmp_path / "apart")) as book:
        _read(book, 1, range(500, 505))

    newer = find_newer(settings.book_path, tmp_path / "apart" / "wearbook.db")

    assert newer is not None
    assert len(newer.entries) == LATER
    assert newer.altered == ()


def test_list_that_cannot_be_written_keeps_the_book_where_it_is(settings, monkeypatch, capsys) -> None:
    def full(_file: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)

    assert main(["restore", str(the_backup(settings)), "--leave-newer"]) == 1
    assert "No space left on device. Nothing was replaced." in capsys.readouterr().err
    assert not list(settings.data_folder.glob("*set-aside*"))


def test_page_of_backups_says_of_a_damaged_book_how_much_the_newest_backup_lacks(book) -> None:
    shop = Workshop(book).safe()
    Backups(book, Settings(data_folder=book.path.parent)).take(NOW)
    shop.all_gauged()
    whole = words_of(shop.auditor.get("/backups").text)
    say_damaged(book, "The book's file is damaged.")

    page = words_of(shop.auditor.get("/backups").text)

    assert "does not hold the last" not in whole
    assert "The newest backup does not hold the last " in page
