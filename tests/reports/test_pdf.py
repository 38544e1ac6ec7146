"""Tests of documents set in a process of their own."""

import os

import pytest

from app.reports.pdf import AT_ONCE, BEHIND, LAST, NotSet, setter


def test_content_that_the_template_cannot_set_is_refused_in_words() -> None:
    with pytest.raises(NotSet, match="The PDF could not be made"), setter() as set_document:
        set_document({"made_at": "2026-11-27T00:00:00+00:00", "marks": []})


def test_document_that_takes_too_long_is_given_up() -> None:
    with pytest.raises(NotSet, match="was not ready within"), setter(longest_s=0.001) as set_document:
        set_document({})


def test_process_stands_behind_whoever_keeps_a_reading() -> None:
    with setter() as set_document:
        behind = os.getpriority(os.PRIO_PROCESS, set_document.args[0].pid)

    assert behind == min(LAST, os.getpriority(os.PRIO_PROCESS, 0) + BEHIND)


def test_process_ends_and_its_place_is_free_again_where_the_content_cannot_be_gathered() -> None:
    for _ in range(3):  # one more than may be at work at once
        with pytest.raises(KeyError), setter() as set_document:
            set_document({"made_at": {}["nothing"]})

    assert AT_ONCE.acquire(blocking=False)
    AT_ONCE.release()
