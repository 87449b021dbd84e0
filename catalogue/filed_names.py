"""The names under which one recording is filed: its own, and those a caller may use for it.

A song goes under its title and artist. A long title of concert music goes under its nickname,
its work and its movement as well, and its composer, soloist and conductor count as artists:
nobody rings and says "Symphony No. 3 in D minor, Op. 41: II. Adagio".
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from catalogue.search_keys import Form, form_of
from catalogue.spelling import plain

PART = "part of the title"
"""Kind of a form that holds only a part of a long title."""

PERSON = "composer, soloist or conductor"
"""Kind of a form filed under somebody other than the artist."""

_QUOTED = re.compile(r"[“\"‘«]([^“”\"‘’«»]{3,})[”\"’»]|(?<!\w)'([^']{3,})'(?!\w)")
_BRACKET = re.compile(r"[(\[]([^()\[\]]+)[)\]]")
_IN_BRACKETS_NO_NAME = re.compile(
    r"^(?:\d{4}|\d+)$|\b(?:feat|ft|featuring|with|live|acoustic|instrumental|karaoke|remix|mix|"
    r"unplugged|mono|stereo|reprise|demo|edit|session|version|remaster(?:ed)?|single|album|"
    r"extended|radio|original|take|interlude|intro|explicit|clean|from|part|pt)\b"
)
"""What stands in brackets and is no part of the name: versions, guests, sources, parts."""

_OPUS = re.compile(
    r",?\s*\b(?:op|opus|bwv|k|kv|d|hob|rv|woo|hwv|sz|bb)\b\.?\s*\d+[a-z]?(?:\s*(?:no|nr)\.?\s*\d+)?",
    re.IGNORECASE,
)
"""Opus and catalogue numbers, which callers leave out (common practice, no source)."""

_KEY = re.compile(
    r",?\s*\bin [A-G](?:[ -](?:flat|sharp)|[b#♭♯])?(?: (?:major|minor))?\b", re.IGNORECASE
)
_NUMBERED = re.compile(
    r"^\s*(?:(?:act|scene|part|no|nr|book)\.?\s*)?(?:[ivxlc]+|\d+)\s*[.,:)]\s*", re.IGNORECASE
)
_CONCERT = re.compile(
    r"\b(?:op|opus|bwv|kv)\b\.?\s*\d|\bin [A-G]\b(?: flat| sharp)?(?: major| minor)|"
    r"\b(?:symphony|concerto|sonata|suite|quartet|nocturne|prelude|etude|étude|overture|"
    r"requiem|mass|cantata|oratorio|rhapsody)\b.*[:,]",
    re.IGNORECASE,
)
_GUEST = re.compile(r"[(\[]?\b(?:feat|ft|featuring)\b\.?\s+([^()\[\]]+)", re.IGNORECASE)
_AND_THE = re.compile(r"\s+(?:and|&|\+)\s+(?:the|his|her)\s+", re.IGNORECASE)

_FIRST_WORD = re.compile(r"(?:(?:the|der|die|das|la|le|il)\s+)?\w+", re.IGNORECASE)

_SHORTEST_PART = 4
"""Letters a part of a title needs to stand alone: shorter ones are numbers and tempo marks."""


@dataclass(frozen=True, slots=True)
class Filed:
    """What a recording is filed by."""

    title: str
    artist: str
    composer: str = ""
    work: str = ""
    movement: str = ""
    soloist: str = ""
    conductor: str = ""

    @property
    def is_concert(self) -> bool:
        """Whether it is concert music, which people name by work and composer."""
        return bool(self.work or self.movement or self.soloist or self.conductor) or bool(
            _CONCERT.search(self.title)
        )


def forms_of(filed: Filed) -> Iterator[Form]:
    """All forms of a recording, its own name first, none twice."""
    own = form_of(filed.title, filed.artist)
    yield own
    seen = {own[1:3]}
    whole = form_of(filed.title, filed.artist, whole=True)
    if whole[1:3] not in seen:
        seen.add(whole[1:3])
        yield whole
    titles = [(filed.title, "name"), *((part, PART) for part in title_parts(filed))]
    people = [filed.artist, *_members(filed)]
    if filed.is_concert:
        people += [filed.composer, _surname(filed.composer), filed.soloist, filed.conductor]
    for number, person in enumerate(people):
        if number and not person.strip():
            continue
        for title, kind in titles:
            form = form_of(title, person, kind if number == 0 else PERSON)
            if form[1:3] not in seen:
                seen.add(form[1:3])
                yield form


def _members(filed: Filed) -> list[str]:
    """Guests, and the leader of a band that bears a name: callers ask for either.

    >>> _members(Filed("Tide (feat. Ann Oke)", "Rex Quay and the Reeds"))
    ['Ann Oke', 'Rex Quay']
    """
    guests = [_GUEST.search(text) for text in (filed.title, filed.artist)]
    leader = _AND_THE.split(filed.artist, maxsplit=1)
    return [guest[1].strip(" )]") for guest in guests if guest] + (
        leader[:1] if len(leader) > 1 and " " in leader[0] else []
    )


def _surname(person: str) -> str:
    """The last name, by which composers are called (common practice, no source)."""
    return person.split(",", maxsplit=1)[0].strip().rsplit(" ", 1)[-1]


def title_parts(filed: Filed) -> list[str]:
    """Nickname, movement, and work with movement of a long title, as a caller would say them.

    >>> title_parts(Filed("Fen Sketches, Op. 22: No. 2, The Skaters", ""))
    ['The Skaters', 'Fen Sketches The Skaters', 'Fen Sketches', 'The Skaters from Fen Sketches']
    >>> title_parts(Filed("Étude No. 7 in A flat major, “The Sleeping Ferryman”", ""))
    ['The Sleeping Ferryman', 'Étude The Sleeping Ferryman']
    >>> title_parts(Filed("My Lantern", ""))
    []
    """
    title = filed.title
    parts = _with_brackets(title)
    parts += [quoted for found in _QUOTED.finditer(title) if (quoted := found[1] or found[2])]
    work, colon, movement = title.partition(": ")
    if filed.movement:
        work, movement = filed.work or work, filed.movement
    if filed.is_concert and (colon or filed.movement):
        short_work, short_movement = _work(work), _movement(movement)
        nicknames = [part for part in parts[:1] if part in work]
        parts += [short_movement, f"{short_work} {short_movement}", short_work]
        parts += [f"{name} {short_movement}" for name in nicknames]
        head, kind = _head(movement), _kind_of_work(work).rsplit(" ", 1)[-1]
        # "The Pastoral Symphony" is how people call a work with a nickname.
        called = [f"{name} {kind}" for name in nicknames] or [short_work]
        parts += [*called, *(f"{name} {head}" for name in (*nicknames, *called))]
        parts += [f"{head} from {name}" for name in called]
    elif filed.is_concert and parts:
        parts.append(f"{_kind_of_work(title)} {parts[0]}".strip())
    return [p for p in dict.fromkeys(parts) if len(plain(p).replace(" ", "")) >= _SHORTEST_PART]


def _with_brackets(title: str) -> list[str]:
    """The title with its brackets read out, and what is in them, unless that tells a version.

    >>> _with_brackets("I'm Gonna Be (500 Miles)"), _with_brackets("My Lantern (live)")
    (["I'm Gonna Be 500 Miles", '500 Miles'], [])
    """
    found = _BRACKET.search(title)
    if not found or _IN_BRACKETS_NO_NAME.search(plain(found[1])):
        return []
    inside = [found[1]] if " " in found[1].strip() else []
    return [" ".join(_BRACKET.sub(r" \1 ", title).split()), *inside]


def _work(text: str) -> str:
    """A work without its opus, key and nickname."""
    return _KEY.sub("", _OPUS.sub("", _QUOTED.sub("", text))).strip(" ,;:-")


def _movement(text: str) -> str:
    """A movement without its number; of "Finale. Tide and Tempest" what comes last."""
    bare = text
    while (shorter := _NUMBERED.sub("", bare)) != bare:
        bare = shorter
    last = bare.rsplit(". ", 1)[-1].strip(" ,;:-.")
    return _QUOTED.sub(lambda found: found[1] or found[2], last)


def _head(movement: str) -> str:
    """What a movement is called for short: its first word, with an article before it.

    >>> _head("III. Rondo alla furiant"), _head("No. 2, The Skaters"), _head("IV. Finale. Tide")
    ('Rondo', 'The Skaters', 'Finale')
    """
    bare = movement
    while (shorter := _NUMBERED.sub("", bare)) != bare:
        bare = shorter
    found = _FIRST_WORD.match(_QUOTED.sub(lambda quoted: quoted[1] or quoted[2], bare))
    return found[0] if found else _movement(movement)


def _kind_of_work(title: str) -> str:
    """The first word or two of a work: "Étude", "Piano Sonata"."""
    return re.split(r"\b(?:No|Nr|Op)\b|,|\d", _work(title))[0].strip(" ,.-")
