"""Steps about people: names turned round, several artists, the artist of the album."""

from __future__ import annotations

import re

from importers.cleaning_steps import Step, step
from importers.cleaning_titles import is_various
from importers.entries import Draft
from importers.words import plain

_ARTICLE_LAST = re.compile(r"(.+),\s*(the|a|an|die|der|das|les?|la|los|las|el|il|i|y|yr)", re.I)
_WORD = r"[^\W\d_]+(?:['’-][^\W\d_]+)*"
_PARTICLE = r"(?:(?:van|von|de|du|da|di|le|la|st|mac|mc|o)\s+)?"
_TURNED = re.compile(
    rf"({_PARTICLE}{_WORD}),\s+({_WORD}|(?:[^\W\d_](?:\.\s?|\s|$))+)", re.IGNORECASE
)
_NOT_A_FIRST_NAME = frozenset({
    "and", "band", "brass", "choir", "orchestra", "quartet", "trio", "singers", "brothers",
    "sisters", "ltd", "jr", "sr", "jnr", "snr", "senior", "junior", "wind", "fire", "water", "inc",
    "phd", "mbe", "obe", "ii", "iii", "etc",
})  # fmt: skip
"""Words behind a comma that nobody is called by."""

_PEOPLE = ("artist", "album_artist", "composer", "conductor", "soloist")


def turned_round(name: str) -> str:
    """A name with the family's name first, as it is said; other names as they stand.

    Only one plain word before and one after the comma (or initials) are turned: more may be a
    group that lists its members.

    >>> turned_round("Sluice, Ada"), turned_round("Sluices, The"), turned_round("Sluice, A. M.")
    ('Ada Sluice', 'The Sluices', 'A. M. Sluice')
    >>> turned_round("Mud, Silt & Clay"), turned_round("Reed, Rush, Sedge")
    ('Mud, Silt & Clay', 'Reed, Rush, Sedge')
    """
    if match := _ARTICLE_LAST.fullmatch(name):
        return f"{match.group(2)} {match.group(1)}"
    match = _TURNED.fullmatch(name)
    if not match or match.group(2).strip(". ").lower() in _NOT_A_FIRST_NAME:
        return name
    return f"{match.group(2).strip()} {match.group(1)}"


@step({"artist": "Ada Sluice;Ann Oke"}, {"artist": "Ada Sluice & Ann Oke"})
def artists_in_a_row(draft: Draft) -> Draft:
    """Joins artists parted by semicolons or by a stroke between spaces."""

    def join(text: str) -> str:
        parts = [p.strip() for p in re.split(r"\s*;\s*|\s+/\s+|\s*\\\\\s*", text) if p.strip()]
        return " & ".join(dict.fromkeys(parts)) if len(parts) > 1 else text

    return draft.put(**{name: join(draft.get(name)) for name in _PEOPLE})


@step({"artist": "Sluice, Ada", "composer": "Reedmace, Edmund"},
      {"artist": "Ada Sluice", "composer": "Edmund Reedmace"})  # fmt: skip
def family_name_first(draft: Draft) -> Draft:
    """Turns "family name, first name" round, and marks an artist so turned as guessed."""
    for name in _PEOPLE:
        text = draft.get(name)
        turned = turned_round(text)
        if turned == text:
            continue
        article = _ARTICLE_LAST.fullmatch(text)
        draft = draft.put(**{name: turned}) if article else draft.guess(**{name: turned})
    return draft


@step({"title": "Tide", "album_artist": "Ada Sluice"},
      {"title": "Tide", "album_artist": "Ada Sluice", "artist": "Ada Sluice"})  # fmt: skip
def artist_of_album(draft: Draft) -> Draft:
    """Takes the artist of the album where the track has none of its own."""
    if (
        draft.get("artist")
        or not draft.get("album_artist")
        or is_various(draft.get("album_artist"))
    ):
        return draft
    return draft.put(artist=draft.get("album_artist"))


@step({"performer": "Ida Fenn (soloist) & Ann Oke (piano)", "conductor": "Una Fell"},
      {"soloist": "Ida Fenn", "conductor": "Una Fell"})  # fmt: skip
def soloist_among_performers(draft: Draft) -> Draft:
    """Takes the soloist from the performers of concert music; elsewhere they are the band."""
    performers, draft = draft.get("performer"), draft.put(performer="")
    if draft.get("soloist") or not performers:
        return draft
    named = re.findall(r"([^&(]+?)\s*\((?:soloist|solo)\)", performers, re.IGNORECASE)
    if named:
        return draft.put(soloist=" & ".join(name.strip() for name in named))
    concert = draft.get("conductor") or draft.get("work")
    if concert and "(" not in performers and plain(performers) != plain(draft.get("artist")):
        return draft.put(soloist=performers)
    return draft


@step({"title": "Tide", "composer": "Edmund Reedmace", "soloist": "Ida Fenn"},
      {"title": "Tide", "composer": "Edmund Reedmace", "soloist": "Ida Fenn",
       "artist": "Ida Fenn"})  # fmt: skip
def artist_of_concert_music(draft: Draft) -> Draft:
    """Takes the soloist, else the conductor, else the composer where no artist is given."""
    if draft.get("artist") and not is_various(draft.get("artist")):
        return draft
    for name in ("soloist", "conductor", "composer"):
        if draft.get(name):
            return draft.guess(artist=draft.get(name))
    return draft


@step({"title": "Tide", "artist": "Various Artists"}, {"title": "Tide"})
def nobody_in_particular(draft: Draft) -> Draft:
    """Takes away "various artists", which is nobody a caller could ask for, and notes it."""
    if draft.get("artist") and not is_various(draft.get("artist")):
        return draft
    return draft.put(artist="").note("no artist is given; write who sings or plays")


@step({"artist": "ADA SLUICE-REED AND THE BARGEMEN", "title": "TIDE"},
      {"artist": "Ada Sluice-Reed and the Bargemen", "title": "Tide"})  # fmt: skip
def all_in_capitals(draft: Draft) -> Draft:
    """Writes titles and names that are all in capitals as they are read; short ones stay."""
    names = ("title", "artist", "album", "composer", "disc_title", "soloist", "conductor")
    both = f"{draft.get('title')} {draft.get('artist')}"
    if both.upper() != both or not re.search(r"[^\W\d_]{5}", both):
        return draft
    return draft.put(**{name: _capitals(draft.get(name)) for name in names})


_SMALL = frozenset({"and", "the", "of", "a", "an", "in", "on", "at", "to", "for", "by", "with",
                    "from", "or"})  # fmt: skip


def _capitals(text: str) -> str:
    if text.upper() != text:
        return text
    words = text.lower().split(" ")
    return " ".join(
        word if i and word in _SMALL else (word.upper() if _initials(word) else _first_up(word))
        for i, word in enumerate(words)
    )


def _initials(word: str) -> bool:
    """A word without vowels (BBC, DJ), or with dots between letters, is spelt out."""
    letters = plain(word).replace(" ", "")
    return bool(re.fullmatch(r"(?:\w\.)+\w?\.?|\w{1,2}/\w{1,2}", word)) or (
        1 < len(letters) <= 4 and letters.isalpha() and not re.search("[aeiouy]", letters)
        and letters not in {"mr", "mrs", "dr", "st"}
    )  # fmt: skip


def _first_up(word: str) -> str:
    """A capital at the beginning, and behind each hyphen but in small words (y)."""
    parts = word.split("-")
    return "-".join(
        part if i and (part in _SMALL or len(part) < 2)
        else re.sub(r"[^\W\d_]", lambda m: m.group().upper(), part, count=1)
        for i, part in enumerate(parts)
    )  # fmt: skip


NAME_STEPS: tuple[Step, ...] = (
    artists_in_a_row,
    family_name_first,
    soloist_among_performers,
    artist_of_album,
)
LAST_STEPS: tuple[Step, ...] = (
    artist_of_concert_music,
    nobody_in_particular,
    all_in_capitals,
)
