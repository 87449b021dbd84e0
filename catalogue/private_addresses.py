"""Which addresses of a network are private: this machine's own, or of a private network."""

from __future__ import annotations

import ipaddress


def is_private(address: str) -> bool:
    """Whether an address is this machine's own or one of a private network (RFC 1918, RFC 4193).

    >>> [is_private(a) for a in ("127.0.0.1", "::1", "192.168.1.7", "0.0.0.0", "8.8.8.8", "x")]
    [True, True, True, False, False, False]
    """
    try:
        known = ipaddress.ip_address(address)
    except ValueError:
        return address == "localhost"
    return known.is_private and not known.is_unspecified
