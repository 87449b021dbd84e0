"""The shelf list as volunteers typed it over the years: one row for each song on a disc.

Real lists have holes and habits, and so has this one. Each habit is a small function
with its share beside it in ``SHARES``.
"""

from __future__ import annotations

import random
import unicodedata
from dataclasses import replace

from sample_library.recipe.shelves import Copy, copies
from sample_library.recipe.songbook import VARIOUS, Track
from sample_library.recipe.tables import Cell, chance

HEADING = (
    "Shelf mark", "Carrier", "Artist", "Title", "Song", "Side", "Track", "Year", "Label",
    "Number", "Length", "Genre", "Composer", "Soloist", "Conductor", "Language", "Tempo",
    "Voice", "Condition", "Place", "Note",
)  # fmt: skip

# Share of discs whose typist had the habit, or left the column empty.
SHARES = {
    "family name first": 0.10,
    "accents left off": 0.25,
    "capitals": 0.03,
    "slip of the finger": 0.05,
    "various in the artist's place": 0.2,
    "genre in short": 0.15,
    "no year": 0.14,
    "no label": 0.10,
    "no number": 0.18,
    "no length": 0.20,
    "no genre": 0.22,
    "no composer": 0.40,
    "no language": 0.45,
    "no voice": 0.50,
    "no condition": 0.30,
    "no place": 0.05,
    "tempo known": 0.30,
    "a note": 0.12,
}
ONE_SINGER = ("man", "woman")
GENRES_IN_SHORT = {
    "rock and roll": "R'n'R",
    "country": "C&W",
    "brass band": "Brass",
    "comedy": "Humour",
    "concert music": "Classical",
    "musical": "Shows",
    "film theme": "Films",
}
CONDITIONS = {
    "CD": ("good", "good", "good", "good", "worn", "scratched"),
    "LP": ("good", "good", "worn", "worn", "scratched", "damaged"),
    "45": ("good", "worn", "worn", "scratched", "scratched"),
    "78": ("worn", "worn", "scratched", "scratched", "damaged"),
    "Cassette": ("good", "worn", "worn", "damaged"),
}
PLACES = {
    "CD": ("Main shelves", "Main shelves", "Main shelves", "Studio rack"),
    "LP": ("Main shelves", "Main shelves", "Back corridor", "Store room"),
    "45": ("Singles drawers", "Singles drawers", "Studio rack"),
    "78": ("Store room", "Store room", "Cupboard under the stairs"),
    "Cassette": ("Cassette cabinet", "Cassette cabinet", "Store room"),
}
NOTES = (
    "sleeve missing", "jumps near the start", "starts very quietly", "applause at the end",
    "gift, 2009", "from the old hospital library", "listen before use", "fades early",
    "in the wrong sleeve", "water mark on the label", "long spoken introduction",
    "label hard to read", "signed on the back", "second song is the better known",
    "hums on the left", "ask before lending",
)  # fmt: skip
# Lengths in seconds: shortest and longest for a genre, else for the time.
LENGTHS = {"concert music": (210, 1260), "rock": (170, 420), "comedy": (130, 330)}
LENGTHS_BEFORE_1965 = (125, 195)
LENGTHS_SINCE = (150, 275)


def rows() -> list[list[Cell]]:
    """All rows below ``HEADING``, in the order of shelf marks."""
    return [row for copy in copies() for row in _rows_of(copy)]


def length_in_seconds(track: Track) -> int:
    """How long a recording plays; the same wherever the recording turns up."""
    lengths = LENGTHS_BEFORE_1965 if track.year < 1965 else LENGTHS_SINCE
    return chance(f"length {track.artist} {track.title}").randint(
        *LENGTHS.get(track.genre, lengths)
    )


def _rows_of(copy: Copy) -> list[list[Cell]]:
    rng = chance(f"typist {copy.shelf_mark}")
    habit = {name: rng.random() < share for name, share in SHARES.items()}
    disc = copy.disc
    number = _catalogue_number(disc.label, f"{disc.artist} {disc.title} {copy.carrier}")
    condition = "" if habit["no condition"] else rng.choice(CONDITIONS[copy.carrier])
    place = "" if habit["no place"] else rng.choice(PLACES[copy.carrier])
    note = rng.choice(NOTES) if habit["a note"] else ""
    typed: list[list[Cell]] = []
    for track, (side, position) in zip(copy.tracks, copy.places, strict=True):
        shown = _as_typed(track, disc.artist == VARIOUS, habit, rng)
        seconds = length_in_seconds(track)
        typed.append([
            copy.shelf_mark,
            copy.carrier,
            shown.artist,
            _spelt(disc.title, habit),
            shown.title,
            side,
            int(position) if position else "",
            "" if habit["no year"] else track.year,
            "" if habit["no label"] else disc.label,
            "" if habit["no number"] else number,
            "" if habit["no length"] else f"{seconds // 60}:{seconds % 60:02d}",
            shown.genre,
            shown.composer,
            shown.soloist,
            shown.conductor,
            "" if habit["no language"] else shown.language,
            track.tempo if habit["tempo known"] else "",
            "" if habit["no voice"] else shown.voice,
            condition,
            place,
            note,
        ])  # fmt: skip
        note = ""
    return typed


def _as_typed(track: Track, various: bool, habit: dict[str, bool], rng: random.Random) -> Track:
    """The track with its typist's habits laid over it."""
    artist, title = _spelt(track.artist, habit), _spelt(track.title, habit)
    if habit["slip of the finger"]:
        title = slip_of_the_finger(title, rng)
    if various and habit["various in the artist's place"]:
        artist, title = "Various", f"{artist} - {title}"
    elif habit["family name first"] and (track.voice in ONE_SINGER or artist.startswith("The ")):
        artist = family_name_first(artist)
    in_short = GENRES_IN_SHORT if habit["genre in short"] else {}
    genre = in_short.get(track.genre, track.genre)
    concert = track.genre == "concert music"
    return replace(
        track,
        artist=artist,
        title=title,
        genre="" if habit["no genre"] else genre,
        composer=_spelt(track.composer, habit) if concert or not habit["no composer"] else "",
    )


def _spelt(text: str, habit: dict[str, bool]) -> str:
    if habit["accents left off"]:
        text = without_accents(text)
    return text.upper() if habit["capitals"] else text


def family_name_first(artist: str) -> str:
    """Turn a name of two words about, and put an article last; leave others as they are.

    >>> family_name_first("Marsha Herron"), family_name_first("The Drab")
    ('Herron, Marsha', 'Drab, The')
    """
    words = artist.split()
    if words[0] == "The" and len(words) > 1:
        return f"{' '.join(words[1:])}, The"
    if len(words) == 2:
        return f"{words[1]}, {words[0]}"
    return artist


def without_accents(text: str) -> str:
    """Latin letters without their accents, other scripts as they were.

    >>> without_accents("Déjà Brume")
    'Deja Brume'
    """
    kept = []
    for letter in text:
        plain = unicodedata.normalize("NFKD", letter)[0]
        kept.append(plain if plain.isascii() else letter)
    return "".join(kept)


def slip_of_the_finger(text: str, rng: random.Random) -> str:
    """Two neighbouring letters of the longest word change places."""
    word = max(text.split(), key=len)
    if len(word) < 5:
        return text
    at = rng.randint(1, len(word) - 3)
    return text.replace(word, word[:at] + word[at + 1] + word[at] + word[at + 2 :], 1)


def _catalogue_number(label: str, disc: str) -> str:
    """The maker's number: letters of the label, then digits. The same for equal copies."""
    plain = without_accents(label)
    letters = "".join(word[0] for word in plain.split()) + plain[1:3]
    return f"{letters.upper()} {chance(f'number {disc}').randint(101, 9899):04d}"
