"""Where titles, names and shelf marks are filed: keys that are compared as text.

Sources: ALA Filing Rules (1980) and the Library of Congress: file as is, numerals before letters,
Mc and St as written; ALA Rules for Filing Catalog Cards (1968): Mc and M' as Mac, St as Saint,
numerals as spoken. In all of them accents, hyphens and apostrophes are passed over, and the
article of a personal or place name stays (El Paso under E).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from catalogue.spelling import plain, spoken

ARTICLES = ("english", "german", "both", "kept")
"""Whose leading article of a title is passed over; kept: nobody's."""

WRITTEN, IN_FULL = "written", "full"
DIGITS, SPOKEN = "digits", "spoken"
CHOICES: dict[str, tuple[str, ...]] = {
    "articles": ARTICLES,
    "mac": (WRITTEN, IN_FULL),
    "saint": (WRITTEN, IN_FULL),
    "numerals": (DIGITS, SPOKEN),
}
"""Each rule and what it can be."""

_ENGLISH, _GERMAN = ("the", "a", "an"), ("der", "die", "das", "ein", "eine")
_INITIAL = {
    "english": _ENGLISH, "german": _GERMAN, "both": (*_ENGLISH, *_GERMAN), "kept": (),
}  # fmt: skip
"""The articles of the nominative alone: "Den Abend lang" is filed under D."""

_BEFORE_A_NUMERAL = re.compile(r"\b(no|nr|pt|vol|op)\b\.?\s*(?=\d)", re.IGNORECASE)
"""Abbreviations that `plain` writes in full for the ear; a shelf has them as they are written."""

_MAC = re.compile(r"\b(?:mc|m')(?=[a-z])")
_SAINT = re.compile(r"\bst(e?)(?= [a-z0-9])")
_NUMBER = re.compile(r"\d+")
_DIGITS_PADDED = 12
"""Digits to which a number is filled up with noughts; longer ones are no quantities."""

_MARK_PARTS = re.compile(r"(?P<cutter>\.[^\W\d_]\d+)|(?P<number>\d+)|(?P<letters>[^\W\d_]+)")
_DEWEY = re.compile(r"(?<!\d)(\d{3})\.(\d+)")

_END_OF_PART = "\x01"
_MOST_DIGITS = 300
"""Digits of a number that are read: a longer one is no number of anything."""

MarkOrder = tuple[tuple[tuple[int, int, str], ...], str]


@dataclass(frozen=True, slots=True)
class Rules:
    """The filing rules of one shelf; what each can be is in `CHOICES`."""

    articles: str = "english"
    mac: str = WRITTEN
    saint: str = WRITTEN
    numerals: str = DIGITS


ALA_1980 = Rules()
ALA_1968 = Rules("english", IN_FULL, IN_FULL, SPOKEN)


def title_key(title: str, rules: Rules = ALA_1980) -> str:
    """Where a title is filed: keys are compared as text.

    >>> sorted(["The Quay", "99 Herons", "El Paso", "A Lantern", "9 Tides"], key=title_key)
    ['9 Tides', '99 Herons', 'El Paso', 'A Lantern', 'The Quay']
    """
    return _key(title, rules, articles(rules))


def name_key(name: str, rules: Rules = ALA_1980) -> str:
    """Where an artist is filed: of articles only "the" of a band is passed over.

    >>> sorted(["McGrath", "Mabney", "Marshall", "MacDonald"], key=name_key)
    ['Mabney', 'MacDonald', 'Marshall', 'McGrath']
    """
    return _key(name, rules, articles_of_names(rules))


@lru_cache(maxsize=100_000)
def mark_order(mark: str) -> MarkOrder:
    """Where a shelf mark stands: numbers as numbers, digits before letters, signs passed over.

    Decimals are fractions where a scheme has them: a Dewey number (three digits and a point)
    and a cutter (a point, a letter, digits), both common practice, no source.

    >>> sorted(["C 114", "C2", "B-3", "78.2", "c 2 a"], key=mark_order)
    ['78.2', 'B-3', 'C2', 'c 2 a', 'C 114']
    >>> sorted(["780.9", "780.92", "780.15", "ML410 .B4", "ML410 .B38", "ML95"], key=mark_order)
    ['780.15', '780.9', '780.92', 'ML95', 'ML410 .B38', 'ML410 .B4']
    """
    text = mark.casefold().strip()
    parts: list[tuple[int, int, str]] = []
    for found in _MARK_PARTS.finditer(_DEWEY.sub(r"\1.~\2", text)):
        fraction = found.start() > 1 and found.string[found.start() - 2 : found.start()] == ".~"
        if found["cutter"]:
            parts.append((0, 0, found["cutter"]))
        elif found["number"]:
            digits = found["number"][:_MOST_DIGITS]
            parts.append((0, 0, digits) if fraction else (0, int(digits), ""))
        else:
            parts.append((1, 0, found["letters"]))
    return tuple(parts), text


def standing_order(mark: str, rules: Rules) -> MarkOrder:
    """Where a mark stands on a shelf that is filed by these rules.

    A mark without a number is a name, and is filed as one.

    >>> names = ["Marsh", "McGrath", "MacDonald", "The Bay"]
    >>> sorted(names, key=lambda name: standing_order(name, ALA_1968))
    ['The Bay', 'MacDonald', 'McGrath', 'Marsh']
    """
    if any(sign.isdigit() for sign in mark):
        return mark_order(mark)
    return mark_order(name_key(mark, rules))[0], mark.casefold().strip()


def mark_key(mark: str) -> str:
    """The order of `mark_order` as text, which a database can keep sorted.

    Each part is a sign for its kind, the number with how many digits it has, and the letters; a
    part ends with a sign below all letters, and so does the last of them.

    >>> marks = ["C 114", "C2", "B-3", "78.2", "c 2 a", "ML410 .B38", "ML410 .B4", ""]
    >>> sorted(marks, key=mark_key) == sorted(marks, key=mark_order)
    True
    """
    parts, text = mark_order(mark)
    written = "".join(
        f"{kind}{len(str(number)):04d}{number}{letters}{_END_OF_PART}"
        for kind, number, letters in parts
    )
    return f"{written}{_END_OF_PART}{text}"


def articles(rules: Rules) -> tuple[str, ...]:
    """The articles that are passed over at the start of a title, in plain words."""
    return _INITIAL[rules.articles]


def articles_of_names(rules: Rules) -> tuple[str, ...]:
    """Those of an artist's name: "the" alone, which is a band's."""
    return ("the",) if rules.articles in ("english", "both") else ()


@lru_cache(maxsize=100_000)
def _key(text: str, rules: Rules, passed_over: tuple[str, ...]) -> str:
    words = plain(_BEFORE_A_NUMERAL.sub(r"\1 | ", text))
    first, _, rest = words.partition(" ")
    if first in passed_over and rest:
        words = rest
    if rules.mac == IN_FULL:
        words = _MAC.sub("mac", words)
    if rules.saint == IN_FULL:
        words = _SAINT.sub(r"saint\1", words)
    if rules.numerals == SPOKEN:
        words = spoken(words)
    else:
        words = _NUMBER.sub(lambda found: found.group().zfill(_DIGITS_PADDED), words)
    return words.replace("'", "")
