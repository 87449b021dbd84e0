"""Steps that mend text whatever it means: wrong encodings, stray signs, several values."""

from __future__ import annotations

import re
import unicodedata

from importers.cleaning_steps import Step, each_foreign_text, each_text, step
from importers.entries import MANY, Draft

LOST = "\N{REPLACEMENT CHARACTER}"

_FIRST_ONLY = frozenset({"title", "album", "year", "first_year", "tempo", "length", "track",
                         "disc", "isrc", "version", "compilation", "disc_title"})  # fmt: skip
"""Fields of which only one can be true; several artists or genres may be."""


def _as_byte(char: str) -> int | None:
    """The byte that a program took for this character, or None if there is no such byte.

    cp1252 leaves five bytes out; programs then keep them as control characters.
    """
    try:
        return char.encode("cp1252")[0]
    except UnicodeEncodeError:
        return ord(char) if ord(char) < 0x100 else None


_HIGH = "".join(
    char
    for char in dict.fromkeys(
        [chr(n) for n in range(0x80, 0x100)]
        + [bytes([n]).decode("cp1252", "ignore") for n in range(0x80, 0xA0)]
    )
    if char
)
_TAIL = "".join(c for c in _HIGH if 0x80 <= (_as_byte(c) or 0) <= 0xBF)


def _leads(first: int, last: int) -> str:
    return re.escape("".join(c for c in _HIGH if first <= (_as_byte(c) or 0) <= last))


_MOJIBAKE = re.compile(
    f"(?:[{_leads(0xC2, 0xDF)}][{re.escape(_TAIL)}]"
    f"|[{_leads(0xE0, 0xEF)}][{re.escape(_TAIL)}]{{2}}"
    f"|[{_leads(0xF0, 0xF4)}][{re.escape(_TAIL)}]{{3}})+"
)
_ALPHABETS = ("GREEK", "CYRILLIC", "HEBREW", "ARABIC", "ARMENIAN")


def _repair_run(match: re.Match[str]) -> str:
    try:
        repaired = bytes(_as_byte(c) or 0 for c in match.group()).decode("utf-8")
    except UnicodeDecodeError:
        return match.group()
    return repaired if _plausible(repaired) else match.group()


def _plausible(repaired: str) -> bool:
    """Whether a run comes to what somebody writes. Capitals before a closing quote (É») look
    broken too, but would come to letters of no use."""
    if len(repaired) == 1 and unicodedata.name(repaired, "").startswith(_ALPHABETS):
        return False  # nobody writes a single letter of another alphabet
    return all(
        0xA0 <= ord(c) < 0x180
        or 0x218 <= ord(c) <= 0x21B
        or ord(c) >= 0x800
        or unicodedata.name(c, "").startswith(_ALPHABETS)
        for c in repaired
    )


def mend_mojibake(text: str) -> str:
    """Text whose UTF-8 was read as cp1252 or Latin-1, once or twice, as it was written.

    >>> mend_mojibake("DÃ©jÃ\\xa0 Brume"), mend_mojibake("«CAFÉ»")
    ('Déjà Brume', '«CAFÉ»')
    """
    for _ in range(2):
        mended = _MOJIBAKE.sub(_repair_run, text)
        if mended == text:
            break
        text = mended
    return text


@step({"title": "Tide\0\0"}, {"title": "Tide"})
def padding_of_nuls(draft: Draft) -> Draft:
    """Takes away NULs at the ends, with which some programs fill fields of fixed length."""
    return each_text(draft, lambda text: text.strip(MANY))


@step({"title": "\ufeffTide\u200b"}, {"title": "Tide"})
def byte_order_marks(draft: Draft) -> Draft:
    """Takes away byte order marks and other signs without width."""
    return each_foreign_text(
        draft, lambda t: re.sub("[\ufeff\ufffe\u200b\u200e\u200f\u2060\u00ad]", "", t)
    )


@step({"title": "DÃ©jÃ\xa0 Brume"}, {"title": "Déjà Brume"})
def utf8_read_as_cp1252(draft: Draft) -> Draft:
    """Mends letters broken in two because UTF-8 was read as cp1252 or Latin-1."""
    return each_foreign_text(draft, mend_mojibake)


@step({"title": "The Boatman\x92s Reel"}, {"title": "The Boatman’s Reel"})
def cp1252_read_as_latin1(draft: Draft) -> Draft:
    """Turns control characters into the quotes and dashes that cp1252 has in their place."""

    def mend(text: str) -> str:
        return "".join(
            bytes([ord(c)]).decode("cp1252", "ignore") if "\x80" <= c <= "\x9f" else c for c in text
        )

    return each_foreign_text(draft, mend)


@step({"title": "Tide\0Ebb", "artist": "Ada Sluice\0Ann Oke"},
      {"title": "Tide", "artist": "Ada Sluice & Ann Oke"})  # fmt: skip
def several_values(draft: Draft) -> Draft:
    """Joins several people or kinds; of several titles or numbers keeps the first."""

    def one(name: str, text: str) -> str:
        values = list(dict.fromkeys(v.strip() for v in text.split(MANY) if v.strip()))
        if name in _FIRST_ONLY:
            return values[0] if values else ""
        return (", " if name in {"genre", "language"} else " & ").join(values)

    return draft.put(**{n: one(n, text) for n, text in draft.fields.items() if MANY in text})


@step({"title": "  My \t Lantern\x07\n"}, {"title": "My Lantern"})
def stray_spaces(draft: Draft) -> Draft:
    """Makes every run of spaces, line ends and control characters one space."""

    def tidy(text: str) -> str:
        if text.isascii() and text.isprintable():
            return " ".join(text.split()) if "  " in text or text != text.strip() else text
        visible = "".join(" " if unicodedata.category(c) in {"Cc", "Cs"} else c for c in text)
        return " ".join(unicodedata.normalize("NFC", visible).split())

    return each_text(draft, tidy)


@step({"title": '"Tide', "album": '"Low Water"', "disc_title": '"Tide" & other songs'},
      {"title": "Tide", "album": "Low Water", "disc_title": '"Tide" & other songs'})  # fmt: skip
def quotes_left_over(draft: Draft) -> Draft:
    """Takes away a quote without its fellow at the beginning, and a pair around everything."""

    def unquoted(text: str) -> str:
        if len(text) > 1 and text[0] == '"':
            if text.count('"') == 1:
                return text[1:]
            if text.count('"') == 2 and text[-1] == '"' and len(text) > 2:
                return text[1:-1]
        return text

    return draft.put(**{n: unquoted(t) for n, t in draft.fields.items() if '"' in t})


_DOUBTFUL = re.compile(r"\?[^\W\d_]")
_NOTHING = re.compile(
    r"[<\[(]?(?:unknown(?: artist| album| genre| title)?|n/?a|none|null|-+|"
    r"no (?:artist|title|album)|unbekannt(?:er interpret)?|\?\?+)[>\])]?",
    re.IGNORECASE,
)


@step({"title": "Caf\ufffd by the Quay"}, {"title": "Caf\ufffd by the Quay"})
def lost_letters(draft: Draft) -> Draft:
    """Notes where letters are lost for good, so that somebody writes them anew."""
    lost = [name for name, text in draft.fields.items() if LOST in text]
    doubtful = [n for n, text in draft.fields.items() if "?" in text and _DOUBTFUL.search(text)]
    if doubtful and not lost:
        return draft.note(f"a letter may be lost in the {' and the '.join(doubtful)} (“?”)")
    if not lost:
        return draft
    return draft.note(f"letters are lost in the {' and the '.join(lost)}; write them anew")


@step({"artist": "n/a", "album": "<unknown>", "title": "Tide"}, {"title": "Tide"})
def words_for_nothing(draft: Draft) -> Draft:
    """Takes away words that programs write where nothing is known."""
    left = {"title", "voice", "language"}
    fields = {n: "" for n, t in draft.fields.items() if n not in left and _NOTHING.fullmatch(t)}
    if draft.get("genre").lower() in {"other", "misc", "unclassifiable", "general"}:
        fields["genre"] = ""
    return draft.put(**fields)


TEXT_STEPS: tuple[Step, ...] = (
    padding_of_nuls,
    byte_order_marks,
    utf8_read_as_cp1252,
    cp1252_read_as_latin1,
    several_values,
    stray_spaces,
    quotes_left_over,
    lost_letters,
    words_for_nothing,
)
