"""The real server started with --tls: encrypted to whoever trusts its authority, and refused by whoever does not."""

import os
import re
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import httpx2
import pytest

from app.web.cookies import BOOK_COOKIE, VISIT_COOKIE
from tests.house.source import ROOT

WAIT_S = 60


def free_port() -> int:
    """Find a port that nobody listens on."""
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@pytest.fixture(scope="module")
def ports(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[int, int]]:
    """The encrypted port of a book that is begun, and its plain one."""
    port, plain = free_port(), free_port()
    folder: Path = tmp_path_factory.mktemp("served")
    own = {"DATA_FOLDER": folder, "PORT": port, "WAY_IN_PORT": plain}
    environment = os.environ | {f"WEARBOOK_{name}": str(value) for name, value in own.items()}
    command = [sys.executable, "-m", "app", "serve", "--tls"]
    with subprocess.Popen(command, cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True) as server:
        try:
            assert server.stdout
            said = [server.stdout.readline() for _ in range(3)]
            assert f"https://localhost:{port}" in said[0] or f"https://127.0.0.1:{port}" in said[0]
            wait_until_open(port)
            yield port, plain
        finally:
            server.terminate()
            server.wait(WAIT_S)


def wait_until_open(port: int) -> None:
    """Wait until somebody listens on a port."""
    for _ in range(WAIT_S * 10):
        with closing(socket.socket()) as probe:
            probe.settimeout(0.1)
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.1)
    raise TimeoutError(port)


def trusting(plain: int) -> ssl.SSLContext:
    """A client that took the authority along from the plain page, as a tablet does."""
    pem = httpx2.get(f"http://127.0.0.1:{plain}/trust/wearbook-authority.crt").text
    return ssl.create_default_context(cadata=pem)


def test_client_that_trusts_the_authority_signs_in_with_cookies_bound_to_this_host(ports: tuple[int, int]) -> None:
    port, plain = ports
    with httpx2.Client(base_url=f"https://127.0.0.1:{port}", verify=trusting(plain)) as client:
        page = client.get("/first-use").text
        found = re.search(r'name="csrf" value="([^"]+)"', page)
        assert found
        password = "lamp and leaf and oil 7"
        form = {"csrf": found[1], "name": "I. Brandreth", "password": password, "again": password}
        answer = client.post("/first-use", data=form)

        kept = {part.split("=")[0]: part for part in answer.headers.get_list("set-cookie")}
        assert answer.status_code == 303
        assert all(word in kept[f"__Host-{BOOK_COOKIE}"] for word in ("Secure", "HttpOnly", "Path=/", "SameSite=lax"))
        assert f"__Host-{VISIT_COOKIE}" in client.cookies
        assert client.get("/people").status_code == 200
        assert "Not encrypted" not in client.get("/people").text


def test_client_that_does_not_trust_the_authority_refuses_the_server(ports: tuple[int, int]) -> None:
    with pytest.raises(httpx2.ConnectError, match="certificate"):
        httpx2.get(f"https://127.0.0.1:{ports[0]}/sign-in")


@pytest.mark.parametrize(("version", "is_spoken"), [(ssl.TLSVersion.TLSv1_1, False), (ssl.TLSVersion.TLSv1_2, True)])
@pytest.mark.filterwarnings("ignore:ssl.TLSVersion.TLSv1_1 is deprecated")
def test_server_speaks_no_tls_older_than_1_2(ports: tuple[int, int], version: ssl.TLSVersion, is_spoken: bool) -> None:
    client = trusting(ports[1])
    client.set_ciphers("DEFAULT:@SECLEVEL=0")  # so that it is the server who refuses
    client.minimum_version = client.maximum_version = version

    with socket.create_connection(("127.0.0.1", ports[0])) as plain:
        try:
            with client.wrap_socket(plain, server_hostname="127.0.0.1") as spoken:
                said = spoken.version()
        except ssl.SSLError as refusal:
            said = refusal.reason

    refused = ("TLSV1_ALERT_PROTOCOL_VERSION", "UNEXPECTED_EOF_WHILE_READING")  # in words, or by hanging up
    assert said in (("TLSv1.2",) if is_spoken else refused)


def test_plain_page_leads_to_the_encrypted_one_and_shows_nothing_of_the_book(ports: tuple[int, int]) -> None:
    port, plain = ports
    with httpx2.Client(base_url=f"http://127.0.0.1:{plain}") as client:
        page, other = client.get("/trust").text, client.get("/people")

    assert f":{port}" in page
    assert re.search(r"([0-9A-F]{2}:){31}[0-9A-F]{2}", page)
    assert (other.status_code, other.headers["location"]) == (303, "/trust")
