"""Content as text: always the same text for the same content, and nothing written that is no evidence."""

from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone
from decimal import Decimal
from types import MappingProxyType

import pytest

from app.domain.canonical import as_dict, canonical, digest, moment_text
from app.domain.verdicts import Verdict

MOMENT = datetime(2026, 11, 24, 9, 0, tzinfo=UTC)


@dataclass(frozen=True)
class Fact:
    """A fact of the test."""

    name: str
    size: Decimal


def test_keys_are_sorted_and_decimals_moments_days_words_and_facts_become_text():
    content = {
        "b": Decimal("0.70"), "a": ["µm", ("x",)], "at": MOMENT, "day": date(2026, 11, 24), "word": Verdict.NOT_GAUGED,
        "fact": Fact("ring", Decimal("1.30")), "map": MappingProxyType({"z": None, "y": True}),
    }  # fmt: skip

    assert canonical(content) == (
        '{"a":["µm",["x"]],"at":"2026-11-24T09:00:00.000000+00:00","b":"0.70","day":"2026-11-24",'
        '"fact":{"name":"ring","size":"1.30"},"map":{"y":true,"z":null},"word":"notgauged"}'
    )


def test_the_digest_is_sha_256():
    # FIPS 180-4: the digest of the empty message.
    assert digest("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    assert digest("µ") != digest("u")


def test_digits_written_are_kept():
    assert canonical(Decimal("0.70")) != canonical(Decimal("0.7"))


def test_a_moment_is_written_in_utc_so_that_texts_sort_as_moments_do():
    east = MOMENT.astimezone(timezone(timedelta(hours=5, minutes=30)))

    assert moment_text(east) == moment_text(MOMENT)
    assert moment_text(MOMENT) < moment_text(MOMENT + timedelta(microseconds=1))


def test_a_moment_without_a_zone_is_no_evidence():
    with pytest.raises(ValueError, match="time zone"):
        moment_text(datetime(2026, 11, 24, 9, 0))  # noqa: DTZ001  (what is refused)


@pytest.mark.parametrize("content", [{1, 2}, object(), Fact])
def test_what_has_no_place_in_the_record_is_refused(content):
    with pytest.raises(TypeError, match="no place in the record"):
        canonical(content)


def test_a_fact_is_laid_out_by_its_fields():
    assert as_dict(Fact("ring", Decimal(1))) == {"name": "ring", "size": Decimal(1)}
