"""Songs told apart from recordings: whether two records are of one song.

"My Lantern" and "My Lantern (live)" are one song; two songs may share one title. Titles are
compared by their keys, under which spellings of one title fall together; whether one title is
one song is then settled by the writers where both are known, else by the artist, else by how
much the title says: many share "Angel", hardly two "Total Eclipse of the Heart".
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from catalogue.records import Recording
from catalogue.spelling import plain, spoken, without_article, without_featured, without_version

_REMEMBERED = 8192
"""Titles whose keys are kept: those of an evening's offers."""

NO_WRITER = frozenset({"", "traditional", "trad", "anonymous", "anon", "unknown", "various"})
"""What labels print where nobody in particular wrote it (common practice, no source)."""

_AT_LEAST_LIKELY = 0.5
"""Chance from which records of one title by different artists are taken for one song."""

_CONSTANT, _PER_DOUBLING, _FEWEST_BITS = -4.19, 2.82, 8.0
"""Log odds that one title by two artists is one song: the constant, what each doubling of the
title's information adds, and the bits from which that is counted. Logistic regression on the
pairs of `tests/cases/song_variants.csv` with equal keys and different artists; fitted by
`python -m tests.benchmarks.song_identity --fit`."""

_WORDS = Path(__file__).with_name("data") / "title_words.csv"
"""How many of some thousand titles have each common word; the first row counts the titles. Written
by `python -m tests.benchmarks.song_identity --write` from `tests/reference/songs`."""

_RARE = 1.5
"""Titles taken to have a word that is not in the list: it was in one or two, or in none."""

_VERSION_WORDS = (
    "version|remaster(?:ed)?|remix|re-?mix|mix|live|edit|mono|stereo|single|album|demo|acoustic|"
    "instrumental|unplugged|karaoke|re-?record(?:ed|ing)?|extended|reprise|bonus track|take|main|"
    "original|radio|from|feat|ft|featur(?:ed|ing)|with|explicit|clean|dirty|uncut|amended|session|"
    "outtake|cover|soundtrack|edition|digital(?:ly)?"
)
_VERSION_TAIL = re.compile(
    rf"\s+[-–—]\s+(?:(?!\s[-–—]\s).)*\b(?:{_VERSION_WORDS})\b(?:(?!\s[-–—]\s).)*$", re.IGNORECASE
)
_YEAR_TAIL = re.compile(r"\s+[-–—]\s+(?:18|19|20)\d\d$")
_TAILS = 2
"""Tails taken off: "- 2001 - Remaster" has two."""

_SUBTITLE_TAIL = re.compile(r"(?<=\S)\s+[-–—]\s+.*$")
_BRACKET = re.compile(r"[(\[]([^)\]]*)[)\]]")
_VERSION_BRACKET = re.compile(
    rf"[(\[][^)\]]*\b(?:{_VERSION_WORDS}|(?:18|19|20)\d\d)\b[^)\]]*[)\]]", re.IGNORECASE
)
_PART = re.compile(
    r"\b(?:parts?|pts?|nos?|vols?)\b\.?\s*(?:\d+|[ivx]+|one|two|three|four)\b(?:\s+and\s+(?:\d+|[ivx]+|two)\b)?"
)
_DROPPED_G = re.compile(r"(?<=[a-z]{3})in'?(?= |$)")
_ROMAN = {"i": "1", "ii": "2", "iii": "3", "iv": "4", "v": "5", "vi": "6", "one": "1", "two": "2",
          "three": "3", "four": "4"}  # fmt: skip
_ONE_WORD = {
    "n": "and", "'n'": "and", "n'": "and", "ya": "you", "u": "you", "r": "are", "ur": "your",
    "lovin": "loving", "ol": "old", "lil": "little", "luv": "love", "thru": "through",
    "tonite": "tonight", "nite": "night", "lite": "light", "til": "till", "until": "till",
    "'til": "till", "alright": "all right", "cause": "because", "'cause": "because",
    "em": "them", "'em": "them", "gonna": "going to", "wanna": "want to", "gotta": "got to",
    "ok": "okay", "wit": "with", "da": "the", "tha": "the", "pt": "part", "mr": "mister",
    "mrs": "missus", "dr": "doctor", "st": "saint", "colour": "color", "grey": "gray",
    "ole": "old", "around": "round", "'round": "round", "bout": "about", "'bout": "about",
    "ooh": "oh", "o": "oh", "woah": "whoa", "yeh": "yeah", "baby's": "babys",
}  # fmt: skip
"""Spellings of one word on labels (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class TitleKeys:
    """A title without its version. `whole` has all its words, `short` leaves out what is in
    brackets or after a dash, and `inner` is what is in brackets, where that could be a title;
    `part` is the number of "part 2", without which two halves would be one song."""

    whole: str
    short: str
    inner: str
    part: str

    def meet(self, other: TitleKeys) -> bool:
        """Whether two titles are spellings of one: a bracket may be left out on one side only."""
        if self.part and other.part and self.part != other.part:
            return False
        mine, theirs = _joined(self.whole), _joined(other.whole)
        return (
            mine == theirs
            or theirs in (_joined(self.short), _joined(self.inner))
            or mine in (_joined(other.short), _joined(other.inner))
        )


@lru_cache(maxsize=4 * _REMEMBERED)
def _joined(key: str) -> str:
    """Letters alone: "every time" and "everytime" are one."""
    return key.replace(" ", "")


@lru_cache(maxsize=_REMEMBERED)
def title_keys(title: str) -> TitleKeys:
    """The keys of a title.

    >>> title_keys("Rockin' 'Round the Quay (Live)").whole
    'rocking round the quay'
    >>> title_keys("(I Still) Wait for You, Pt. 2")
    TitleKeys(whole='i still wait for you', short='wait for you', inner='i still', part='2')
    """
    bare = title
    # "[1990 - Remastered]" has a dash of its own, so brackets with a version go first.
    if plain(_BRACKET.sub(" ", title)):
        bare = _VERSION_BRACKET.sub(" ", title).strip() or title
    for _ in range(_TAILS):
        bare = _YEAR_TAIL.sub("", _VERSION_TAIL.sub("", bare))
    unversioned = _VERSION_BRACKET.sub(" ", bare)
    # A bracket at the start belongs to the title, whatever its words: "(Live) for Today".
    bare = unversioned if plain(_BRACKET.sub(" ", unversioned)) else bare
    bare = _FEATURED.sub("", bare) or bare
    found = _PART.search(plain(bare))
    part = _part_number(found.group()) if found else ""
    inside = _key(" ".join(_BRACKET.findall(bare))) if _BRACKET.search(bare) else ""
    return TitleKeys(
        _key(_BRACKET.sub(r" \1 ", bare)),
        _key(_SUBTITLE_TAIL.sub("", _BRACKET.sub(" ", bare).strip())),
        inside if len(_joined(inside)) >= _A_TITLE else "",
        part,
    )


_LONG_TITLE = 9
"""Letters from which one artist's two titles with one letter between them are one."""

_A_TITLE = 6
"""Letters from which words in brackets could be the title by which a song is known."""

_FEATURED = re.compile(r"(?<=\S)\s(?:feat\.?|ft\.|featuring)\s.*$", re.IGNORECASE)


def _part_number(text: str) -> str:
    numbers = [_ROMAN.get(word, word) for word in text.replace(".", " ").split()[1:]]
    return "" if "and" in numbers else numbers[0]


def _key(text: str) -> str:
    """The words of one spelling; never empty."""
    words = plain(text)
    bare = " ".join(_PART.sub(" ", words).split()) or words
    bare = _DROPPED_G.sub("ing", bare)  # "again" becomes no word, but on both sides
    spelt = " ".join(_ONE_WORD.get(word, word) for word in spoken(bare).split())
    return without_article(spelt).replace("'", "").replace(" ", " ").strip() or words


def one_title(a: str, b: str) -> bool:
    """Whether two titles are spellings of one title, whatever its version.

    >>> one_title("The Ferry Song - 2009 Remaster", "Ferry Song"), one_title("Tide", "Tides")
    (True, False)
    """
    return title_keys(a).meet(title_keys(b))


def same_writer(a: str, b: str) -> bool:
    """Whether two composer fields name a person in common; "traditional" is nobody.

    Known by all their words, or by the last name where one side gives no more.

    >>> same_writer("Cy Reed / Ann Oke", "REED"), same_writer("Trad.", "Trad.")
    (True, False)
    """
    return any(_one_person(one, two) for one in _people(a) for two in _people(b))


@lru_cache(maxsize=_REMEMBERED)
def _people(composer: str) -> tuple[tuple[str, ...], ...]:
    names = re.split(r"[/;,&|]|\band\b|\s[-–]\s", composer)
    words = [tuple(plain(name).split()) for name in names]
    return tuple(w for w in words if w and " ".join(w) not in NO_WRITER)


def _one_person(a: tuple[str, ...], b: tuple[str, ...]) -> bool:
    if a[-1] != b[-1]:
        return False
    return len(a) == 1 or len(b) == 1 or a[0][0] == b[0][0]


def chance_same(title: str, other: str) -> float:
    """The chance that one title, sung by different artists, is one song; 0 for two titles.

    A fitted function of what the shorter title says: many share "Angel", hardly two a title of
    five words that are seldom met.
    """
    one, two = title_keys(title), title_keys(other)
    if not one.meet(two):
        return 0.0
    return 1 / (1 + math.exp(-(_CONSTANT + _PER_DOUBLING * information(title, other))))


def information(title: str, other: str) -> float:
    """How much the shorter of two titles says: doublings of its words' bits beyond eight.

    A word's bits are the binary logarithm of all titles over those that have it (inverse document
    frequency, Spärck Jones 1972).
    """
    counts, titles = _title_words()
    shorter = min((title_keys(t).whole for t in (title, other)), key=len)
    bits = sum(math.log2(titles / counts.get(word, _RARE)) for word in shorter.split())
    return math.log2(max(bits, 1.0) / _FEWEST_BITS)


@lru_cache(maxsize=1)
def _title_words() -> tuple[dict[str, int], int]:
    rows = [line.split(",") for line in _WORDS.read_text(encoding="utf-8").splitlines()]
    counts = {word: int(count) for word, count in rows}
    return counts, counts.pop("")


def chance_one_song(a: Recording, b: Recording) -> float:
    """The chance that two recordings are of one song.

    One title by one artist is one song; a writer in common settles it, and so do two writers
    that have nobody in common; else the title alone speaks.
    """
    own = a.artist_id == b.artist_id or same_main_artist(a.artist, b.artist)
    if not one_title(a.title, b.title):
        return float(own and (_slip_of_the_pen(a.title, b.title) or _cut_short(a.title, b.title)))
    if _people(a.composer) and _people(b.composer):
        return 1.0 if same_writer(a.composer, b.composer) else 0.0
    if own:
        return 1.0
    return chance_same(a.title, b.title)


def _cut_short(a: str, b: str) -> bool:
    """Whether one artist's two titles are one, written out or cut short at either end: three words
    are left at least. Or they begin alike and differ in what is in brackets or behind a dash."""
    keys = title_keys(a), title_keys(b)
    if keys[0].part != keys[1].part:
        return False
    if _joined(keys[0].short) == _joined(keys[1].short) and len(_joined(keys[0].short)) >= _A_TITLE:
        return True
    short, long = sorted((key.whole for key in keys), key=len)
    enough = len(short.split()) >= _FEWEST_WORDS and len(_joined(short)) >= _LONG_TITLE
    return enough and (long.startswith(f"{short} ") or long.endswith(f" {short}"))


_FEWEST_WORDS = 3


def _slip_of_the_pen(a: str, b: str) -> bool:
    """Whether two long titles differ by one letter, left out, put in or changed."""
    keys = title_keys(a), title_keys(b)
    short, long = sorted((_joined(key.whole) for key in keys), key=len)
    if len(short) < _LONG_TITLE or len(long) - len(short) > 1 or keys[0].part != keys[1].part:
        return False
    at = next((n for n, letter in enumerate(short) if letter != long[n]), len(short))
    rest = short[at:] if len(short) < len(long) else short[at + 1 :]
    return rest == long[at + 1 :]


def is_one_song(a: Recording, b: Recording) -> bool:
    """Whether two recordings are more likely of one song than of two."""
    return chance_one_song(a, b) >= _AT_LEAST_LIKELY


def same_main_artist(a: str, b: str) -> bool:
    """Whether two artists are one, guests and a leading article aside.

    >>> same_main_artist("The Herons feat. Ann Oke", "Herons")
    True
    """
    one, two = (without_article(plain(without_featured(name))) for name in (a, b))
    return one == two


def spellings(title: str) -> Sequence[str]:
    """Plain titles under which a song of this title may be filed: for looking up, not telling.

    >>> spellings("Rockin' the Boat")
    ['rockin the boat', "rockin' the boat", 'rocking the boat', 'the rocking the boat']
    """
    whole = _VERSION_BRACKET.sub(" ", _VERSION_TAIL.sub("", title))
    given = (without_version(title), whole, _BRACKET.sub(" ", whole), _BRACKET.sub(r" \1 ", whole))
    found = dict.fromkeys(filter(None, map(plain, given)))
    for words in list(found):
        found[words.replace("in' ", "in ").removesuffix("'")] = None
        found[re.sub(r"(?<=[a-z]{2})in(?= |$)", "in'", words.replace("in'", "in"))] = None
        found[re.sub(r"(?<=[a-z]{2})ing(?= |$)", "in'", words)] = None
        found[_DROPPED_G.sub("ing", words)] = None
    keys = title_keys(title)
    for key in filter(None, (keys.whole, keys.short, keys.inner)):
        found[key] = None
        found[f"the {key}"] = None
    return [words for words in found if words.strip()]
