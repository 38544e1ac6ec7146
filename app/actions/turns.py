"""Long drawings take turns: Python draws one at a time anyway, and two at once only make whoever gauges wait longer."""

from collections.abc import Callable
from functools import wraps
from threading import RLock
from typing import ParamSpec, TypeVar

Given = ParamSpec("Given")
Drawn = TypeVar("Drawn")
TURN = RLock()  # of this process, as Python's own lock is; taken again by what is part of a drawing


def in_turn(draw: Callable[Given, Drawn]) -> Callable[Given, Drawn]:
    """Let what draws from many overhauls wait until no other does; never for what looks on as long as there is time."""

    @wraps(draw)
    def take_turn(*given: Given.args, **named: Given.kwargs) -> Drawn:
        with TURN:
            return draw(*given, **named)

    return take_turn
