"""Addresses of a network: which are private, and how one is written."""

from __future__ import annotations

import ipaddress
from urllib.parse import urlsplit

from catalogue.errors import BadInput

_SCHEMES = ("http", "https")


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


def checked_address(text: str) -> str:
    """The address of a union, tidied. Raises BadInput if it is none."""
    try:
        parts = urlsplit(text.strip())
        port = parts.port
    except ValueError:
        parts, port = urlsplit(""), None
    if parts.scheme not in _SCHEMES or not parts.hostname or parts.query or parts.username:
        raise BadInput(
            "The address of the other stations' catalogue begins with http:// or https://, such as "
            "http://192.168.1.20:8038. Nothing was changed."
        )
    host = f"[{parts.hostname}]" if ":" in parts.hostname else parts.hostname
    return f"{parts.scheme}://{host}{f':{port}' if port else ''}{parts.path.rstrip('/')}"
