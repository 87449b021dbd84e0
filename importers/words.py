"""Plain words, remembered: the same artist and album come again from file to file."""

from __future__ import annotations

from functools import lru_cache

from catalogue import spelling

_REMEMBERED = 8192
"""Texts kept: the artists and albums of some hundred folders."""


@lru_cache(maxsize=_REMEMBERED)
def plain(text: str) -> str:
    """The plain words of a text, as `catalogue.spelling.plain` gives them."""
    return spelling.plain(text)
