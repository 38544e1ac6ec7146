"""Under which names and addresses tablets may reach this server."""

import socket
from contextlib import suppress
from dataclasses import dataclass
from ipaddress import IPv4Address, IPv6Address, ip_address

Address = IPv4Address | IPv6Address
LOOPBACK = (ip_address("127.0.0.1"), ip_address("::1"))
ANY = ("", "0.0.0.0", "::")  # noqa: S104  # compared with, not listened on
NOWHERE = ("192.0.2.1", 9)  # kept free for documents (RFC 5737): asked for the way there, never sent to


@dataclass(frozen=True)
class Reached:
    """The names and addresses of a server, those that tablets use before those of the machine itself."""

    names: tuple[str, ...]
    addresses: tuple[Address, ...]

    @property
    def first(self) -> str:
        """The one to tell tablets: an address on the network where there is one, for it needs no name service."""
        outside = [one for one in self.addresses if not one.is_loopback]
        return _in_url(outside[0]) if outside else self.names[0]


def reached(host: str, further: str = "") -> Reached:
    """Find out what this machine is called and where it stands; `further` names more, with commas between."""
    given = [word.strip() for word in (*further.split(","), host) if word.strip() not in ANY]
    own = [] if host not in ANY else [socket.gethostname(), *_addresses()]
    names, addresses = [], []
    for word in [*given, *own]:
        try:
            addresses.append(ip_address(word))
        except ValueError:
            names.append(word.lower())
    return Reached(tuple(dict.fromkeys([*names, "localhost"])), tuple(dict.fromkeys([*addresses, *LOOPBACK])))


def _addresses() -> list[str]:
    """List the addresses of this machine, that of the way out first."""
    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe, suppress(OSError):  # There may be no network.
        probe.connect(NOWHERE)
        found.append(probe.getsockname()[0])
    with suppress(OSError):  # The name may lead nowhere.
        found += [str(info[4][0]).split("%")[0] for info in socket.getaddrinfo(socket.gethostname(), None)]
    return found


def _in_url(address: Address) -> str:
    """Write an address as it stands in a URL."""
    return f"[{address}]" if address.version == 6 else str(address)
