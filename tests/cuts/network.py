"""A network that can be cut in every way: off, silent before or after the server, or with the server gone."""

import random
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from playwright.sync_api import Error, Page, Route

from tests.kill.server import Server

READINGS, PLACES = "**/tablet/overhauls/*/readings", "**/overhauls/*/gauge/**"


class Network:
    """The network between one tablet and one server; its cuts are contexts that heal when they end."""

    def __init__(self, page: Page, server: Server, chance: random.Random) -> None:
        self.page, self.server, self.chance = page, server, chance
        self.ways: dict[str, Callable[[], object]] = {
            "offline": self.offline,
            "lost before the server": lambda: self.routed(READINGS, self._drop),
            "lost after the server": lambda: self.routed(READINGS, self._answer_lost),
            "pages lost": lambda: self.routed(PLACES, self._drop),
            "server killed": self.killed,
        }

    def cut(self) -> tuple[str, object]:
        """Choose a way of cutting."""
        name = self.chance.choice(sorted(self.ways))
        return name, self.ways[name]()

    @contextmanager
    def offline(self) -> Iterator[None]:
        """The tablet has no network."""
        self.page.context.set_offline(True)
        yield
        self.page.context.set_offline(False)

    @contextmanager
    def routed(self, pattern: str, lose: Callable[[Route], None]) -> Iterator[None]:
        """Every request of a pattern is lost."""
        self.page.route(pattern, lose)
        yield
        self.page.unroute(pattern, lose)

    @contextmanager
    def killed(self) -> Iterator[None]:
        """The server's process is ended at once, and started again."""
        self.server.kill()
        yield
        self.server.start()

    def _drop(self, route: Route) -> None:
        """Lose a request on its way."""
        route.abort("connectionreset")

    def _answer_lost(self, route: Route) -> None:
        """Let a request arrive, and lose its answer."""
        try:
            route.fetch(max_redirects=0)
            route.abort("connectionreset")
        except Error:
            return  # the page that asked is gone already
