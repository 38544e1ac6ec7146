"""Tests of backups taken by themselves and on demand, and of the book put back after its folder is gone."""

import json
import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from getpass import getuser
from hashlib import sha256
from pathlib import Path

import pytest

from app.__main__ import main
from app.actions.backups import Backups, back_up_now, taken_daily
from app.application import open_book
from app.domain.errors import NotAllowed
from app.domain.people import Role
from app.settings import Settings
from app.store.backup import BackupFailed, must_hold
from app.store.chain import chain_head, find_entry, list_entries, verify_chain
from app.store.evidence import verify_evidence
from app.store.site_key import KeyRefused
from app.store.site_signatures import list_heads, signature_faults
from tests.builders import NOW, a_book, a_person

DAY = timedelta(days=1)


@pytest.fixture
def book(tmp_path: Path):
    book = a_book(tmp_path / "data")
    yield book
    book.close()


def book_of(settings: Settings):
    """The book as it lies, opened."""
    return closing(open_book(settings))


def backups_of(book, **settings: object) -> Backups:
    return Backups(book, Settings(data_folder=book.path.parent, **settings))  # type: ignore[arg-type]


def test_backup_is_due_when_there_is_none_then_a_day_later_and_never_where_none_is_wanted(book) -> None:
    backups = backups_of(book)

    before = backups.is_due(NOW)
    backups.look(NOW)

    assert (before, backups.is_due(NOW + timedelta(hours=23)), backups.is_due(NOW + DAY)) == (True, False, True)
    assert not backups_of(book, backup_hours=0).is_due(NOW)


def test_backup_from_a_wrong_clock_keeps_none_from_being_taken(book) -> None:
    backups = backups_of(book)
    backups.take(NOW + 400 * DAY)

    assert backups.is_due(NOW)


def test_backup_holds_the_chain_as_it_stood_when_it_was_begun(book) -> None:
    a_person(book)
    path = backups_of(book).take(NOW)
    with book.reading() as session:
        head = chain_head(session)

    must_hold(path, head)
    with pytest.raises(BackupFailed, match="does not hold entry 1"):
        must_hold(path, (1, "another digest"))
    with pytest.raises(BackupFailed, match="does not hold entry 3"):
        must_hold(path, (3, head[1]))


def test_asking_twice_in_one_second_takes_one(book) -> None:
    backups = backups_of(book)

    assert backups.take(NOW) == backups.take(NOW)
    assert len(backups.listed()) == 1


def test_old_backups_go_by_the_rule_and_nothing_else_in_the_folder_does(book) -> None:
    backups = backups_of(book, backup_days=3, backup_months=1)
    backups.folder.mkdir()
    strangers = [backups.folder / name for name in ("notes.txt", "wearbook-at-0001-20200101T000000000000Z.db")]
    for path in strangers:
        path.write_text("not ours to remove")

    for day in range(6):
        backups.take(NOW + day * DAY)

    assert [each.at for each in backups.listed()] == [NOW + day * DAY for day in (5, 4, 3)]
    assert all(path.exists() for path in strangers)


def test_failed_backup_is_told_tried_again_later_and_forgotten_once_one_is_taken(book) -> None:
    backups = backups_of(book)
    backups.folder.write_text("a file where the folder should be")

    backups.look(NOW)
    told, at_once, later = backups.trouble(), backups.is_due(NOW + timedelta(minutes=1)), NOW + timedelta(minutes=16)
    with pytest.raises(BackupFailed):
        backups.take(later)
    backups.folder.unlink()
    backups.look(later + timedelta(minutes=16))

    assert str(backups.folder) in told
    assert not at_once
    assert backups.trouble() == ""
    assert len(backups.listed()) == 1


def test_backup_is_taken_beside_the_serving_by_itself(book) -> None:
    backups = backups_of(book)

    with taken_daily(backups):
        pass

    assert len(backups.listed()) == 1


def test_only_a_chief_engineer_asks_for_a_backup(book) -> None:
    backups = backups_of(book)

    with pytest.raises(NotAllowed):
        back_up_now(backups, a_person(book), NOW)

    assert back_up_now(backups, a_person(book, "I. Brandreth", Role.CHIEF), NOW).exists()


@pytest.fixture
def environment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Settings:
    """Settings by which the command line finds the book, its backups on another disk."""
    settings = Settings(data_folder=tmp_path / "data", backup_folder=tmp_path / "stick", port=0)
    for name in ("data_folder", "backup_folder", "port"):
        monkeypatch.setenv(f"WEARBOOK_{name.upper()}", str(getattr(settings, name)))
    return settings


def test_book_is_put_back_by_one_command_after_its_folder_is_destroyed(book, environment: Settings, capsys) -> None:
    a_person(book)
    with book.reading() as session:
        head = chain_head(session)
    book.close()
    backed_up = main(["backup"])
    (backup,) = environment.backup_folder.glob("*.db")

    key = environment.key_path.read_bytes()  # kept elsewhere: no backup holds it
    shutil.rmtree(environment.data_folder)
    restored = main(["restore", str(backup)])
    said = capsys.readouterr()
    with pytest.raises(KeyRefused, match="Put its file there"):
        open_book(environment)
    environment.key_path.write_bytes(key)

    with closing(open_book(environment)) as again, again.reading() as session:
        assert verify_chain(session) is None
        assert (verify_evidence(session), signature_faults(session)) == ([], [])
        (entry,) = list_entries(session, "book")
        told, before = json.loads(entry.new), find_entry(session, head[0])
    assert before is not None
    assert (entry.what, entry.seq, before.digest) == ("book restored", head[0] + 1, head[1])
    assert (entry.old, entry.person) == ("null", f"account {getuser()}")
    assert (told["backup"], told["head"], told["head_digest"]) == (backup.name, *head)
    assert told["backup_sha256"] == sha256(backup.read_bytes()).hexdigest()
    assert (backed_up, restored) == (0, 0)
    assert "is in place" in said.out
    assert "No backup holds the site's key. This book is signed by the site's key " in said.err


def test_book_that_a_backup_replaces_is_set_aside_with_all_it_held(book, environment: Settings, capsys) -> None:
    backup = Backups(book, environment).take(NOW)
    a_person(book)
    book.close()

    with book_of(environment) as before, before.reading() as session:
        replaced = chain_head(session)
    stood = environment.book_path.read_bytes()
    refused = main(["restore", str(backup)]), environment.book_path.read_bytes()
    main(["restore", str(backup), "--by", "I. Brandreth", "--leave-newer"])

    with book_of(environment) as now, now.reading() as session:
        (entry,) = list_entries(session, "book")
    assert (entry.person, json.loads(entry.old)) == (
        "I. Brandreth", {"head": replaced[0], "head_digest": replaced[1]},
    )  # fmt: skip
    assert refused == (1, stood)
    assert entry.why.startswith("2 entries of the book before are not in this one; wearbook-entries-1-to-2-")
    (aside,) = environment.data_folder.glob("wearbook-set-aside-*.db")
    assert str(aside) in capsys.readouterr().out
    with closing(sqlite3.connect(aside)) as before, closing(sqlite3.connect(environment.book_path)) as now:
        counts = [each.execute("SELECT count(*) FROM person").fetchone()[0] for each in (before, now)]
    assert counts == [1, 0]


def test_backup_that_was_tampered_with_is_not_put_in_place(book, environment: Settings, capsys) -> None:
    a_person(book)
    backup = Backups(book, environment).take(NOW)
    with closing(sqlite3.connect(backup)) as changed, changed:
        changed.execute("UPDATE person SET name = 'X. Other'")
    book.close()

    status = main(["restore", str(backup)])

    assert status == 1
    assert "person, row 1 is not as entered" in capsys.readouterr().err
    with closing(open_book(environment)) as still, still.reading() as session:
        assert verify_chain(session) is None
        assert not list(environment.data_folder.glob("*set-aside*"))


def test_what_is_no_book_is_not_put_in_place(book, environment: Settings, tmp_path: Path, capsys) -> None:
    book.close()
    (tmp_path / "torn.db").write_bytes(b"SQLite format 3\x00" + b"\x07" * 5000)

    statuses = [main(["restore", str(tmp_path / name)]) for name in ("torn.db", "absent.db")]

    assert statuses == [1, 1]
    assert "not a whole book" in (told := capsys.readouterr().err) or "could not be copied" in told
    assert environment.book_path.exists()


def test_restore_is_refused_while_something_serves(environment: Settings, monkeypatch, capsys) -> None:
    import socket

    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        monkeypatch.setenv("WEARBOOK_PORT", str(taken.getsockname()[1]))
        status = main(["restore", "whatever.db"])

    assert status == 1
    assert "stop the server first" in capsys.readouterr().err


def test_demonstration_is_backed_up_only_on_demand(book) -> None:
    settings = replace(Settings(data_folder=book.path.parent), is_demonstration=True)

    assert not Backups(book, settings).is_due(datetime.now(UTC))


def test_head_is_signed_at_an_orderly_end_so_that_nothing_stands_unsigned_meanwhile(book) -> None:
    backups = backups_of(book)
    with taken_daily(backups):
        a_person(book, "S. Venn", Role.AUDITOR)

    with book.reading() as session:
        assert list_heads(session)[-1]["seq"] == chain_head(session)[0]
    assert chain_head_in(backups.heads) == list_heads_of(book)[-1]["digest"]


def test_file_put_in_place_by_hand_is_entered_at_the_first_start_and_once(book) -> None:
    backups = backups_of(book)
    old = Backups(book, Settings(data_folder=book.path.parent, backup_folder=Path("elsewhere"))).take(NOW)
    a_person(book)
    backups.end(NOW)
    signed = list_heads_of(book)[-1]
    book.close()
    for beside in ("-wal", "-shm"):
        book.path.with_name(book.path.name + beside).unlink(missing_ok=True)
    shutil.copyfile(old, book.path)

    with closing(open_book(Settings(data_folder=book.path.parent))) as again:
        for _ in range(2):
            backups_of(again).begin(NOW)
        with again.reading() as session:
            (entry,) = list_entries(session, "book")

    assert (entry.what, entry.person) == ("book gone back", "the server")
    assert json.loads(entry.old) == {"seq": signed["seq"], "digest": signed["digest"]}


def test_book_that_holds_its_last_signed_head_has_nothing_to_enter(book) -> None:
    a_person(book)
    backups = backups_of(book)
    backups.end(NOW)
    a_person(book, "R. Osk", Role.CHIEF)

    backups.begin(NOW)

    with book.reading() as session:
        assert list_entries(session, "book") == []


def list_heads_of(book):
    """The signed heads of a book."""
    with book.reading() as session:
        return list_heads(session)


def chain_head_in(path: Path) -> str:
    """The digest on the last line of the file of heads."""
    return path.read_text(encoding="utf-8").splitlines()[-1].partition("SHA-256 ")[2].split()[0]
