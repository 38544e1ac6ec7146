"""A tablet on a bad network: what it sends may be cut off, and so may the answer; then it is sent again."""

import http.client
import json
import random
import socket
import time
import uuid
from dataclasses import dataclass, field
from itertools import cycle
from urllib.parse import urlencode

from app.domain.readings import Reading
from tests.benchmarks.processes import CSRF, VISITOR
from tests.benchmarks.workplace import Desk, entry

CUT = 0.1  # the share of requests that the network cuts: half of them on the way there, half on the way back
PAGE_EVERY = 4
OFFLINE_S = 2.0


@dataclass
class Tablet:
    """One tablet at its desk."""

    port: int
    desk: Desk
    readings: tuple[Reading, ...]
    chance: random.Random
    thinking_s: float
    sent: set[str] = field(default_factory=set)
    acknowledged: set[str] = field(default_factory=set)
    took: list[tuple[float, float]] = field(default_factory=list)  # each save: when [s], and how long it took [ms]
    faults: list[str] = field(default_factory=list)
    cuts: int = 0
    again: int = 0

    def work(self, end: float) -> None:
        """Keep one reading after the other until the end."""
        time.sleep(self.chance.uniform(0, self.thinking_s))
        for number, reading in enumerate(cycle(self.readings)):
            if time.monotonic() > end or self.faults:
                return
            self._keep(reading)
            if number % PAGE_EVERY == 0:
                self._look(reading)
            time.sleep(self.chance.uniform(0.5, 1.5) * self.thinking_s)

    def _keep(self, reading: Reading) -> None:
        """Send a reading until it was answered."""
        identifier = str(uuid.UUID(int=self.chance.getrandbits(128), version=4))
        self.sent.add(identifier)
        path = f"/tablet/overhauls/{self.desk.overhaul_id}/readings"
        body = urlencode({"csrf": CSRF, **entry(reading, identifier, self.desk)})
        while True:
            begun = time.monotonic()
            answer = self._ask("POST", path, body)
            if answer is not None:
                break
            self.again += 1
            time.sleep(self.chance.uniform(0, OFFLINE_S))
        self.took.append((begun, (time.monotonic() - begun) * 1000))
        if answer[0] == 200 and json.loads(answer[1])["state"] == "kept":
            self.acknowledged.add(identifier)
        else:
            self.faults.append(f"{identifier}: {answer[0]} {answer[1][:300]!r}")

    def _look(self, reading: Reading) -> None:
        """Open the page of a place."""
        place = reading.place
        answer = self._ask("GET", f"/overhauls/{self.desk.overhaul_id}/gauge/{place.part}/{place.characteristic}", "")
        if answer is not None and answer[0] != 200:
            self.faults.append(f"the page of {place}: {answer[0]}")

    def _ask(self, method: str, path: str, body: str) -> tuple[int, bytes] | None:
        """Ask over a connection of its own; None where the network was cut."""
        fate = self.chance.random()
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        headers = {"cookie": f"wearbook={self.desk.token}; wearbook_visit={VISITOR}", "accept-encoding": "gzip"}
        headers["content-type"] = "application/x-www-form-urlencoded"
        try:
            if fate < CUT / 2:
                return self._cut_off(connection, method, path, body, headers)
            connection.request(method, path, body, headers)
            if fate < CUT:
                self.cuts += 1
                time.sleep(self.chance.uniform(0, 0.05))
                return None
            answer = connection.getresponse()
            return answer.status, answer.read()
        finally:
            connection.close()

    def _cut_off(
        self, connection: http.client.HTTPConnection, method: str, path: str, body: str, headers: dict[str, str]
    ) -> None:
        """Send a part of a request, and no more."""
        self.cuts += 1
        head = "".join(f"{name}: {value}\r\n" for name, value in headers.items())
        whole = f"{method} {path} HTTP/1.1\r\nhost: x\r\n{head}content-length: {len(body)}\r\n\r\n{body}".encode()
        connection.connect()
        connection.sock.sendall(whole[: self.chance.randrange(1, len(whole))])
        connection.sock.shutdown(socket.SHUT_RDWR)
