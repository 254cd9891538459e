"""The addresses under which other devices find this machine."""

from __future__ import annotations

import ipaddress
import socket

_FAR = ("192.0.2.1", 9)
"""Reserved for documentation (RFC 5737); nothing is sent there, only the route is looked up."""


def network_addresses() -> list[str]:
    """Return this machine's network addresses, most likely first; else loopback."""
    found = dict.fromkeys((*_on_the_way(), *_by_name()))
    usable = [a for a in found if not ipaddress.ip_address(a).is_loopback]
    return usable or ["127.0.0.1"]


def _on_the_way() -> list[str]:
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(_FAR)
            return [str(probe.getsockname()[0])]
        except OSError:
            return []


def _by_name() -> list[str]:
    try:
        told = socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET, socket.SOCK_STREAM)
    except OSError:
        return []
    return [str(entry[4][0]) for entry in told]
