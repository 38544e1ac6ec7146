"""What a page asks by itself does not keep an idle sign-in open; what a person does, does."""

from datetime import timedelta

import pytest

from app.actions.people import sign_in
from app.actions.sign_ins import sign_in_of
from app.domain.sign_ins import Standing
from app.settings import Settings
from app.store.book import Book
from tests.builders import NOW, PASSWORD, a_person

SETTINGS = Settings()
STEP = timedelta(minutes=SETTINGS.idle_minutes - 1)


@pytest.mark.parametrize(("is_use", "standing"), [(True, Standing.OPEN), (False, Standing.LOCKED)])
def test_only_use_keeps_a_sign_in_open(book: Book, is_use: bool, standing: Standing) -> None:
    a_person(book)
    token = sign_in(book, "M. Tarrow", PASSWORD, NOW).token

    sign_in_of(book, token, SETTINGS, NOW + STEP, is_use)
    _, stands = sign_in_of(book, token, SETTINGS, NOW + STEP + STEP)

    assert stands is standing
