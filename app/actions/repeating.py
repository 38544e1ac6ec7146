"""Does something again and again beside whatever else happens, in a thread of its own."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from threading import Event, Thread


@contextmanager
def repeated(name: str, every_s: float, do: Callable[[], object]) -> Iterator[None]:
    """Do it at once and every so many seconds, until the block ends."""
    ended = Event()

    def go_on() -> None:
        """Do it, and wait."""
        do()
        while not ended.wait(every_s):
            do()

    thread = Thread(target=go_on, name=name, daemon=True)
    thread.start()
    try:
        yield
    finally:
        ended.set()
        thread.join()
