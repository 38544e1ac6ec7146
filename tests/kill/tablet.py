"""A tablet that posts readings until the server is gone, and remembers what was acknowledged."""

import random
import re
import uuid
from dataclasses import dataclass, field
from threading import Event

import httpx2

from app.domain.readings import Place
from tests.builders import PASSWORD


@dataclass(frozen=True)
class Sent:
    """One reading on its way: the tablet's identifier, the overhaul, the form."""

    id: str
    overhaul_id: int
    form: dict[str, str]


@dataclass
class Tablet:
    """One client with a sign-in of its own; what was sent but not acknowledged is sent again first."""

    address: str
    name: str
    places: tuple[Place, ...]
    chance: random.Random
    maker: int  # the number of whoever is signed in
    by_queue: bool = True  # as the script of the pages sends it, or as a page without any script does
    acknowledged: dict[str, str] = field(default_factory=dict)
    surprises: list[str] = field(default_factory=list)
    pending: Sent | None = None
    cookies: httpx2.Cookies = field(default_factory=httpx2.Cookies)
    csrf: str = ""
    is_sending: Event = field(default_factory=Event)

    def work(self, overhaul_id: int) -> None:
        """Post readings until the server is gone; `is_sending` says that the first was acknowledged."""
        with httpx2.Client(base_url=self.address, cookies=self.cookies, timeout=20) as client:
            try:
                self._sign_in(client)
                while not self.surprises:
                    self.pending = self.pending or self._next(overhaul_id)
                    self._send(client, self.pending)
            except httpx2.TransportError:
                return
            finally:
                self.is_sending.set()

    def _sign_in(self, client: httpx2.Client) -> None:
        """Sign in by the form, once; the sign-in outlives the server."""
        if self.csrf:
            return
        found = re.search(r'name="csrf" value="(\w+)"', client.get("/sign-in").text)
        assert found, "the sign-in page has no token"
        form = {"csrf": found[1], "name": self.name, "password": PASSWORD, "then": "/"}
        answer = client.post("/sign-in", data=form)
        assert answer.status_code == 303, answer.text
        self.cookies, self.csrf = client.cookies, found[1]

    def _next(self, overhaul_id: int) -> Sent:
        """Measure somewhere."""
        place = self.chance.choice(self.places)
        identifier = str(uuid.UUID(int=self.chance.getrandbits(128), version=4))
        figure = f"140.{self.chance.randrange(1000):03d}"
        where = {"part": place.part, "characteristic": place.characteristic, "level": place.level, "axis": place.axis}
        entry = {"csrf": self.csrf, "id": identifier, "kind": "size", "value": figure, "occasion": "as found"}
        # So that no figure is asked about, nor what another tablet entered at this place.
        entry |= {"reason": "Gauged twice.", "correction": "gauged again", "maker": str(self.maker)}
        return Sent(identifier, overhaul_id, where | entry)

    def _send(self, client: httpx2.Client, sent: Sent) -> None:
        """Send one reading; only the answer that names it acknowledges it."""
        way_in = "/tablet" if self.by_queue else ""
        answer = client.post(f"{way_in}/overhauls/{sent.overhaul_id}/readings", data=sent.form)
        if sent.id in _next_in(answer):
            self.acknowledged[sent.id] = sent.form["value"]
            self.is_sending.set()
        else:
            said = re.findall(r'class=\\?"error\\?"[^>]*>([^<]*)<', answer.text)
            self.surprises.append(f"{answer.status_code} {said}")
        self.pending = None


def _next_in(answer: httpx2.Response) -> str:
    """Read where an answer leads after an entry was kept; nothing where it was not."""
    if answer.status_code == 303:
        return answer.headers["location"]
    return str(answer.json()["next"]) if answer.status_code == 200 else ""
