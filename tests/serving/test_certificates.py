"""Tests of the site's own authority and the server's certificate: private, narrow, and renewed in time."""

from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from pathlib import Path

import pytest
from cryptography import x509
from cryptography.x509.verification import PolicyBuilder, Store, VerificationError

from app.serving.addresses import Reached, reached
from app.serving.certificate import Credentials, open_credentials

NOW = datetime(2031, 4, 5, 6, 7, tzinfo=UTC)
HERE = Reached(("quillmoor-air", "localhost"), (ip_address("10.20.0.5"), ip_address("127.0.0.1"), ip_address("::1")))
MOVED = Reached(("quillmoor-air", "localhost"), (ip_address("10.20.0.9"), ip_address("127.0.0.1")))


def credentials(folder: Path, at: Reached = HERE, now: datetime = NOW) -> Credentials:
    return open_credentials(folder, at, 8000, 8080, now)


def served(found: Credentials) -> x509.Certificate:
    return x509.load_pem_x509_certificate(found.certificate_path.read_bytes())


def verify(found: Credentials, name: x509.DNSName | x509.IPAddress, now: datetime = NOW) -> None:
    """Ask what a client asks that trusts the authority and calls the server by this name."""
    store = Store([x509.load_pem_x509_certificate(found.trust.authority_pem)])
    PolicyBuilder().store(store).time(now).build_server_verifier(name).verify(served(found), [])


def test_client_that_trusts_the_authority_accepts_the_server_under_each_of_its_names(tmp_path: Path) -> None:
    found = credentials(tmp_path)

    for name in [*map(x509.DNSName, HERE.names), *map(x509.IPAddress, HERE.addresses)]:
        verify(found, name)


def test_server_is_not_accepted_under_a_name_that_is_not_its_own(tmp_path: Path) -> None:
    with pytest.raises(VerificationError):
        verify(credentials(tmp_path), x509.DNSName("elsewhere.local"))


def test_authority_cannot_vouch_for_anything_outside_the_site(tmp_path: Path) -> None:
    credentials(tmp_path)
    public = Reached(("bank.example",), ())

    with pytest.raises(VerificationError):
        verify(credentials(tmp_path, public), x509.DNSName("bank.example"))


def test_keys_are_readable_by_the_servers_own_user_alone(tmp_path: Path) -> None:
    folder = tmp_path / "tls"

    credentials(folder)

    assert {path.name: path.stat().st_mode & 0o777 for path in folder.glob("*.key")} == {
        "authority.key": 0o600, "server.key": 0o600,
    }  # fmt: skip


def test_authority_holds_ten_years_and_the_server_no_longer_than_tablets_take(tmp_path: Path) -> None:
    found = credentials(tmp_path)
    authority, server = x509.load_pem_x509_certificate(found.trust.authority_pem), served(found)

    assert authority.not_valid_after_utc - authority.not_valid_before_utc == timedelta(days=3650)
    assert server.not_valid_after_utc - server.not_valid_before_utc <= timedelta(days=398)
    assert found.trust.ends == authority.not_valid_after_utc


def test_next_start_takes_the_same_certificate_again(tmp_path: Path) -> None:
    first = served(credentials(tmp_path))

    assert served(credentials(tmp_path, now=NOW + timedelta(days=100))) == first


@pytest.mark.parametrize(("at", "days"), [(MOVED, 1), (HERE, 350), (HERE, 500)])
def test_certificate_is_renewed_by_the_same_authority_when_it_no_longer_fits(
    tmp_path: Path, at: Reached, days: int
) -> None:
    before, later = credentials(tmp_path), NOW + timedelta(days=days)
    first = served(before)

    after = credentials(tmp_path, at, later)

    assert served(after) != first
    assert after.trust.fingerprint == before.trust.fingerprint
    verify(after, x509.IPAddress(at.addresses[0]), later)


def test_certificate_of_an_authority_that_was_put_away_is_given_anew(tmp_path: Path) -> None:
    before = credentials(tmp_path)
    for path in tmp_path.glob("authority.*"):
        path.unlink()

    after = credentials(tmp_path)

    assert after.trust.fingerprint != before.trust.fingerprint
    verify(after, x509.IPAddress(HERE.addresses[0]))


def test_certificate_that_is_lost_is_given_anew(tmp_path: Path) -> None:
    credentials(tmp_path).certificate_path.unlink()

    verify(credentials(tmp_path), x509.DNSName("localhost"))


def test_tablets_are_led_to_an_address_on_the_network_before_a_name(tmp_path: Path) -> None:
    trust = credentials(tmp_path).trust

    assert (trust.address, trust.way_in) == ("https://10.20.0.5:8000", "http://10.20.0.5:8080/trust")


def test_server_that_listens_on_itself_alone_is_reached_as_itself() -> None:
    found = reached("127.0.0.1", "gauge.local, 10.1.2.3")

    assert found.names == ("gauge.local", "localhost")
    assert [str(one) for one in found.addresses] == ["10.1.2.3", "127.0.0.1", "::1"]
    assert reached("localhost").first == "localhost"
    assert reached("fd00::5").first == "[fd00::5]"


def test_server_that_listens_everywhere_is_reached_by_the_name_of_its_machine() -> None:
    found = reached("0.0.0.0")

    assert len(found.names) >= 1
    assert "0.0.0.0" not in map(str, found.addresses)
