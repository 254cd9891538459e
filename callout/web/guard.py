"""Refuses what no page of ours would send, and says in every answer what a page may do.

Host and Origin are compared whole. A name that resolves here by DNS rebinding is never accepted,
since only addresses and "localhost" are.
"""

from __future__ import annotations

import ipaddress
from collections.abc import Mapping

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; connect-src 'self' ws://{host}; "
    "img-src 'self' data:; frame-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'; "
    "require-trusted-types-for 'script'; trusted-types 'none'"
)

HEADERS: Mapping[str, str] = {
    "Server": "callout",
    "Cache-Control": "no-store",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=()",
}


def answer_headers(host: str = "") -> dict[str, str]:
    """Return the headers of an answer; ``host`` as it was accepted."""
    policy = POLICY.format(host=host) if host else "default-src 'none'"
    told = {**HEADERS, "Content-Security-Policy": policy}
    if host.startswith(("127.", "localhost")):  # elsewhere browsers complain
        told["Cross-Origin-Opener-Policy"] = "same-origin"
    return told


def allowed_hosts(address: str, port: int) -> frozenset[str]:
    """Return the Host headers allowed on a connection that arrived at ``address``."""
    if ipaddress.ip_address(address).is_loopback:
        return frozenset({f"127.0.0.1:{port}", f"localhost:{port}"})
    return frozenset({f"{address}:{port}"})


def host_allowed(told: list[str], arrived_at: tuple[str, int]) -> bool:
    """Say whether the one Host header of a request names where it arrived."""
    return len(told) == 1 and told[0].lower() in allowed_hosts(*arrived_at)


def origin_allowed(told: list[str], host: str) -> bool:
    """Say whether a request comes from a page of this server."""
    return told == [f"http://{host.lower()}"]
