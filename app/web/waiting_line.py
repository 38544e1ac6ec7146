"""What many ask for in the same moment, done at once by one thread: they share what each would pay for alone."""

import asyncio
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from threading import Lock
from time import sleep
from typing import Generic, TypeVar

Asked = TypeVar("Asked")
Given = TypeVar("Given")
MOST_AT_ONCE = 50
GATHERING_S = 0.002  # Whoever comes alone after another who did waits for nobody.


@dataclass(frozen=True)
class _Waiting(Generic[Asked, Given]):
    """Somebody who asked, and the loop in which they wait for the answer."""

    asked: Asked
    loop: asyncio.AbstractEventLoop
    answer: "asyncio.Future[Given]"


class WaitingLine(Generic[Asked, Given]):
    """Give what is waiting to a piece of work, all of it at once; what comes in meanwhile is next.

    The work gives an answer to each in the order they asked; an error of the whole work is everybody's.
    """

    def __init__(self, work: Callable[[Sequence[Asked]], Sequence[Given]]) -> None:
        self._work = work
        self._waiting: list[_Waiting[Asked, Given]] = []
        self._turn = Lock()
        self._is_at_work = False
        self._came_together = False
        self._thread = ThreadPoolExecutor(1, "waiting line")

    async def ask(self, asked: Asked) -> Given:
        """Wait for the answer."""
        loop = asyncio.get_running_loop()
        answer: asyncio.Future[Given] = loop.create_future()
        with self._turn:
            self._waiting.append(_Waiting(asked, loop, answer))
            begins, self._is_at_work = not self._is_at_work, True
        if begins:
            self._thread.submit(self._go_on)
        return await answer

    def close(self) -> None:
        """Let the thread end once nobody waits."""
        self._thread.shutdown()

    def _go_on(self) -> None:
        """Work until nobody waits."""
        while self._is_awaited():
            waiting = self._gather()
            try:
                given: Sequence[Given] | BaseException = self._work([each.asked for each in waiting])
            except BaseException as reason:
                given = reason
            _answer(waiting, given)

    def _is_awaited(self) -> bool:
        """Whether anybody waits; where nobody does, the thread may rest."""
        with self._turn:
            self._is_at_work = is_awaited = bool(self._waiting)
        return is_awaited

    def _gather(self) -> list[_Waiting[Asked, Given]]:
        """Take those who wait; where several came together before, a moment is left to those who are on their way."""
        if self._came_together:
            sleep(GATHERING_S)
        with self._turn:
            some, self._waiting = self._waiting[:MOST_AT_ONCE], self._waiting[MOST_AT_ONCE:]
        self._came_together = len(some) > 1
        return some


def _answer(waiting: Sequence[_Waiting[Asked, Given]], given: Sequence[Given] | BaseException) -> None:
    """Answer everybody in their own loop, each loop woken once."""
    for loop in {each.loop for each in waiting}:
        here = [(at, each.answer) for at, each in enumerate(waiting) if each.loop is loop]
        if not loop.is_closed():
            loop.call_soon_threadsafe(_settle, here, given)


def _settle(answers: list[tuple[int, "asyncio.Future[Given]"]], given: Sequence[Given] | BaseException) -> None:
    """Give each their answer; whoever has gone in the meantime gets none."""
    for at, answer in answers:
        if answer.done():
            continue
        if isinstance(given, BaseException):
            answer.set_exception(given)
        else:
            answer.set_result(given[at])
