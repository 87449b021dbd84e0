"""How a shelf is filed: the order of names and titles, and of shelf marks of any scheme.

Libraries file by published rules that differ, and a station's shelves were often filed by two
of them. So the rules are the station's choice, for every shelf apart. Sources: ALA Filing Rules
(1980) and the Library of Congress: file as is, numerals before letters, Mc and St as written;
ALA Rules for Filing Catalog Cards (1968): Mc and M' as Mac, St as Saint, numerals as spoken.
In all of them accents, hyphens and apostrophes are passed over, and the article of a personal
or place name stays (El Paso under E).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache

from catalogue import undo
from catalogue.errors import BadInput, NotFound
from catalogue.spelling import plain, spoken
from catalogue.store import Row, Store

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

BY = ("mark", "room")
"""A shelf is known by how its marks begin, or by its room."""

_LONGEST = 60
"""Characters of a room's name or a mark's beginning: what fits on a shelf's label."""

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


@dataclass(frozen=True, slots=True)
class Shelf:
    """A shelf and its rules: `by` is "mark" or "room", `name` the beginning or the room."""

    id: int
    by: str
    name: str
    rules: Rules


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
            parts.append((0, 0, found["number"]) if fraction else (0, int(found["number"]), ""))
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


def articles(rules: Rules) -> tuple[str, ...]:
    """The articles that are passed over at the start of a title, in plain words."""
    return _INITIAL[rules.articles]


def articles_of_names(rules: Rules) -> tuple[str, ...]:
    """Those of an artist's name: "the" alone, which is a band's."""
    return ("the",) if rules.articles in ("english", "both") else ()


def all_shelves(store: Store) -> list[Shelf]:
    """The shelves that have rules of their own, in the order of their names."""
    rows = store.rows("SELECT * FROM filing_rules WHERE shelf <> ''")
    return sorted(map(_shelf, rows), key=lambda shelf: (shelf.by, mark_order(shelf.name)))


def everywhere(store: Store) -> Rules:
    """The rules of the list as a whole, and of every shelf without rules of its own."""
    rows = store.rows("SELECT * FROM filing_rules WHERE shelf = ''")
    return _shelf(rows[0]).rules if rows else ALA_1980


def get(store: Store, shelf_id: int) -> Shelf:
    """One shelf. Raises NotFound."""
    rows = store.rows("SELECT * FROM filing_rules WHERE id = ? AND shelf <> ''", (shelf_id,))
    if not rows:
        raise NotFound(f"There is no shelf number {shelf_id} with filing rules of its own.")
    return _shelf(rows[0])


def keep(store: Store, by: str, shelf: str, rules: Rules, who: str, now: datetime) -> None:
    """Set the rules of a shelf, or of all the rest where `shelf` is empty.

    Raises BadInput for a rule that is none, or a name too long for a shelf's label.
    """
    name = " ".join(shelf.split())
    if len(name) > _LONGEST:
        raise BadInput(f"A shelf’s name has {_LONGEST} letters at most. Nothing was changed.")
    if by not in BY or any(getattr(rules, rule) not in can for rule, can in CHOICES.items()):
        raise BadInput("Choose each filing rule from the list. Nothing was changed.")
    what = f"set the filing of “{name}”" if name else "set how the list is filed"
    with undo.action(store, who, what, now):
        store.db.execute(
            "INSERT INTO filing_rules (shelf_by, shelf, articles, mac, saint, numerals) "
            "VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT (shelf_by, shelf) DO UPDATE SET "
            "articles = excluded.articles, mac = excluded.mac, saint = excluded.saint, "
            "numerals = excluded.numerals",
            (by if name else "mark", name, rules.articles, rules.mac, rules.saint, rules.numerals),
        )


def rules_of(store: Store, by: str, name: str) -> Rules:
    """The rules that hold for a shelf: its own, or those of the whole list."""
    rows = store.rows(
        "SELECT * FROM filing_rules WHERE shelf_by = ? AND shelf = ? AND shelf <> ''", (by, name)
    )
    return _shelf(rows[0]).rules if rows else everywhere(store)


def rename_room(store: Store, old: str, new: str) -> None:
    """The rules of one room are another's, which keeps its own where it has some; inside an
    action."""
    store.db.execute(
        "UPDATE filing_rules SET shelf = ? WHERE shelf_by = 'room' AND shelf = ? AND NOT EXISTS ("
        "SELECT 1 FROM filing_rules o WHERE o.shelf_by = 'room' AND o.shelf = ? "
        "AND o.id <> filing_rules.id)",
        (new, old, new),
    )
    if old.casefold() != new.casefold():
        store.db.execute("DELETE FROM filing_rules WHERE shelf_by = 'room' AND shelf = ?", (old,))


def forget(store: Store, shelf_id: int, who: str, now: datetime) -> None:
    """A shelf is filed as all the rest again. Raises NotFound."""
    shelf = get(store, shelf_id)
    with undo.action(store, who, f"filed “{shelf.name}” as the rest again", now):
        store.db.execute("DELETE FROM filing_rules WHERE id = ?", (shelf_id,))


def _shelf(row: Row) -> Shelf:
    rules = Rules(row["articles"], row["mac"], row["saint"], row["numerals"])
    return Shelf(row["id"], row["shelf_by"], row["shelf"], rules)


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
