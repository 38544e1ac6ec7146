"""Tests of what is done for many at once: each gets their own answer, and nobody waits for ever."""

import asyncio
from collections.abc import Sequence
from threading import Event
from time import sleep

import pytest

from app.web.waiting_line import GATHERING_S, MOST_AT_ONCE, WaitingLine


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


def test_once_several_came_together_a_moment_is_left_to_those_on_their_way(monkeypatch: pytest.MonkeyPatch) -> None:
    work, waits = Doubling(), list[float]()
    work.may_go_on.set()

    async def ask() -> None:
        line, arriving = WaitingLine(work), asyncio.Event()
        loop = asyncio.get_running_loop()

        def wait_for_the_next(seconds: float) -> None:
            """Go on once one more has come."""
            waits.append(seconds)
            loop.call_soon_threadsafe(arriving.set)
            monkeypatch.undo()
            sleep(0.2)

        await line.ask(1)
        await line.ask(2)  # each alone
        work.may_go_on.clear()
        before = asyncio.ensure_future(line.ask(3))
        while work.batches[-1] != [3]:
            await asyncio.sleep(0.001)
        together = [asyncio.ensure_future(line.ask(number)) for number in (4, 5)]
        await asyncio.sleep(0)
        work.may_go_on.set()
        await asyncio.gather(before, *together)
        monkeypatch.setattr("app.web.waiting_line.sleep", wait_for_the_next)
        first = asyncio.ensure_future(line.ask(6))
        await arriving.wait()
        await asyncio.gather(first, line.ask(7))
        line.close()

    asyncio.run(ask())

    assert waits == [GATHERING_S]
    assert work.batches == [[1], [2], [3], [4, 5], [6, 7]]


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
