"""Which words of a held name agree with what was heard: for marking them where it is shown.

Pure functions on words; a word agrees if its letters or its sounds are near those of a heard
word, or of two heard words that were run together or one that was split.
"""

from __future__ import annotations

import re
from functools import lru_cache
from itertools import pairwise

from catalogue.comparisons import alike
from catalogue.sound import sound_of
from catalogue.spelling import plain, spoken

LETTERS_AGREE = 0.75
"""Plain ratio of letters from which two words are the same word with a slip."""

SOUNDS_AGREE = 0.75
"""Plain ratio of phones from which two words may be one word misheard."""

Marks = tuple[tuple[str, bool], ...]
"""A text in pieces, in order, each with whether it agrees; joined they are the text."""

_PIECES = re.compile(r"\s+|[^\s]+")


def marks(held: str, heard: str) -> Marks:
    """The held text in pieces, each told whether it agrees with the plain words heard.

    >>> marks("The Last Boat", "last goat")
    (('The ', False), ('Last Boat', True))
    """
    tries = _tries(heard)
    words = plain(held).split()
    pieces: list[tuple[str, bool]] = []
    for piece in _PIECES.findall(held):
        said = plain(piece) if piece.strip() else ""
        agrees = bool(said) and said in words and _agrees(said, tries)
        if not piece.strip() and pieces:
            pieces.append((piece, pieces[-1][1]))
        else:
            pieces.append((piece, agrees))
    return _joined(pieces)


def agreeing_words(heard: str, held: str) -> str:
    """The heard words that agree with words of the held name, in order.

    >>> agreeing_words("last goat for my mum", "The Last Boat")
    'last goat'
    """
    tries = _tries(plain(held))
    words = heard.split()
    kept = [False] * len(words)
    for place, word in enumerate(words):
        kept[place] = kept[place] or _agrees(word, tries)
    for place, (one, two) in enumerate(pairwise(words)):
        if _agrees(one + two, tries):
            kept[place] = kept[place + 1] = True
    return " ".join(word for word, keep in zip(words, kept, strict=True) if keep)


@lru_cache(maxsize=16)
def _tries(words: str) -> list[tuple[str, str]]:
    """(letters, phones) of each word, and of each two words run together.

    Kept, since what was heard is held against title and artist of every match.
    """
    single = spoken(words).split()
    pairs = [one + two for one, two in pairwise(single)]
    phones = [sound_of(word).phones for word in single]
    joined = [one + two for one, two in pairwise(phones)]
    return list(zip([*single, *pairs], [*phones, *joined], strict=True))


def _agrees(word: str, tries: list[tuple[str, str]]) -> bool:
    letters, phones = spoken(word).replace(" ", ""), sound_of(word).phones
    return any(
        alike(letters, other) >= LETTERS_AGREE
        or (phones and other_phones and alike(phones, other_phones) >= SOUNDS_AGREE)
        for other, other_phones in tries
    )


def _joined(pieces: list[tuple[str, bool]]) -> Marks:
    """Neighbours with the same mark as one piece; gaps go with the word before."""
    joined: list[tuple[str, bool]] = []
    for text, agrees in pieces:
        if joined and joined[-1][1] == agrees:
            joined[-1] = (joined[-1][0] + text, agrees)
        else:
            joined.append((text, agrees))
    return tuple(joined)
