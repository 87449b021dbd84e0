"""A made catalogue with known duplicates and near-namesakes, as large as is wanted.

Names are those of `decoys`: real songs' words and artists. One record in twenty is entered a
second time with one to three faults of the kinds lists and tags have (the faults of names that
Hernández and Stolfo, 1995, and Christen, 2012, describe, from memory, and of ID3v1's thirty
letters). One in
twenty has a near-namesake that is *not* the same recording: live, remix, karaoke, a later
recording, part two, a cover by somebody else, another song of the same artist that differs in
one word. Seeded.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from itertools import islice

from tests.benchmarks.decoys import decoys

DOUBLED = 0.05
NAMESAKES = 0.05
_ID3V1 = 30
_BESIDE = dict(zip("qwertyuiopasdfghjklzxcvbnm", "wqretyuoipsadfghjlkxzcvbmn", strict=True))


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the made list; None where nothing was written."""

    title: str
    artist: str
    album: str = ""
    year: int | None = None
    length: float | None = None


def _typo(text: str, chance: random.Random) -> str:
    """A letter left out, doubled, slipped to its neighbour key, or changed with the next."""
    if len(text) < 4:
        return text
    at = chance.randrange(1, len(text) - 1)
    kind = chance.randrange(4)
    if kind == 0:
        return text[:at] + text[at + 1 :]
    if kind == 1:
        return text[:at] + text[at] + text[at:]
    if kind == 2:
        return text[:at] + _BESIDE.get(text[at].lower(), "e") + text[at + 1 :]
    return text[:at] + text[at + 1] + text[at] + text[at + 2 :]


def _turned(row: Row, chance: random.Random) -> Row:
    return replace(row, title=row.artist, artist=row.title)


def _together(row: Row, chance: random.Random) -> Row:
    return replace(row, title=f"{row.artist} - {row.title}", artist="")


def _turned_name(row: Row, chance: random.Random) -> Row:
    first, _, last = row.artist.rpartition(" ")
    return replace(row, artist=f"{last}, {first}") if first else row


def _word_lost(row: Row, chance: random.Random) -> Row:
    words = row.title.split()
    if len(words) > 3:
        del words[chance.randrange(len(words))]
    return replace(row, title=" ".join(words))


def _sounded(row: Row, chance: random.Random) -> Row:
    text = row.title.lower()
    for one, other in (("ph", "f"), ("ck", "k"), ("ee", "ea"), ("igh", "ite"), ("oo", "ou")):
        if one in text:
            return replace(row, title=text.replace(one, other, 1))
    return replace(row, title=_typo(text, chance))


FAULTS: tuple[tuple[float, Callable[[Row, random.Random], Row]], ...] = (
    (5, lambda r, c: replace(r, title=_typo(r.title, c))),
    (5, lambda r, c: replace(r, artist=_typo(r.artist, c))),
    (2, lambda r, c: replace(r, title=_typo(_typo(r.title, c), c))),
    (2, _sounded),
    (2, _turned_name),
    (1, _turned),
    (2, _together),
    (1, _word_lost),
    (2, lambda r, c: replace(r, title=f"{c.randint(1, 20):02d} - {r.title}")),
    (1, lambda r, c: replace(r, title=r.title[:_ID3V1], artist=r.artist[:_ID3V1])),
    (2, lambda r, c: replace(r, title=r.title.upper(), artist=r.artist.upper())),
    (2, lambda r, c: replace(r, artist=r.artist and f"{r.artist} feat. Ann Oke")),
    (3, lambda r, c: replace(r, album="")),
    (3, lambda r, c: replace(r, year=None)),
    (3, lambda r, c: replace(r, length=None)),
    (2, lambda r, c: replace(r, year=r.year and r.year + c.choice((-1, 1, 12)))),
    (2, lambda r, c: replace(r, album=f"Best of {c.randint(1960, 1999)}")),
    (2, lambda r, c: replace(r, title=f"{r.title} (2009 Remaster)")),
    (1, lambda r, c: replace(r, artist="")),
)  # fmt: skip


def damaged(row: Row, chance: random.Random) -> Row:
    """The same recording as somebody else entered it."""
    if row.length is not None:
        row = replace(row, length=max(30.0, row.length + chance.uniform(-2.5, 2.5)))
    chosen = chance.choices(FAULTS, [f[0] for f in FAULTS], k=chance.choice((1, 1, 2, 3)))
    for _, fault in chosen:
        row = fault(row, chance)
    return row


def namesake(row: Row, chance: random.Random, stranger: str) -> Row:
    """Another recording with much the same name."""
    other = replace(row, length=chance.uniform(110, 330))
    kind = chance.randrange(7)
    if kind < 3:
        version = ("Live", "Disco Remix", "Karaoke Version")[kind]
        return replace(other, title=f"{row.title} ({version})")
    if kind == 3:
        return replace(other, year=(row.year or 1970) + chance.randint(6, 25), album="")
    if kind == 4:
        return replace(other, title=f"{row.title} Part 2")
    if kind == 5:
        return replace(other, artist=stranger, year=(row.year or 1970) + 5)
    words = row.title.split()
    words[chance.randrange(len(words))] = chance.choice("Harbour Lantern Marsh Herring".split())
    return replace(other, title=" ".join(words))


def _plain_name(name: str) -> bool:
    """Without a bracket, a dash or a guest: what follows those would make labels wrong."""
    return not re.search(r"[(\[,]| - |\bfeat|\bft\b|remaster|version|live|mix|\bpart\b", name, re.I)


def made(count: int, seed: int = 3) -> tuple[list[Row], set[tuple[int, int]]]:
    """About `count` rows in a shuffled order, and the pairs of places that are one recording."""
    chance = random.Random(seed)
    originals = int(count / (1 + DOUBLED + NAMESAKES))
    rows: list[tuple[Row, int]] = []
    stranger = "Ned Wharf"
    names = (
        (a, t, y) for a, t, y in decoys(2 * originals, seed) if _plain_name(a) and _plain_name(t)
    )
    for number, (artist, title, year) in enumerate(islice(names, originals)):
        album = f"{title.split()[0]} and {artist.split()[-1]}" if chance.random() < 0.7 else ""
        row = Row(title, artist, album, year, chance.uniform(110, 330))
        if chance.random() < 0.15:
            row = replace(row, length=None)
        if chance.random() < 0.15:
            row = replace(row, year=None)
        rows.append((row, number))
        if chance.random() < DOUBLED:
            rows.append((damaged(row, chance), number))
        if chance.random() < NAMESAKES:
            rows.append((namesake(row, chance, stranger), -1 - number))
        stranger = artist
    chance.shuffle(rows)
    place: dict[int, int] = {}
    pairs: set[tuple[int, int]] = set()
    for at, (_, number) in enumerate(rows):
        if number in place:
            pairs.add((place[number], at))
        elif number >= 0:
            place[number] = at
    return [row for row, _ in rows], pairs
