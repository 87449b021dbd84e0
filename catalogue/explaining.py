"""Why this and not that: how a request was read, what was compared, and what each part gave."""

from __future__ import annotations

from dataclasses import dataclass

from catalogue import comparisons
from catalogue.candidates import asked_for, candidates
from catalogue.first_lines import titles_in_turn
from catalogue.heard import Heard, understand
from catalogue.matcher import weigh
from catalogue.records import Wanted
from catalogue.sound import as_phonemes, sound_of
from catalogue.sound_index import SoundIndex
from catalogue.weighed import Weighed, shipped_weights

SHOWN = 3
"""Matches that are taken apart: the first and those it was preferred to."""

LEAST_SHOWN = 0.05
"""Parts that give less than this, either way, are left out; they decide nothing."""

IN_WORDS = {
    "best_aligned": "sounds of the name, laid inside what was heard",
    "title_aligned": "sounds of the title",
    "artist_aligned": "sounds of the artist",
    "artist_gain": "what the artist adds to the title",
    "phones_alike": "phonemes alike, in the best order",
    "classes_alike": "sounds alike as a telephone leaves them",
    "letters_alike": "letters alike",
    "slips_alike": "letters alike, slips of the hand allowed",
    "slips_unlisted": "slips, where words are in no dictionary",
    "title_phones_alike": "all that was heard against the title: phonemes",
    "title_letters_alike": "all that was heard against the title: letters",
    "title_share": "how much of the title was heard",
    "artist_share": "how much of the artist was heard",
    "name_share": "how much of the name was heard",
    "heard_share": "how much of what was heard it explains",
    "whole_length": "length, title and artist",
    "title_length": "length, title alone",
    "title_size": "a long title",
    "artist_size": "a long artist's name",
    "title_said": "the very words of the title",
    "artist_said": "the very words of the artist",
    "surname_said": "the very surname",
    "title_exact": "the title exactly",
    "fields_title": "title against title",
    "fields_artist": "artist against artist",
    "keys_rank": "rare sounds shared",
    "title_words_same": "rare words of the title, letter by letter",
    "title_words_same_share": "share of the title's words, letter by letter",
    "title_words_rarity": "how rare the title's words are",
    "title_words_sounded": "rare words of the title, by sound",
    "title_words_sounded_share": "share of the title's words, by sound",
    "title_words_clear": "how clearly rare words of the title were heard",
    "title_words_clear_share": "how clearly the title's words were heard",
    "artist_words_same": "rare words of the artist, letter by letter",
    "artist_words_same_share": "share of the artist's words, letter by letter",
    "artist_words_rarity": "how rare the artist's words are",
    "artist_words_sounded": "rare words of the artist, by sound",
    "artist_words_sounded_share": "share of the artist's words, by sound",
    "artist_words_clear": "how clearly rare words of the artist were heard",
    "artist_words_clear_share": "how clearly the artist's words were heard",
}


@dataclass(frozen=True, slots=True)
class Part:
    """One claim about a match, in words, and what it gave: natural log odds, plus or minus."""

    what: str
    gave: float


@dataclass(frozen=True, slots=True)
class Explained:
    """A match taken apart: under which name it was found, its score, and the parts of it."""

    title: str
    artist: str
    kind: str
    score: float
    chance: float
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True)
class Explanation:
    """How a request was read, its sounds, how many names were compared, and the first matches."""

    wanted: Wanted
    phonemes: str
    classes: str
    compared: int
    matches: tuple[Explained, ...]


def explain(index: SoundIndex, heard: Heard, shown: int = SHOWN) -> Explanation:
    """Take a request and its first matches apart."""
    wanted = understand(heard)
    sound = sound_of(wanted.heard)
    weighed = weigh(index, wanted, keep_hopeless=True)
    found = titles_in_turn(asked_for(wanted), weighed)[:shown]
    return Explanation(
        wanted,
        as_phonemes(sound.phones),
        sound.classes,
        len(candidates(index, asked_for(wanted))),
        tuple(_taken_apart(match) for match in found),
    )


def _taken_apart(match: Weighed) -> Explained:
    weights = shipped_weights().claims
    parts = [
        Part(IN_WORDS.get(name, name.replace("_", " ")), float(claim * weight))
        for name, claim, weight in zip(comparisons.CLAIMS, match.claims, weights, strict=True)
    ]
    telling = sorted((p for p in parts if abs(p.gave) >= LEAST_SHOWN), key=lambda p: -p.gave)
    form = match.form
    return Explained(
        form.title, form.artist, form.kind, match.score, match.probability, tuple(telling)
    )
