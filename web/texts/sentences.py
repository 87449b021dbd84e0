"""Sentences that the catalogue makes, in another language.

The catalogue says in plain English what happened: errors, reasons, what to say to a caller. A
table gives the same sentence in another language, with `{}` where the catalogue puts something
in. In the translation `{0}` is the first of these as it is, `{0:said}` one that is itself such a
sentence, `{0:each}` several of them with semicolons between. A title is never looked up: it
stands where `{0}` is.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache


class Sentences:
    """A table of sentences, and the search for the one that fits."""

    def __init__(self, table: Mapping[str, str]) -> None:
        self._whole = {key: value for key, value in table.items() if "{}" not in key}
        # Those with the most fixed letters first: they say most surely that they are meant.
        made = sorted(
            (key for key in table if "{}" in key), key=lambda k: len(k.replace("{}", "")),
            reverse=True,
        )  # fmt: skip
        self._made = [(_pattern(key), table[key]) for key in made]
        self.said = lru_cache(maxsize=2_000)(self._said)

    def _said(self, sentence: str) -> str:
        if sentence in self._whole:
            return self._whole[sentence]
        for pattern, words in self._made:
            if found := pattern.fullmatch(sentence):
                return words.format(*(_Part(part, self) for part in found.groups()))
        return sentence


class _Part(str):
    """Something put in; `{0:said}` and `{0:each}` ask for it in the other language."""

    __slots__ = ("_table",)

    def __new__(cls, text: str, _table: Sentences) -> _Part:
        return super().__new__(cls, text)

    def __init__(self, _text: str, table: Sentences) -> None:
        self._table = table

    def __format__(self, spec: str) -> str:
        if spec == "each":
            return "; ".join(self._table.said(part) for part in str(self).split("; "))
        return self._table.said(str(self)) if spec == "said" else str(self)


def _pattern(key: str) -> re.Pattern[str]:
    return re.compile("(.*?)".join(re.escape(part) for part in key.split("{}")), re.DOTALL)
