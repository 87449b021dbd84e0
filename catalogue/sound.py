"""Words to sounds: phonemes as one letter each, and the coarser classes a telephone leaves.

A sound form is a string, so that sounds run across word gaps and the fast string measures work
on it. Pronunciations come from `pronunciations.py`; numerals are said as words.

Two strings for each text:

- phones: one character for each of the 39 phonemes of CMUdict, "A" to "g";
- classes: one small letter for each group of phonemes that fall together on a telephone line
  (300 to 3400 Hz): f/s/th, v/z/th, b/d, m/n/ng, p/t/k, sh/ch/j, and vowels made near each other
  (common practice, no count table found). An r that is not before a vowel of its own word is
  dropped, as British speakers do, and so is h.
"""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from catalogue.pronunciations import PHONEMES, pronounce
from catalogue.spelling import spoken

FIRST_CODE = 65
"""Code point of the first phoneme's letter, "A"."""

CODE_OF = {phoneme: chr(FIRST_CODE + number) for number, phoneme in enumerate(PHONEMES)}
PHONEME_OF = {code: phoneme for phoneme, code in CODE_OF.items()}

VOWELS = frozenset("AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW".split())

CLASS_OF = {
    "P": "p", "T": "p", "K": "k", "B": "b", "D": "b", "G": "g",
    "F": "f", "S": "f", "TH": "f", "V": "v", "Z": "v", "DH": "v",
    "SH": "s", "CH": "s", "JH": "s", "ZH": "s", "M": "m", "N": "m", "NG": "m",
    "L": "l", "R": "r", "W": "w", "Y": "y", "HH": "",
    "IY": "i", "IH": "i", "EH": "e", "EY": "e", "AE": "e", "AA": "a", "AH": "a", "AW": "a",
    "AY": "a", "ER": "a", "AO": "o", "OW": "o", "OY": "o", "UH": "u", "UW": "u",
}  # fmt: skip
"""Phoneme to sound class; vowels by height and backness, after the vowel chart of the IPA."""

_CACHED_WORDS = 200_000


class Sound(NamedTuple):
    """A text as it sounds: `phones` and `classes`, both without gaps between words."""

    phones: str
    classes: str


@lru_cache(maxsize=_CACHED_WORDS)
def sound_of_word(word: str) -> Sound:
    """The sound of one plain word, by its most usual pronunciation."""
    phonemes = pronounce(word)[0]
    classes = []
    for place, phoneme in enumerate(phonemes):
        if phoneme == "R" and phonemes[place + 1 : place + 2] not in _BEFORE_A_VOWEL:
            continue
        classes.append(CLASS_OF[phoneme])
    return Sound("".join(CODE_OF[p] for p in phonemes), "".join(classes))


_BEFORE_A_VOWEL = {(vowel,) for vowel in VOWELS}


def sound_of(plain_text: str) -> Sound:
    """The sound of plain words (see `spelling.plain`); numerals are said as words.

    >>> sound_of("my way").classes, sound_of("99") == sound_of("ninety nine")
    ('mawe', True)
    """
    sounds = [sound_of_word(word) for word in spoken(plain_text).split()]
    return Sound("".join(s.phones for s in sounds), "".join(s.classes for s in sounds))


def as_phonemes(phones: str) -> str:
    """Phones written out in CMUdict's letters, for `--explain`.

    >>> as_phonemes(sound_of("queen").phones)
    'K W IY N'
    """
    return " ".join(PHONEME_OF[code] for code in phones)
