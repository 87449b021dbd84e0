"""What is compared of many records: their names in plain words, column by column.

One road for recordings of the catalogue and for rows of any other list, so that both are judged
alike. Columns rather than objects: a million records are compared by arrays.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from catalogue.fingerprints import NO_VALUES, Values, decoded
from catalogue.misread import letters_for_digits, put_right
from catalogue.spelling import plain, without_article, without_featured, without_version

NOBODY = frozenset(
    "various|various artists|va|v a|diverse|divers|verschiedene|varios|varios artistas|sampler|"
    "artistes divers|compilation|soundtrack|original soundtrack|unknown|unknown artist|no artist|"
    "unknown title|unknown album|untitled|null|none|nan|n a|na|question mark|dash|traditional|"
    "trad|anonymous|anon".split("|")
)
"""What stands in a field that says nothing (common practice, no source)."""

_NOTHING_IN_IT = re.compile(r"^\s*[\[(<].*[\])>]\s*$|^[^\w]*$")
_TRACK_NUMBER = re.compile(
    r"^\s*(?:[A-Da-d]?\d{1,3}\s*[-.:)]\s*|track\s*\d{1,3}\s*[-.:)]\s*)(?=\S)"
)
"""A track's number before its title, as "007-", "3. " or "B2 - "."""

_TRACK_ONLY = re.compile(
    r"\s*(?:audio ?)?(?:track|titel|piste|pista)[ _]?\d{1,3}\s*", re.IGNORECASE
)
"""What programs call a track of which they know nothing."""

_ARTICLE_LAST = re.compile(r"\w, (?:the|a|an)$", re.IGNORECASE)
"""As titles are filed: "Brain, The"."""

_YEAR = re.compile(r"(?<!\d)(1[89]\d\d|20\d\d)(?!\d)")

_VERSIONS = (
    ("live", r"live|unplugged|in concert|en concert|en vivo|en directo|ao vivo|dal vivo|konzert"),
    ("remix", r"remix(?:ed)?|rmx|mix|dub|rework(?:ed)?|mash ?up"),
    ("edit", r"edit|radio version|single version|short version"),
    ("extended", r"extended|long version|12 inch|club version"),
    ("karaoke", r"karaoke|playback|backing track|in the style of|made famous by|tribute|minus one"),
    ("instrumental", r"instrumental"),
    ("re-recording", r"re ?recorded|re ?recording|new recording|rerecording"),
    ("acoustic", r"acoustic|akustik|acustico|acustica|piano version"),
    ("demo", r"demo|rehearsal|outtake|alternate take|alternate version|take \d+"),
    ("reprise", r"reprise"),
    ("medley", r"medley"),
    ("a cappella", r"a ?cappella|acapella"),
)
"""What makes another recording of one song, by the words on labels, in a few languages (common
practice, no source)."""

_VERSION = re.compile("|".join(rf"\b(?P<v{n}>{words})\b" for n, (_, words) in enumerate(_VERSIONS)))
_ORIGINAL_MIX = re.compile(r"\b(?:original|album|stereo|mono) (?:mix|edit)\b")
_ROMAN = {"ii": 2, "iii": 3, "iv": 4, "vi": 6, "vii": 7, "viii": 8, "ix": 9}
_WORDS = {
    w: n + 1 for n, w in enumerate("one two three four five six seven eight nine ten".split())
}
_PART = re.compile(
    r"\b(?:part|pt|teil)\s*(?:\d{1,2}|one|two|three|four|five|six|i{1,3}|iv|v|[b-d])\b"
)
"""The second half of a song on the other side of a single is another recording."""

_NUMBERED = re.compile(
    r"\b(?:part|pt|vol|volume|disc|disk|disque|cd|side|teil|no|nr|number|act|book|chapter|lp)\s*"
    r"(?P<after>\d{1,3}|one|two|three|four|five|six|seven|eight|nine|ten|i{1,3}|iv|v|vi{1,3}|ix|x|"
    r"[a-d])\b|(?P<bare>\d{1,4})|(?P<roman>\bi{2,3}\b|\bi[vx]\b|\bvi{1,3}\b)"
)


@dataclass(slots=True)
class Described:
    """Records to compare: each list has one value for each record, "" or nan for unknown.

    `title`, `artist` and `album` are plain words without version, guests and leading article;
    `version` the kinds of version, `numbers` the numbers of part, volume or disc, joined by spaces,
    and `later` whether they are of a second or later one. `length` is in seconds. `position` is the
    track's number, after the sort of carrier and a colon if that is known ("CD:6", "LP:1/6");
    `identifier` an ISRC, `performers` soloist and conductor of concert music, `sound` a digest of a
    file's sound.
    """

    ids: list[str] = field(default_factory=list)
    title: list[str] = field(default_factory=list)
    artist: list[str] = field(default_factory=list)
    album: list[str] = field(default_factory=list)
    tracks: list[str] = field(default_factory=list)
    version: list[str] = field(default_factory=list)
    numbers: list[str] = field(default_factory=list)
    later: list[bool] = field(default_factory=list)
    year: list[float] = field(default_factory=list)
    length: list[float] = field(default_factory=list)
    identifier: list[str] = field(default_factory=list)
    position: list[str] = field(default_factory=list)
    performers: list[str] = field(default_factory=list)
    sound: list[str] = field(default_factory=list)
    fingerprint: list[Values] = field(default_factory=list)

    def __len__(self) -> int:
        return len(self.ids)

    def add(
        self,
        record_id: object,
        title: str = "",
        artist: str = "",
        *,
        album: str = "",
        tracks: str = "",
        year: float | None = None,
        length_s: float | None = None,
        version: str = "",
        identifier: str = "",
        position: str = "",
        performers: str = "",
        sound: str = "",
        fingerprint: str = "",
    ) -> None:
        """Add one record as it was written."""
        title, artist, album = put_right(title), put_right(artist), put_right(album)
        if not artist.strip():
            artist, title = taken_apart(title)
        bare, words = ("", "") if _TRACK_ONLY.fullmatch(title) else title_words(title)
        if version:
            words = f"{words} {plain(version)}"
        self.ids.append(str(record_id))
        self.title.append(bare)
        self.artist.append(bare_artist(artist))
        self.album.append(bare_album(album))
        self.tracks.append(track_words(tracks))
        self.version.append(version_kinds(words))
        self.numbers.append(numbers_in(words))
        self.later.append(bool(self.numbers[-1]) and later_part(words))
        self.year.append(float("nan") if year is None else float(year))
        self.length.append(float("nan") if not length_s else float(length_s))
        self.identifier.append(identifier.upper().replace("-", "").strip())
        self.position.append(position)
        self.performers.append(plain(performers) if performers.strip() else "")
        self.sound.append(sound)
        self.fingerprint.append(decoded(fingerprint) if fingerprint else NO_VALUES)

    def names(self) -> list[str]:
        """Title and artist of each, as one string of letters and digits, for sorting."""
        return [
            f"{title}{artist}".replace(" ", "").replace("'", "")
            for title, artist in zip(self.title, self.artist, strict=True)
        ]

    def numbers_of(self, name: str) -> NDArray[np.float64]:
        """A column of numbers as an array."""
        return np.asarray(getattr(self, name), np.float64)


def said(text: str) -> bool:
    """Whether a field says anything: "[unknown]" and "Various" do not.

    >>> said("[unknown]"), said("null"), said("The Tides")
    (False, False, True)
    """
    if not text or not text[0].isalnum() and _NOTHING_IN_IT.match(text):
        return False
    return plain(text) not in NOBODY


def bare_title(title: str) -> str:
    """Plain words of a title without track number, version, guests and leading article.

    >>> bare_title("007-The Lantern (Live at the Quay)")
    'lantern'
    """
    return title_words(title)[0]


def title_words(title: str) -> tuple[str, str]:
    """Plain words of a title bare, and with its version, both without a track's number.

    >>> title_words("3. The Lantern (Live)")
    ('lantern', 'the lantern live')
    """
    whole = without_track_number(title)
    words = letters_for_digits(plain(whole))
    bare = without_version(whole)
    # A lone sign is a title ("?"); blank is none.
    bare_words = words if bare == whole else letters_for_digits(plain(bare))
    if _ARTICLE_LAST.search(bare):
        bare_words = bare_words.rpartition(" ")[0]
    return without_article(bare_words), words


def without_track_number(title: str) -> str:
    """The title without a track's number before it, unless nothing else is there.

    >>> without_track_number("007-Lantern"), without_track_number("99 Herons")
    ('Lantern', '99 Herons')
    """
    if not (found := _TRACK_NUMBER.match(title)):
        return title
    bare = title[found.end() :]
    return bare if plain(bare) else title


def taken_apart(title: str) -> tuple[str, str]:
    """Artist and title from "Artist - Title"; no artist where that is not what it is.

    >>> taken_apart("Ann Oke - Lantern"), taken_apart("Lantern - Live"), taken_apart("03 - Tide")
    (('Ann Oke', 'Lantern'), ('', 'Lantern - Live'), ('', '03 - Tide'))
    """
    bare = without_track_number(title)
    artist, dash, rest = bare.partition(" - ")
    if not dash or not any(c.isalpha() for c in rest) or not any(c.isalpha() for c in artist):
        return "", title
    if version_kinds(plain(rest)) or _VERSION_YEAR.fullmatch(plain(rest)):
        return "", title
    return artist.strip(), rest.strip()


@lru_cache(maxsize=200_000)
def bare_artist(artist: str) -> str:
    """Plain words of an artist without guests and leading article; "" for nobody.

    A name filed under its last word is turned round.

    >>> bare_artist("The Sluices feat. Ann Oke"), bare_artist("Oke, Ann"), bare_artist("Various")
    ('sluices', 'ann oke', '')
    """
    if not said(artist):
        return ""
    parts = [part.strip() for part in artist.split(",")]
    if len(parts) == 2 and all(parts) and len(parts[1].split()) <= 2:
        artist = f"{parts[1]} {parts[0]}"
    return without_article(letters_for_digits(plain(without_featured(artist))))


@lru_cache(maxsize=200_000)
def bare_album(album: str) -> str:
    """Plain words of an album without bracketed notes and leading article."""
    return without_article(plain(without_version(album))) if said(album) else ""


def track_words(tracks: str) -> str:
    """Plain words of all the track titles; "" where they only count the tracks, in any language.

    >>> track_words("Track01 Track02 Track03"), track_words("My Lantern; Tide; Far Lamp")
    ('', 'my lantern tide far lamp')
    """
    if not said(tracks.strip()):
        return ""
    words = plain(put_right(tracks))
    lettered = [bare for word in words.split() if (bare := word.strip("0123456789"))]
    different = len(set(lettered))
    if different <= FEW_WORDS and different * REPEATED <= len(lettered):
        return ""
    return " ".join(word for word in words.split() if not _OF_LISTS.fullmatch(word))


FEW_WORDS, REPEATED = 2, 3
"""Track titles that have no more than so many different words, each so often, are not titles
but "Track 1, Track 2". By judgement."""


_OF_LISTS = re.compile(r"track|\d{1,2}")
"""Words of track lists that are of the list and not of the titles: numbers and minutes."""


def version_kinds(words: str) -> str:
    """The kinds of version that plain words name, sorted, joined by "/".

    >>> version_kinds("my lantern karaoke version"), version_kinds("my lantern 2009 remaster")
    ('karaoke', '')
    >>> version_kinds("my lantern part two"), version_kinds("my lantern pt 1")
    ('part 2', '')
    """
    if "mix" in words or "edit" in words:
        words = _ORIGINAL_MIX.sub(" ", words)
    found = _VERSION.finditer(words)
    kinds = {_VERSIONS[int(str(match.lastgroup)[1:])][0] for match in found}
    kinds |= {
        f"part {number}"
        for match in _PART.finditer(words)
        if (number := numbers_in(match[0])) != "1"
    }
    return "/".join(sorted(kinds)) if kinds else ""


def numbers_in(words: str) -> str:
    """The numbers in plain words, in their order; letters and Roman ones as digits.

    >>> numbers_in("hits vol ii cd 1"), numbers_in("lantern part b"), numbers_in("lantern 1969")
    ('2 1', '2', '1969')
    """
    if not words:
        return ""
    found = []
    if "master" in words:
        words = _VERSION_YEAR.sub(" ", words)
    for match in _NUMBERED.finditer(words):
        word = match["after"] or match["bare"] or match["roman"]
        if word.isdigit():
            found.append(str(int(word)))
        elif word in _WORDS:
            found.append(str(_WORDS[word]))
        elif word in _ROMAN:
            found.append(str(_ROMAN[word]))
        else:
            found.append(str({"i": 1, "v": 5, "x": 10, "a": 1, "b": 2, "c": 3, "d": 4}[word]))
    return " ".join(found)


def later_part(words: str) -> bool:
    """Whether plain words name a second or later part, volume or disc; a bare number does not.

    >>> later_part("hits vol 2"), later_part("hits vol i"), later_part("hits 2"), later_part("")
    (True, False, False, False)
    """
    return any(
        numbers_in(match[0]) != "1" for match in _NUMBERED.finditer(words) if not match["bare"]
    )


_OF_NUMBER = re.compile(
    r"\d+|part|pt|vol|volume|disc|disk|disque|cd|side|teil|no|nr|number|act|book|chapter|lp|[ivx]+"
)


def is_of_number(word: str) -> bool:
    """Whether a word is a number of a part or volume, or says that one follows.

    >>> is_of_number("vol"), is_of_number("iii"), is_of_number("12"), is_of_number("two")
    (True, True, True, True)
    """
    return word in _WORDS or bool(_OF_NUMBER.fullmatch(word))


_VERSION_YEAR = re.compile(r"\b(?:\d{4} )?(?:digital(?:ly)? )?re ?master(?:ed)?(?: \d{4})?\b")


def year_in(text: str) -> float | None:
    """A year from a text, two digits too ("'71", "05"); None if there is none.

    >>> year_in("1971-05-01"), year_in("71"), year_in("05"), year_in("soon")
    (1971.0, 1971.0, 2005.0, None)
    """
    if match := _YEAR.search(text):
        return float(match[1])
    digits = text.strip().strip("'’").strip()
    if len(digits) == 2 and digits.isdigit():
        return float(digits) + (2000 if int(digits) <= 30 else 1900)
    return None
