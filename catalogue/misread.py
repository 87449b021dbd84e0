"""Names that some program or machine garbled, put right before they are compared.

What is stored is never touched: this is for comparing records with each other only.
"""

from __future__ import annotations

import re
from functools import lru_cache
from html import unescape

_DIGIT_IN_WORD = re.compile(r"(?<=[a-z])[015](?=[a-z])")
_LETTER = {"0": "o", "1": "l", "5": "s"}
"""Digits that are read by machine for letters (common practice, no source)."""


def put_right(text: str) -> str:
    """The text without HTML entities, and with letters of UTF-8 that were read as Windows-1252.

    >>> put_right("Tide &amp; Lamp"), put_right("CafÃ© Brume"), put_right("Café Brume")
    ('Tide & Lamp', 'Café Brume', 'Café Brume')
    """
    if "&" in text and ";" in text:
        text = unescape(text)
    return text if text.isascii() else _decoded_anew(text)


def _decoded_anew(text: str) -> str:
    """Latin letters with accents hardly ever stand so that they are UTF-8 by chance."""
    try:
        return b"".join(_one_byte(sign) for sign in text).decode("utf-8")
    except UnicodeError:
        return text


def _one_byte(sign: str) -> bytes:
    """The byte that became this sign; five that Windows-1252 lacks are left as they were."""
    return sign.encode("latin-1" if "\x80" <= sign <= "\x9f" else "cp1252")


def letters_for_digits(words: str) -> str:
    """Plain words with the letters for digits that stand inside a word.

    >>> letters_for_digits("m0onlight sona1ta"), letters_for_digits("ub40 1999 mp3 u2")
    ('moonlight sonalta', 'ub40 1999 mp3 u2')
    """
    if not any(digit in words for digit in _LETTER):
        return words
    return _DIGIT_IN_WORD.sub(lambda found: _LETTER[found[0]], words)


@lru_cache(maxsize=100_000)
def garbled(words: str) -> bool:
    """Whether most words are single letters: a name in a script whose letters were lost in some
    program. It tells something only by being the very same.

    >>> garbled("a a z a a"), garbled("a place i know")
    (True, False)
    """
    parts = words.split()
    return len(parts) > 2 and sum(len(part) == 1 for part in parts) > len(parts) / 2
