"""Addresses that no other computer reaches."""

import ipaddress


def is_loopback(host: str) -> bool:
    """Whether only this computer can reach an address.

    Examples
    --------
    >>> is_loopback("127.0.0.1"), is_loopback("::1"), is_loopback("localhost"), is_loopback("0.0.0.0")
    (True, True, True, False)
    """
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return False
