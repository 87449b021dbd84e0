"""All words of the interface. `t` gives them; a language is one module with a dict.

The language is that of the request being answered (`speak`). What the catalogue says in a
sentence of its own, such as an error or a reason, is put into it by `said`.
"""

from __future__ import annotations

from contextvars import ContextVar

from web.texts import de, en
from web.texts.sentences import Sentences

LANGUAGES: dict[str, dict[str, str]] = {"en": en.WORDS, "de": de.WORDS}
NAMES = {"en": "English", "de": "Deutsch"}
"""Each language by its own name."""

_SENTENCES = {"de": Sentences(de.SENTENCES)}
_language: ContextVar[str] = ContextVar("language", default="en")


def speak(language: str) -> None:
    """Use this language from now on, in this request; English if it is not known."""
    _language.set(language if language in LANGUAGES else "en")


def language() -> str:
    """The language in use: "en" or "de"."""
    return _language.get()


def t(key: str, **values: object) -> str:
    """The words for a key, with values put in.

    A key without words is a mistake of ours: it raises KeyError, so that a test finds it.
    """
    words = LANGUAGES[_language.get()][key]
    return words.format(**values) if values else words


def has(key: str) -> bool:
    """Whether there are words for this key."""
    return key in LANGUAGES[_language.get()]


def said(sentence: str) -> str:
    """A sentence of the catalogue in the language in use; as it is if there are no words for it."""
    table = _SENTENCES.get(_language.get())
    return table.said(sentence) if table else sentence
