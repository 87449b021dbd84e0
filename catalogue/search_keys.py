"""Names to keys: the one road both for filing a recording and for asking for one.

A recording is filed under its title without a bracketed version and its artist without guests,
and under its whole title too, since a bracket may be part of the name.
The keys are short runs of phones, of sound classes and of letters, taken across word gaps,
since mishearing moves the gaps.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import accumulate, chain, pairwise
from typing import NamedTuple

from catalogue.sound import Sound, sound_of
from catalogue.spelling import (
    plain,
    spoken,
    without_featured,
    without_guests,
    without_version,
)

PHONE_RUN = 3
CLASS_RUN = 4
LETTER_RUN = 3
"""Lengths of the runs: three phonemes, four classes, three letters; measured, see DEVELOPERS.md."""

GONE_THROUGH = 0.3
_ALWAYS_ASKED = 20
"""For each name of the index, how many places of keys in names a search goes through; and the keys
asked for all the same. Frequent keys cost most and tell least. Measured on 734 requests among
1,138,000 names, of all keys up to 90, of 0.26 and of 0.18 a name: the right name is among 8,000
for 555, 559, 555; a search takes 22, 11.5, 10 ms at its 95th percentile."""

LONGEST_HEARD = 60
"""Words of a request or a name that are looked at. A title and an artist never have more; a typed
story may, and its first words matter most."""

LONGEST_LETTERS = 400
"""Letters of the same: a cat on the keys makes long words, and aligning goes by their square."""

_CACHED_WORDS = 100_000
"""Words whose sound is kept while names are filed: very many names share them."""

NO_PHONES = ord("0")
"""Code point for a word without phones in a form's sizes."""


class Form(NamedTuple):
    """A name as it is filed: plain words, sounds and letters of title and artist apart.

    `kind` says which of a recording's names this is: "name", "also known as", "refrain" or
    "hearing". `…_sizes` have one character for each plain word, whose code point is its number
    of phones: where words end in the phones.
    """

    kind: str
    title: str
    artist: str
    title_phones: str
    artist_phones: str
    title_classes: str
    artist_classes: str
    title_letters: str
    artist_letters: str
    title_sizes: str
    artist_sizes: str


class Keys(NamedTuple):
    """Runs of sounds and letters, without repeats, in order."""

    phones: list[str]
    classes: list[str]
    letters: list[str]


def form_of(title: str, artist: str, kind: str = "name", *, whole: bool = False) -> Form:
    """The form under which a name is filed; if `whole`, with what stands in brackets."""
    of_title = _half(without_guests(title) if whole else without_version(title))
    of_artist = _half(without_featured(artist))
    # Title and artist take turns in the fields.
    return Form(kind, *chain.from_iterable(zip(of_title, of_artist, strict=True)))


@lru_cache(maxsize=10_000)
def _half(name: str) -> tuple[str, str, str, str, str]:
    """Plain words, phones, classes, letters and sizes of a title or an artist.

    A name is filed in several ways that share a half, and artists have many titles: kept, a
    first filing takes half as long. Numbers of phones are code points; 0 is put above the controls.

    >>> words, phones, classes, letters, sizes = _half("My 99")
    >>> words, letters, [ord(size) - NO_PHONES for size in sizes]
    ('my 99', 'myninetynine', [2, 8])
    """
    words = shortened(plain(name))
    sounds = [_sound_of_word(word) for word in words.split()]
    return (
        words,
        "".join(sound.phones for sound in sounds),
        "".join(sound.classes for sound in sounds),
        letters_of(words),
        "".join(chr(NO_PHONES + len(sound.phones)) for sound in sounds),
    )


@lru_cache(maxsize=_CACHED_WORDS)
def _sound_of_word(word: str) -> Sound:
    """The sound of a plain word, numerals too: names share their words."""
    return sound_of(word)


class Words(NamedTuple):
    """Plain words of one name after another, their phones, and how many words each name has."""

    words: list[str]
    phones: list[str]
    counts: list[int]


def words_and_phones(names: Sequence[str], phones: Sequence[str], sizes: Sequence[str]) -> Words:
    """The plain words of titles or artists with their phones, from columns of forms.

    >>> form = form_of("My Way", "")
    >>> words_and_phones([form.title], [form.title_phones], [form.title_sizes])
    Words(words=['my', 'way'], phones=['VF', 'dM'], counts=[2])
    """
    # All names at once: going through them one by one takes three times as long.
    every = "".join(phones)
    ends = list(accumulate((ord(size) - NO_PHONES for size in "".join(sizes)), initial=0))
    cut = [every[start:end] for start, end in pairwise(ends)]
    return Words(" ".join(names).split(), cut, list(map(len, sizes)))


def keys_of_form(form: Form) -> Keys:
    """The keys of a filed name: title and artist run together."""
    return Keys(
        runs(form.title_phones + form.artist_phones, PHONE_RUN),
        runs(form.title_classes + form.artist_classes, CLASS_RUN),
        runs(form.title_letters + form.artist_letters, LETTER_RUN),
    )


def keys_of_heard(words: str, sound: Sound) -> Keys:
    """The keys of what was heard, in plain words, with its sound."""
    return Keys(
        runs(sound.phones, PHONE_RUN),
        runs(sound.classes, CLASS_RUN),
        runs(letters_of(words), LETTER_RUN),
    )


Counted = tuple[int, str, str]
"""How many names have a key, the key's field, and the key."""


def worth_asking(counted: Iterable[Counted], names: int, most: int) -> list[Counted]:
    """The rarest keys that occur at all, at most `most`, of an index of so many names.

    >>> worth_asking([(9, "letters", "abc"), (0, "letters", "bcd"), (2, "phones", "AB")], 10, 5)
    [(2, 'phones', 'AB'), (9, 'letters', 'abc')]
    """
    kept: list[Counted] = []
    left = names * GONE_THROUGH
    for one in sorted(key for key in counted if key[0])[:most]:
        left -= one[0]
        if left < 0 and len(kept) >= _ALWAYS_ASKED:
            break
        kept.append(one)
    return kept


def shortened(plain_text: str) -> str:
    """As much of plain words as is looked at, of what is asked and of what is held."""
    return " ".join(plain_text.split()[:LONGEST_HEARD])[:LONGEST_LETTERS].strip()


def letters_of(plain_text: str) -> str:
    """The letters alone, numerals in words, no gaps."""
    return spoken(plain_text).replace(" ", "").replace("'", "")


def runs(text: str, length: int) -> list[str]:
    """All runs of `length` characters, in order, without repeats; a shorter text is one run.

    >>> runs("abcab", 2), runs("a", 3), runs("", 3)
    (['ab', 'bc', 'ca'], ['a'], [])
    """
    if len(text) <= length:
        return [text] if text else []
    return list(dict.fromkeys([text[i : i + length] for i in range(len(text) - length + 1)]))
