"""Tests that a book which each earlier version of the program has written comes into the newest form, still verifying.

The files in tests/old_books were written by the program as it stood at each of its forms, by its own tests' builders.
"""

import gzip
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from app.actions.export_files import Circumstances, Form, export_file
from app.actions.exports import Wanted
from app.actions.verifying import UNSIGNED, verify_book
from app.application import open_book
from app.domain.overhaul_verdicts import judge_overhaul
from app.domain.verdicts import Verdict
from app.settings import Settings
from app.store.heads_file import sign_head
from app.store.migration import MIGRATIONS
from app.store.overhauls import get_overhaul
from tests.builders import NOW, SITE_KEY

FOLDER = Path(__file__).parents[1] / "old_books"
OLD = sorted(path.name.partition(".")[0] for path in FOLDER.glob("*.db.gz"))
NEVER_NEWEST = {"0020"}  # came together with 0021, so no program ever wrote a book in this form


def test_there_is_a_book_in_every_form_but_the_newest() -> None:
    forms = sorted(path.name.partition("_")[0] for path in (MIGRATIONS / "versions").glob("0*.py"))

    assert set(forms[:-1]) - NEVER_NEWEST <= set(OLD), "python -m tests.old_books writes the one before yours"


@pytest.mark.parametrize("form", OLD)
def test_book_of_an_earlier_version_migrates_with_its_records_still_verifying(tmp_path: Path, form: str) -> None:
    settings = Settings(data_folder=tmp_path)
    settings.book_path.write_bytes(gzip.decompress((FOLDER / f"{form}.db.gz").read_bytes()))
    settings.key_path.write_bytes(SITE_KEY)

    with closing(open_book(settings)) as book:
        sign_head(book, datetime.now(UTC), settings.heads_path)  # as serving does at once
        found = verify_book(book, settings)
        with book.reading() as session:
            overhaul = get_overhaul(session, 1)
        around = Circumstances("S. Venn", NOW, "UTC", False)
        exported = b"".join(export_file(book, Wanted(), Form.JSON, around).content)

    assert (found.faults, UNSIGNED in found.notes) == ((), False)
    assert (len(overhaul.readings), len(overhaul.signatures)) == (30, 4)
    assert {each.verdict for each in judge_overhaul(overhaul)} == {Verdict.REUSE}
    assert b'"overhauls"' in exported
    newest = max(path.name for path in (MIGRATIONS / "versions").glob("0*.py"))
    backups = list((tmp_path / "backups").glob(f"wearbook-at-{form}-*.db"))
    assert len(backups) == (0 if newest.startswith(form) else 1)


def test_book_from_before_keys_is_told_to_be_unsigned_until_a_key_signs_it_and_that_is_no_fault(tmp_path: Path) -> None:
    settings = Settings(data_folder=tmp_path)
    settings.book_path.write_bytes(gzip.decompress((FOLDER / "0001.db.gz").read_bytes()))

    with closing(open_book(settings)) as book:  # makes a key, which has signed nothing yet
        before = verify_book(book, settings)
        sign_head(book, datetime.now(UTC), settings.heads_path)
        after = verify_book(book, settings)

    assert (before.faults, before.keys, UNSIGNED in before.notes) == ((), (), True)
    assert (after.faults, len(after.keys), after.notes) == ((), 1, ())
