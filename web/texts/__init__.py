"""All words of the interface. `t` gives them; a language is one module with a dict."""

from __future__ import annotations

from web.texts import en

_WORDS = en.WORDS


def t(key: str, **values: object) -> str:
    """The words for a key, with values put in.

    A key without words is a mistake of ours: it raises KeyError, so that a test finds it.
    """
    return _WORDS[key].format(**values) if values else _WORDS[key]


def has(key: str) -> bool:
    """Whether there are words for this key."""
    return key in _WORDS
