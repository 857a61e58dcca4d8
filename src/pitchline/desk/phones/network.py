"""By which name and addresses a phone on the same network reaches this computer."""

import ipaddress
import os
import re
import socket
from contextlib import suppress

from psutil import net_if_addrs

NETWORKS = tuple(
    ipaddress.ip_network(one)
    for one in (
        "10.0.0.0/8",
        "172.16.0.0/12",
        "192.168.0.0/16",
        "169.254.0.0/16",
        "127.0.0.0/8",
        "fd00::/8",
        "::1/128",
    )
)
"""Addresses of networks of one's own (RFC 1918, RFC 3927, RFC 4193), and this computer itself."""
NAMED = "PITCHLINE_DESK_PHONE_ADDRESSES"
"""Where the computer's own addresses are not those that phones see, as in a container."""
_NAME = re.compile(r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?")
_NOWHERE = ("192.0.2.1", 9)
"""An address for documents (RFC 5737): asking by which way it would be reached sends nothing."""


def is_own(address: str) -> bool:
    """Whether an address lies in a network of one's own, other than this computer itself.

    Examples
    --------
    >>> is_own("192.168.4.20"), is_own("127.0.0.1"), is_own("203.0.113.9")
    (True, False, False)
    """
    one = ipaddress.ip_address(address.partition("%")[0])
    return not one.is_loopback and any(one in network for network in NETWORKS if network.version == one.version)


def local_name() -> str:
    """The name other devices of the network may know this computer by; empty where its own is none they could."""
    name = socket.gethostname().partition(".")[0].lower()
    return f"{name}.local" if _NAME.fullmatch(name) and name != "localhost" else ""


def local_addresses() -> tuple[str, ...]:
    """Addresses of this computer in networks of one's own, the one it goes out by first; or what the environment names.

    Raises
    ------
    ValueError
        The environment names what is no address, or one outside the networks the desk's root may sign for.
    """
    if named := os.environ.get(NAMED):
        asked = [ipaddress.ip_address(one.strip()) for one in named.split(",")]
        if not all(any(one in network for network in NETWORKS if network.version == one.version) for one in asked):
            raise ValueError(f"{NAMED}={named}: addresses of a network of your own, such as 192.168.4.20")
        return tuple(map(str, asked))
    found = [one.address for card in net_if_addrs().values() for one in card if one.family == socket.AF_INET]
    with (
        socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way,
        suppress(OSError),
    ):  # none where there is no network
        way.connect(_NOWHERE)
        found.insert(0, way.getsockname()[0])
    return tuple(dict.fromkeys(one for one in found if is_own(one)))


def resolves(name: str) -> bool:
    """Whether this network leads a name to this computer; where it does here, it does so for the phones on it, too."""
    try:
        found = {one[4][0] for one in socket.getaddrinfo(name, None, socket.AF_INET)}
    except OSError:
        return False
    return bool(found & set(local_addresses()))
