"""Tests of documents set in a process of their own."""

import pytest

from app.reports.pdf import NotSet, as_pdf


def test_content_that_the_template_cannot_set_is_refused_in_words() -> None:
    with pytest.raises(NotSet, match="The PDF could not be made"):
        as_pdf({"made_at": "2026-11-27T00:00:00+00:00", "marks": []})


def test_document_that_takes_too_long_is_given_up() -> None:
    with pytest.raises(NotSet, match="was not ready within"):
        as_pdf({}, longest_s=0.001)
