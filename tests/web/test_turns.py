"""Tests of long drawings that take turns, beside which whoever gauges goes on."""

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait

import pytest

from app.actions.turns import TURN, in_turn
from app.store.book import Book
from tests.web.workshop import Workshop

WHILE_ANOTHER_DRAWS_S, LONGEST_S = 0.3, 60


@in_turn
def while_another_draws(ask: Callable[[], int], others: ThreadPoolExecutor) -> tuple[bool, Future[int]]:
    """Ask for something during a drawing; give whether it came, and what comes in the end."""
    asked = others.submit(ask)
    return bool(wait([asked], WHILE_ANOTHER_DRAWS_S).done), asked


@pytest.fixture
def shop(book: Book) -> Workshop:
    """Stage 2 made safe."""
    return Workshop(book).safe()


@pytest.mark.parametrize(
    "path",
    ["/machines/GA-1", "/machines/GA-1/history?part=2.ring-1&characteristic=closed-gap", "{}/record", "{}/record.pdf"],
)
def test_a_long_drawing_waits_for_the_one_before(shop: Workshop, path: str) -> None:
    address = path.format(shop.url(""))
    with ThreadPoolExecutor() as others:
        is_there, asked = while_another_draws(lambda: shop.auditor.get(address).status_code, others)

        assert not is_there
        assert asked.result(LONGEST_S) == 200


def test_whoever_gauges_waits_for_no_drawing(shop: Workshop) -> None:
    shop.fitter.get(shop.url("/gauge/2.pin/diameter"))
    with ThreadPoolExecutor() as others, TURN:
        asked = others.submit(lambda: shop.fitter.get(shop.url("/gauge/2.pin/diameter")).status_code)

        assert asked.result(LONGEST_S) == 200


def test_a_turn_that_fails_is_over_and_a_part_of_a_drawing_needs_none_of_its_own() -> None:
    @in_turn
    def fails() -> None:
        raise ValueError("no ink")

    @in_turn
    def draws() -> str:
        with pytest.raises(ValueError, match="no ink"):
            fails()
        return "drawn"

    with ThreadPoolExecutor() as others:
        assert draws() == others.submit(draws).result(LONGEST_S) == "drawn"
