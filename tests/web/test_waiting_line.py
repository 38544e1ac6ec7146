"""Tests of what is done for many at once: each gets their own answer, and nobody waits for ever."""

import asyncio
from collections.abc import Sequence
from threading import Event

import pytest

from app.web.waiting_line import MOST_AT_ONCE, WaitingLine


class Doubling:
    """Doubles numbers; the first piece of work waits until it is let go on."""

    def __init__(self, refused: int | None = None) -> None:
        self.batches: list[list[int]] = []
        self.may_go_on = Event()
        self.refused = refused

    def __call__(self, asked: Sequence[int]) -> list[int]:
        self.batches.append(list(asked))
        assert self.may_go_on.wait(20)
        if self.refused in asked:
            raise ValueError("not this one")
        return [2 * number for number in asked]


def ask_all(work: Doubling, numbers: Sequence[int]) -> list[object]:
    """Ask for all while the work waits, then let it go on."""

    async def ask() -> list[object]:
        line = WaitingLine(work)
        asked = [asyncio.ensure_future(line.ask(number)) for number in numbers]
        await asyncio.sleep(0)
        work.may_go_on.set()
        try:
            return list(await asyncio.gather(*asked, return_exceptions=True))
        finally:
            line.close()

    return asyncio.run(ask())


def test_each_gets_their_own_answer_and_who_waits_is_answered_at_once() -> None:
    work = Doubling()

    assert ask_all(work, range(9)) == [2 * number for number in range(9)]
    assert [number for batch in work.batches for number in batch] == list(range(9))
    assert len(work.batches) <= 2  # the first alone or with some, then all who waited


def test_no_piece_of_work_is_larger_than_is_allowed() -> None:
    work = Doubling()

    assert len(ask_all(work, range(3 * MOST_AT_ONCE))) == 3 * MOST_AT_ONCE
    assert max(map(len, work.batches)) == MOST_AT_ONCE


def test_an_error_of_the_work_is_told_to_everybody_in_it_and_the_next_work_goes_on() -> None:
    work = Doubling(refused=0)

    answers = ask_all(work, range(MOST_AT_ONCE + 5))

    assert all(isinstance(answer, ValueError) for answer in answers[: len(work.batches[0])])
    assert answers[MOST_AT_ONCE:] == [2 * number for number in range(MOST_AT_ONCE, MOST_AT_ONCE + 5)]


def test_whoever_has_gone_is_answered_no_more_and_the_others_are() -> None:
    work = Doubling()

    async def ask() -> int:
        line = WaitingLine(work)
        gone, stays = (asyncio.ensure_future(line.ask(number)) for number in (1, 2))
        await asyncio.sleep(0)
        gone.cancel()
        work.may_go_on.set()
        answer = await stays
        with pytest.raises(asyncio.CancelledError):
            await gone
        line.close()
        return answer

    assert asyncio.run(ask()) == 4


def test_a_loop_that_is_over_holds_nobody_up() -> None:
    work = Doubling()
    line = WaitingLine(work)

    async def leave() -> None:
        asking = asyncio.ensure_future(line.ask(1))
        await asyncio.sleep(0)
        assert not asking.done()

    asyncio.run(leave())
    work.may_go_on.set()

    assert asyncio.run(line.ask(3)) == 6
    line.close()
