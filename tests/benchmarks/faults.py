"""Faults that lists of recordings and discs have, each by itself, as functions of one row.

A row is a dictionary of text by column (artist, title, album, year, length, tracks), as it would
stand in a CSV. The kinds are those that published collections of faults name: slips of the
keyboard, what is heard instead, reading by machine, fields changed and run together, abbreviations,
values left out (Hernández and Stolfo, 1995; Christen, Data Matching, 2012, chapter 2;
both from memory), and those
that lists of music have besides. None is made after the faults of `tests/reference/discs`.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from html import escape

Row = dict[str, str]
Fault = Callable[[Row, random.Random], Row]

_BESIDE = dict(zip("qwertyuiopasdfghjklzxcvbnm", "wqretyuoipsadfghjlkxzcvbmn", strict=True))
_SEEN_AS = {"o": "0", "l": "1", "i": "l", "m": "rn", "s": "5", "b": "6", "e": "c", "t": "f"}
_SHORT = {
    "and": "&", "orchestra": "Orch.", "saint": "St.", "doctor": "Dr.", "mister": "Mr.",
    "brothers": "Bros.", "you": "u", "for": "4", "to": "2", "company": "Co.", "junior": "Jr.",
    "christmas": "Xmas", "number": "No.", "part": "Pt.", "volume": "Vol.", "love": "Luv",
    "symphony": "Symph.", "original": "Orig.", "greatest": "Gr.", "featuring": "ft.",
    "are": "r", "with": "w/", "without": "w/o", "international": "Int'l", "because": "'cause",
}  # fmt: skip
_HEARD_AS = (("ph", "f"), ("ck", "k"), ("ee", "ea"), ("igh", "ite"), ("oo", "ou"), ("c", "k"),
             ("qu", "kw"), ("y", "ie"), ("x", "ks"), ("z", "s"))  # fmt: skip
_CYRILLIC = dict(zip("abvgdeziklmnoprstufhcy", "абвгдезиклмнопрстуфхцы", strict=True)) | {
    "j": "й", "w": "в", "q": "к", "x": "кс"}  # fmt: skip
_GREEK = dict(zip("abgdeziklmnxoprstufc", "αβγδεζικλμνξοπρστυφκ", strict=True)) | {
    "v": "β", "j": "ι", "q": "κ", "y": "ι", "h": "χ"}  # fmt: skip
_ACCENTS = dict(zip("aeioucn", "áéíöüçñ", strict=True))
_GUESTS = ("Ann Oke", "The Bargemen", "Cy Reed")


def on(*names: str) -> Callable[[Callable[[str, random.Random], str]], Fault]:
    """A fault of single texts, done to the columns of these names that are there."""

    def fault_of(change: Callable[[str, random.Random], str]) -> Fault:
        return lambda row, chance: (
            row | {name: change(row[name], chance) for name in names if row.get(name)}
        )

    return fault_of


def slip(text: str, chance: random.Random) -> str:
    """A letter left out, doubled, slipped to the key beside it, or changed with the next."""
    if len(text) < 4:
        return text
    at, kind = chance.randrange(1, len(text) - 1), chance.randrange(4)
    return text[:at] + (
        text[at + 1 :], text[at] + text[at:], _BESIDE.get(text[at].lower(), "e") + text[at + 1 :],
        text[at + 1] + text[at] + text[at + 2 :],
    )[kind]  # fmt: skip


def slips(text: str, chance: random.Random) -> str:
    """Two slips, and one more for every twenty letters."""
    for _ in range(2 + len(text) // 20):
        text = slip(text, chance)
    return text


def _machine_read(text: str, chance: random.Random) -> str:
    found = [n for n, c in enumerate(text) if c.lower() in _SEEN_AS]
    for at in sorted(chance.sample(found, min(len(found), 1 + len(text) // 12)), reverse=True):
        text = text[:at] + _SEEN_AS[text[at].lower()] + text[at + 1 :]
    return text


def _shortened(text: str, chance: random.Random) -> str:
    return " ".join(_SHORT.get(word.lower(), word) for word in text.split())


def _heard(text: str, chance: random.Random) -> str:
    lower = text.lower()
    for one, other in chance.sample(_HEARD_AS, len(_HEARD_AS)):
        if one in lower:
            return lower.replace(one, other, 1)
    return slip(lower, chance)


def _initials(text: str, chance: random.Random) -> str:
    first, _, last = text.partition(" ")
    return f"{first[0]}. {last}" if last and first.lower() not in ("the", "a", "an") else text


def _letters(table: dict[str, str]) -> Callable[[str, random.Random], str]:
    return lambda text, _: "".join(table.get(c, c) for c in text.lower())


def _accented(text: str, chance: random.Random) -> str:
    return "".join(_ACCENTS.get(c, c) if chance.random() < 0.4 else c for c in text)


def _wrongly_decoded(text: str, chance: random.Random) -> str:
    return _accented(text, chance).encode().decode("cp1252", errors="replace")


def _last_first(text: str, chance: random.Random) -> str:
    first, _, last = text.rpartition(" ")
    return f"{last}, {first}" if first else text


def _article_last(text: str, chance: random.Random) -> str:
    first, _, rest = text.partition(" ")
    return f"{rest}, {first}" if rest and first.lower() in ("the", "a", "an") else f"The {text}"


def _word_lost(text: str, chance: random.Random) -> str:
    words = text.split()
    if len(words) > 2:
        del words[chance.randrange(len(words))]
    return " ".join(words)


def _words_turned(text: str, chance: random.Random) -> str:
    words = text.split()
    at = chance.randrange(max(1, len(words) - 1))
    words[at : at + 2] = words[at : at + 2][::-1]
    return " ".join(words)


def _glued(text: str, chance: random.Random) -> str:
    words = text.split()
    if len(words) < 2:
        return text
    at = chance.randrange(len(words) - 1)
    return " ".join([*words[:at], words[at] + words[at + 1], *words[at + 2 :]])


def _guest(row: Row, chance: random.Random) -> Row:
    guest = chance.choice(_GUESTS)
    shapes = (
        ("artist", "{} feat. {}"), ("artist", "{} ft {}"), ("title", "{} (feat. {})"),
        ("title", "{} [ft. {}]"), ("artist", "{} featuring {}"), ("artist", "{} & {}"),
        ("artist", "{} with {}"), ("artist", "{}; {}"),
    )  # fmt: skip
    column, shape = chance.choice(shapes)
    return row | {column: shape.format(row[column], guest)} if row.get(column) else row


def _turned(row: Row, chance: random.Random) -> Row:
    if "artist" not in row or not row.get("title"):
        return row
    return row | {"title": row["artist"] or row["title"], "artist": row["title"]}


def _in_one_field(row: Row, chance: random.Random) -> Row:
    if not row.get("artist"):
        return row
    shape = chance.choice(("{a} - {t}", "{a} / {t}", "{a}: {t}", "{t} by {a}", "{t} - {a}",
                           "{a} – {t}", "{a}_-_{t}", "{t} ({a})"))  # fmt: skip
    return row | {"title": shape.format(a=row["artist"], t=row["title"]), "artist": ""}


_NOTES = (
    " (Album Version)", " [Explicit]", " (Remastered 2009)", " - 2011 Remaster",
    " (Stereo)", " [Bonus Track]", " (Original Version)", " (Single)",
)  # fmt: skip


def _note(row: Row, chance: random.Random) -> Row:
    return row | {"title": row["title"] + chance.choice(_NOTES)} if row.get("title") else row


def _year_off(row: Row, chance: random.Random) -> Row:
    year = row.get("year", "")
    if not year.isdigit():
        return row
    return row | {"year": str(int(year) + chance.choice((-30, -9, -2, -1, 1, 2, 9, 30)))}


def _year_written(row: Row, chance: random.Random) -> Row:
    year = row.get("year", "")
    shapes = ("'{s}", "{s}", "{y}-05-01", "c. {y}", "(P) {y}", "01/05/{y}", "{y}.0")
    return row | {"year": chance.choice(shapes).format(y=year, s=year[2:])} if year else row


def _length_written(row: Row, chance: random.Random) -> Row:
    if not re.fullmatch(r"[\d.]+", row.get("length", "")):
        return row
    s = float(row["length"])
    shapes = ("{m}:{s:02}", "{m}m {s}sec", "{ms}", "PT{m}M{s}S", "0:{m:02}:{s:02}", "{m}'{s:02}\"")
    shape = chance.choice(shapes)
    return row | {"length": shape.format(m=int(s // 60), s=int(s % 60), ms=int(s * 1000))}


def _length_off(row: Row, chance: random.Random) -> Row:
    if not re.fullmatch(r"[\d.]+", row.get("length", "")):
        return row
    return row | {"length": str(max(20.0, float(row["length"]) + chance.choice((-25, -8, 8, 25))))}


def _left_out(row: Row, chance: random.Random) -> Row:
    there = [name for name in row if row[name] and name not in ("id", "title")]
    for name in chance.sample(there, min(len(there), chance.choice((1, 2, 2)))):
        row = row | {name: chance.choice(("", "", "null", "unknown", "-", "N/A"))}
    return row


def _tracks_of(row: Row) -> list[str]:
    return [track for track in re.split(r"\s*\|\s*", row.get("tracks", "")) if track]


def _tracks_written(row: Row, chance: random.Random) -> Row:
    tracks = _tracks_of(row)
    shape = chance.choice(("{n:02}. {t}", "{n} {t}", "{t}", "Track {n}: {t}", "{t} ({n}:07)"))
    between = chance.choice(("; ", ", ", "\n", " / ", " ", " - "))
    told = [shape.format(n=n, t=track) for n, track in enumerate(tracks, 1)]
    return row | {"tracks": between.join(told)} if tracks else row


def _tracks_turned(row: Row, chance: random.Random) -> Row:
    tracks = _tracks_of(row)
    return row | {"tracks": " | ".join(chance.sample(tracks, len(tracks)))} if tracks else row


def _tracks_fewer(row: Row, chance: random.Random) -> Row:
    tracks = _tracks_of(row)
    return row | {"tracks": " | ".join(tracks[: max(1, 2 * len(tracks) // 3)])} if tracks else row


def _tracks_more(row: Row, chance: random.Random) -> Row:
    more = [f"Bonus {word}" for word in ("Harbour", "Lantern Reprise", "Interview")]
    return row | {"tracks": " | ".join([*_tracks_of(row), *more])} if row.get("tracks") else row


_NAMES = on("title", "artist")
FAULTS: dict[str, Fault] = {
    "one slip": on("title")(slip),
    "slips in both names": on("title", "artist", "tracks")(slips),
    "read by machine": _NAMES(_machine_read),
    "heard instead": _NAMES(_heard),
    "shortened": _NAMES(_shortened),
    "initials": on("artist")(_initials),
    "capitals": on("title", "artist", "album", "tracks")(lambda text, _: text.upper()),
    "accents": _NAMES(_accented),
    "wrongly decoded": _NAMES(_wrongly_decoded),
    "Cyrillic": _NAMES(_letters(_CYRILLIC)),
    "Greek": _NAMES(_letters(_GREEK)),
    "entities": _NAMES(lambda text, _: escape(text.replace(" and ", " & "))),
    "underscores": _NAMES(lambda text, _: text.replace(" ", "_")),
    "thirty letters": _NAMES(lambda text, _: text[:30]),
    "last name first": on("artist")(_last_first),
    "article elsewhere": _NAMES(_article_last),
    "a word lost": on("title")(_word_lost),
    "words turned": on("title")(_words_turned),
    "words glued": _NAMES(_glued),
    "a guest": _guest,
    "a note": _note,
    "a number before": on("title")(lambda text, c: f"{c.randint(1, 20):02d} - {text}"),
    "changed places": _turned,
    "in one field": _in_one_field,
    "no artist": lambda row, _: row | {"artist": ""} if "artist" in row else row,
    "left out": _left_out,
    "another year": _year_off,
    "year written otherwise": _year_written,
    "another length": _length_off,
    "length written otherwise": _length_written,
    "another album": lambda row, c: row | {"album": f"Best of {c.randint(1960, 1999)}"}
    if row.get("album") else row,
    "tracks written otherwise": _tracks_written,
    "tracks in another order": _tracks_turned,
    "fewer tracks": _tracks_fewer,
    "more tracks": _tracks_more,
}  # fmt: skip
"""Every fault by its name."""
