"""XML from outside: refused unread if it has a DOCTYPE, which can define what unpacks to gigabytes.

Asked of the parser itself, since the bytes of a DOCTYPE are others in UTF-16.
"""

from __future__ import annotations

from contextlib import suppress
from xml.parsers import expat


class _Begun(Exception):
    """The first element, or a DOCTYPE, is reached: no more is looked at."""


def has_doctype(data: bytes) -> bool:
    """Whether a DOCTYPE stands before the first element, where alone it may stand.

    False for what is no XML, or is in an encoding that is not known: its reader says so.
    """
    found = False

    def doctype(*_: object) -> None:
        nonlocal found
        found = True
        raise _Begun

    def element(*_: object) -> None:
        raise _Begun

    parser = expat.ParserCreate()
    parser.StartDoctypeDeclHandler = doctype
    parser.StartElementHandler = element
    with suppress(_Begun, expat.ExpatError, LookupError, ValueError):
        parser.Parse(data, True)
    return found
