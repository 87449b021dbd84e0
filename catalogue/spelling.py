"""Text to plain words: the one spelling under which names are filed and sought.

`plain` takes any text to lower-case words of a-z, 0-9 and apostrophes with single spaces. It
never loses a whole name: a title without letters or digits ("?", "!!!") becomes the names of
its signs ("question mark").
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

from anyascii import anyascii
from num2words import num2words

_FEATURED = re.compile(r"[(\[]?\b(?:feat|ft|featuring)\b\.?\s.*$", re.IGNORECASE)
_FEATURED_IN_TITLE = re.compile(
    r"(?<=\S)\s*(?:[(\[]\s*(?:feat|ft|featuring)\b|\s(?:(?:feat|ft)\.\s*(?=\S)|featuring\s|feat\s(?!of\b)|"
    r"(?<!\d\s)ft\s(?!(?:under|tall|high|deep|down|wide|long)\b))).*$",
    re.IGNORECASE,
)
"""In titles "feat" and "ft" are words too: "A Feat of Arms", "Six Ft Under"."""

_BRACKETED = re.compile(r"(?<=\S)\s*[(\[][^)\]]*[)\]]")
"""A bracket at the very start belongs to the title: "(I Can't Get No) Harvest"."""

_REMASTERED = re.compile(
    r"(?<=\S)\s*(?:[(\[][^)\]]*\bremaster[^)\]]*[)\]]|\s-\s[^-]*\bremaster.*$)", re.IGNORECASE
)
_DASHED_VERSION = re.compile(
    r"\s+-\s+[^-]*\b(?:version|remaster(?:ed)?|remix|mix|live|edit|mono|stereo)\b[^-]*$",
    re.IGNORECASE,
)
_MAY_HAVE_MORE = re.compile(r"[(\[-]|f(?:ea)?t", re.IGNORECASE)
"""What a title has that may have a version or a guest: a bracket, a dash, "feat", "ft"."""

_NOT_PLAIN = re.compile(r"[^a-z0-9' ]+")
_LONE_APOSTROPHE = re.compile(r"(?<![a-z0-9])'+|'+(?![a-z0-9])")
_DOTTED_INITIALS = re.compile(r"\b(?:[a-z]\.){2,}(?:[a-z]\b)?")
_ARTICLES = ("the ", "a ", "an ")
_NUMBER = re.compile(r"\d+")
_LETTERS_AND_DIGITS = re.compile(r"(?<=[a-z])(?=\d)|(?<=\d)(?=[a-z])")
_ORDINAL = re.compile(r"\b(\d+)(?:st|nd|rd|th)\b")

_ABBREVIATED = re.compile(r"\b(no|nr|pt|vol|op)\b\.?\s*(?=\d)")
_IN_FULL = {"no": "number", "nr": "number", "pt": "part", "vol": "volume", "op": "opus"}
"""What stands before a numeral on labels, as it is said (common practice, no source)."""

_SIGNS = {
    "?": "question mark", "!": "exclamation mark", "*": "star", ".": "dot", "/": "slash",
    "-": "dash", "_": "underscore", ":": "colon", ";": "semicolon", ",": "comma", "=": "equals",
    "+": "plus", "#": "hash", "@": "at", "%": "per cent", "$": "dollar", "£": "pound",
    "€": "euro", "&": "and", "~": "tilde", "^": "caret", "<": "less than", ">": "more than",
    "|": "bar", "\\": "backslash", "(": "bracket", ")": "bracket", "\"": "quote", "'": "apostrophe",
}  # fmt: skip
"""What a lone sign is called aloud (common practice, no source)."""

_SPOKEN_SIGNS = (("&", " and "), ("+", " and "), ("@", " at "), ("%", " per cent "))
_SIGNS_NAMED = 4
"""Signs of a name without words that are said: nobody says more."""

_LONGEST_NUMBER = 9
"""Digits in a row beyond this are said one by one: nobody says a barcode as a number."""


def plain(text: str) -> str:
    """The plain words of any text; empty only for blank text and control characters.

    >>> plain("Déjà Brume (Live) – Søren & The Ærø Band")
    'deja brume live soren and the aero band'
    >>> plain("U.B. Forty-Two"), plain("?"), plain("Rock 'n' Roll"), plain("Waltz No. 3, Pt. 1")
    ('ub forty two', 'question mark', 'rock n roll', 'waltz number 3 part 1')
    """
    ascii_text = text if text.isascii() else anyascii(text)
    words = ascii_text.lower().split()
    if "".join(words).isalpha():  # nothing but letters, as most names are: the rest is not needed
        return " ".join(words)
    lower = ascii_text.lower().replace("`", "'")
    lower = _DOTTED_INITIALS.sub(lambda m: m.group().replace(".", "") + " ", lower)
    spoken = _ABBREVIATED.sub(lambda m: f"{_IN_FULL[m[1]]} ", lower)
    for sign, word in _SPOKEN_SIGNS:
        spoken = spoken.replace(sign, word)
    bare = " ".join(_LONE_APOSTROPHE.sub("", _NOT_PLAIN.sub(" ", spoken)).split())
    return bare or _sign_names(lower) or ("sign" if any(map(_is_seen, text)) else "")


def _sign_names(text: str) -> str:
    """The names of the first few signs of a text that has nothing else."""
    names: list[str] = []
    for sign in text:
        name = _SIGNS.get(sign)
        if name and (not names or names[-1] != name):
            names.append(name)
    return " ".join(names[:_SIGNS_NAMED])


def _is_seen(character: str) -> bool:
    """Whether a character leaves a mark on paper: no space, control or formatting character."""
    return not character.isspace() and unicodedata.category(character) not in ("Cc", "Cf")


def without_version(title: str) -> str:
    """The title without a bracketed version or featured artist; the whole if nothing is left.

    >>> without_version("My Lantern (Live at the Quay)"), without_version("Tide feat. Ann Oke")
    ('My Lantern', 'Tide')
    >>> without_version("(Come Back) My Lantern"), without_version("A Feat of Arms")
    ('(Come Back) My Lantern', 'A Feat of Arms')
    """
    bare = title
    if _MAY_HAVE_MORE.search(title):
        bare = _FEATURED_IN_TITLE.sub("", title)
        bare = _BRACKETED.sub("", bare)
        bare = _DASHED_VERSION.sub("", bare)
    return bare.strip().strip(" -,;:").strip() or title.strip()


def without_guests(title: str) -> str:
    """The title with its bracketed parts, but without featured artists and notes of remastering.

    >>> without_guests("Lantern Waltz (Part 2) [feat. Ann Oke]"), without_guests("Tide (Remaster)")
    ('Lantern Waltz (Part 2)', 'Tide')
    """
    bare = _REMASTERED.sub("", _FEATURED_IN_TITLE.sub("", title)).strip().strip(" -,;:").strip()
    return bare or title.strip()


def without_featured(artist: str) -> str:
    """The artist without the guests.

    >>> without_featured("Ada Sluice feat. The Bargemen")
    'Ada Sluice'
    """
    return _FEATURED.sub("", artist).strip().strip(" -,;:([").strip() or artist.strip()


def without_article(plain_text: str) -> str:
    """Plain words without a leading article, unless nothing else is there.

    >>> without_article("the the tides"), without_article("the")
    ('the tides', 'the')
    """
    if plain_text.startswith(_ARTICLES):
        return plain_text[plain_text.index(" ") :].lstrip() or plain_text
    return plain_text


@lru_cache(maxsize=20_000)
def _number_words(digits: str) -> str:
    if len(digits) > _LONGEST_NUMBER or (len(digits) > 1 and digits[0] == "0"):
        return " ".join(_number_words(d) for d in digits)
    value = int(digits)
    if len(digits) == 4 and 1100 <= value <= 2099:
        said = num2words(value, to="year")
    else:
        said = num2words(value)
    return " ".join(_NOT_PLAIN.sub(" ", said).split())


@lru_cache(maxsize=2_000)
def _ordinal_words(digits: str) -> str:
    if len(digits) > _LONGEST_NUMBER:
        return _number_words(digits)
    return " ".join(_NOT_PLAIN.sub(" ", num2words(int(digits), to="ordinal")).split())


def spoken(plain_text: str) -> str:
    """Plain words as they are said: numerals in words.

    >>> spoken("ub40"), spoken("99 herons"), spoken("summer of 1969"), spoken("5th dimension")
    ('ub forty', 'ninety nine herons', 'summer of nineteen sixty nine', 'fifth dimension')
    """
    if not _NUMBER.search(plain_text):
        return plain_text
    text = _ORDINAL.sub(lambda m: f" {_ordinal_words(m.group(1))} ", plain_text)
    text = _LETTERS_AND_DIGITS.sub(" ", text)
    text = _NUMBER.sub(lambda m: f" {_number_words(m.group())} ", text)
    return " ".join(text.split())
