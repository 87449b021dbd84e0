"""Pure comparisons of what was asked with the names that may be meant, one claim each.

All candidates are compared at once: a comparison is an array with one number for each of them.
Nothing here weighs one claim against another; that is `matcher.py`. This is the one file that
uses rapidfuzz; its `ratio` is the normalised InDel similarity, 0 to 1.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from operator import add

import numpy as np
from numpy.typing import NDArray
from rapidfuzz import fuzz, process
from rapidfuzz.distance import OSA

from catalogue import word_evidence
from catalogue.alignment import align_apart, own_scores
from catalogue.candidates import Asked
from catalogue.confusion_weights import ConfusionWeights
from catalogue.found_names import Forms
from catalogue.search_keys import Form
from catalogue.spelling import spoken, without_article
from catalogue.word_evidence import Rarities, words_heard

Floats = NDArray[np.float32]

CLAIMS = (
    "best_aligned",
    "title_aligned",
    "artist_aligned",
    "artist_gain",
    "phones_alike",
    "classes_alike",
    "letters_alike",
    "slips_alike",
    "slips_unlisted",
    "title_phones_alike",
    "title_letters_alike",
    "title_share",
    "artist_share",
    "name_share",
    "heard_share",
    "whole_length",
    "title_length",
    "title_size",
    "artist_size",
    "title_said",
    "artist_said",
    "surname_said",
    "title_exact",
    "fields_title",
    "fields_artist",
    "keys_rank",
    *word_evidence.CLAIMS,
)
"""The claims, in the order of the columns of `compare`.

best/title/artist_aligned: log odds of the better of title and artist apart in either order and
of the title alone, of the title, of the artist inside the heard phones, in tens of nats; an
artist who was not said is no evidence against, so that below 0 is 0. artist_gain: what the
artist adds to the title, likewise.
phones/classes/letters_alike: best plain ratio over title artist, artist title, title alone;
slips_alike the same for letters by optimal string alignment, in which neighbours that changed
places are one slip; slips_unlisted that, times the share of heard words in no dictionary.
title_…_alike: ratio of all that was heard to the title alone.
…_share: aligned log odds as a share of what a perfect hearing of the name would give; of the
heard phones for heard_share.
whole/title_length: how far the lengths differ, absolute natural log of their ratio.
title/artist_size: natural log of the number of phones, plus one.
title/artist/surname_said: 1 if these very words stand in what was heard, one after another.
title_exact: 1 if a reading has this very title.
fields_title/artist: where title and artist were heard apart, how alike each is to its own.
keys_rank: place in the index's own order, natural log, plus one: rare keys weigh more there.
…_words_…: see `word_evidence.py`.
"""


def plain_ratios(asked: Asked, forms: Sequence[Form], phones: Floats | None = None) -> Floats:
    """Likeness by phones, by classes and by letters: shape (len(forms), 3), 0 to 1.

    `phones` is that by phones, where it is known.
    """
    table = Forms.of(forms)
    alike = (
        phones_alike(asked, table) if phones is None else phones,
        _classes_alike(asked, table),
        _letters_alike(asked, table),
    )
    return np.stack(alike, axis=1)


def compare(
    asked: Asked,
    forms: Sequence[Form],
    ranks: NDArray[np.intp],
    weights: ConfusionWeights,
    rarities: Rarities,
    ratios: Floats | None = None,
) -> Floats:
    """All claims about all forms: shape (len(forms), len(CLAIMS)).

    `ranks` are the forms' places in the order of the index, from 0; `rarities` tells how rare
    words are among the names; `ratios` are the forms' plain ratios, where they are known.
    """
    table = Forms.of(forms)
    phones, classes, letters = (plain_ratios(asked, table) if ratios is None else ratios).T
    titles, artists = table.column("title_phones"), table.column("artist_phones")
    title, artist, whole = align_apart(asked.sound.phones, titles, artists, weights)
    best = np.maximum(whole, title)
    own_title = own_scores(titles, weights) + 1.0
    own_artist = own_scores(artists, weights) + 1.0
    own_heard = float(own_scores([asked.sound.phones], weights)[0]) + 1.0
    title_size = np.array([len(name) for name in titles], np.float32)
    artist_size = np.array([len(name) for name in artists], np.float32)
    heard_size = len(asked.sound.phones) + 1.0
    slips = _slips_alike(asked, table)
    title_field, artist_field = _fields(asked, table)
    heard, names = f" {asked.words} ", table.column("artist")
    columns = {
        "best_aligned": best / 10,
        "title_aligned": title / 10,
        "artist_aligned": np.maximum(artist, 0) / 10,
        "artist_gain": np.maximum(whole - title, 0) / 10,
        "phones_alike": phones,
        "classes_alike": classes,
        "letters_alike": letters,
        "slips_alike": slips,
        "slips_unlisted": slips * asked.unlisted,
        "title_phones_alike": _ratios(asked.sound.phones, titles),
        "title_letters_alike": _ratios(asked.letters, table.column("title_letters")),
        "title_share": title / own_title,
        "artist_share": artist / own_artist,
        "name_share": np.maximum(title / own_title, whole / (own_title + own_artist)),
        "heard_share": best / own_heard,
        "whole_length": np.abs(np.log((title_size + artist_size + 1) / heard_size)),
        "title_length": np.abs(np.log((title_size + 1) / heard_size)),
        "title_size": np.log(title_size + 1),
        "artist_size": np.log(artist_size + 1),
        "title_said": [_said(name, heard) for name in table.column("title")],
        "artist_said": [_said(name, heard) for name in names],
        "surname_said": [_said(name[name.rfind(" ") + 1 :], heard) for name in names],
        "title_exact": _title_exact(asked, table),
        "fields_title": title_field,
        "fields_artist": artist_field,
        "keys_rank": np.log1p(ranks),
    }  # fmt: skip
    told = np.stack([np.asarray(column, np.float32) for column in columns.values()], axis=1)
    words = words_heard(asked.words, asked.sound.phones, table, weights, rarities)
    return np.hstack([told, words])


def exactly(asked: Asked, forms: Sequence[Form]) -> list[bool]:
    """Whether title and artist were typed exactly, in either order, articles and "by" aside.

    A hearing that was learnt is typed exactly if its words are all that was typed.
    """
    pairs = {
        (without_article(reading.title), without_article(reading.artist))
        for reading, _, _ in asked.fields
    }
    learnt = {asked.words, without_by(asked.words)}
    return [
        form.title in learnt if form.kind == LEARNT else _is_spelt(asked, form, pairs)
        for form in forms
    ]


def _is_spelt(asked: Asked, form: Form, pairs: set[tuple[str, str]]) -> bool:
    title, artist = without_article(form.title), without_article(form.artist)
    if (title, artist) in pairs:
        return True
    # Nearly all names are told by their beginning, and this is asked of every candidate.
    for heard in asked.spelt:
        if heard.startswith((title, artist)):
            break
    else:
        return False
    return not asked.spelt.isdisjoint(
        (
            f"{title} {artist}",
            f"{title} {form.artist}",
            f"{artist} {title}",
            f"{artist} {form.title}",
        )
    )


def without_by(words: str) -> str:
    """The words without a "by" between others: lessons keep only words of title and artist.

    >>> without_by("last goat by marsha heron")
    'last goat marsha heron'
    """
    return words.replace(" by ", " ")


def exact_title(asked: Asked, form: Form) -> bool:
    """Whether the title alone was typed exactly, leading article aside."""
    return without_article(form.title) in asked.spelt


LEARNT = "hearing"
"""Kind of a form that is a lesson, see `lessons.py`."""

WORD_ALIKE = 0.7
"""Similarity of letters (optimal string alignment) from which a word may be the other, slipped."""

_LINKING = frozenset({"by", "from", "the", "a", "an", "and", "of", "with", "that", "s"})
"""Words that come and go between what is said and what is written on a label."""


def unaccounted(words: str, others: str) -> int:
    """Letters of words that no word of the others is like, two run together allowed.

    >>> unaccounted("patti page how much", "how much lita roza"), unaccounted("my way", "myway")
    (9, 0)
    """
    held = spoken(others).split()
    held += [one + two for one, two in pairwise(held)]
    left = 0
    ours = spoken(words).split()
    joined = [""] + [one + two for one, two in pairwise(ours)] + [""]
    for place, word in enumerate(ours):
        tries = [word, joined[place], joined[place + 1]]
        if word not in _LINKING and not any(
            OSA.normalized_similarity(trial, other, score_cutoff=WORD_ALIKE)
            for trial in tries
            if trial
            for other in held
        ):
            left += len(word)
    return left


def alike(one: str, other: str) -> float:
    """Plain ratio of two strings, 0 to 1.

    >>> round(alike("lantern", "lanten"), 3)
    0.923
    """
    return fuzz.ratio(one, other) / 100


def pairs_alike(ones: Sequence[str], others: Sequence[str], least: float = 0.0) -> Floats:
    """Plain ratio of each string with its partner, 0 to 1; two threads share the work.

    Below `least` it is 0, and quicker.

    >>> pairs_alike(["lantern", "tide"], ["lantern", "lamp"]).tolist()
    [1.0, 0.0]
    """
    scores = process.cpdist(
        ones, others, scorer=fuzz.ratio, score_cutoff=100 * least, dtype=np.float32, workers=2
    )
    return np.asarray(scores / 100, np.float32)


def pairs_contain(ones: Sequence[str], others: Sequence[str]) -> Floats:
    """1 where the words of one of the two are all among the other's words, in any order; else
    how alike what is left is, 0 to 1 (token-set ratio)."""
    scores = process.cpdist(ones, others, scorer=fuzz.token_set_ratio, dtype=np.float32, workers=2)
    return np.asarray(scores / 100, np.float32)


def _ratios(heard: str, held: Sequence[str]) -> Floats:
    scores = process.cdist([heard], held, scorer=fuzz.ratio, dtype=np.float32)
    return np.asarray(scores[0] / 100, np.float32)


def _joined(first: list[str], second: list[str]) -> list[str]:
    return list(map(add, first, second))


def _best_order(heard: str, joined: str, titles: list[str], artists: list[str]) -> Floats:
    title_first, artist_first = _joined(titles, artists), _joined(artists, titles)
    both = np.maximum(_ratios(joined, title_first), _ratios(joined, artist_first))
    return np.maximum(both, _ratios(heard, titles))


def _slips_alike(asked: Asked, forms: Forms) -> Floats:
    """Optimal string alignment similarity of letters, best of the orders; 0 to 1."""
    titles, artists = forms.column("title_letters"), forms.column("artist_letters")
    scores = process.cdist(
        [asked.letters],
        _joined(titles, artists) + _joined(artists, titles) + titles,
        scorer=OSA.normalized_similarity,
        dtype=np.float32,
    )
    return np.asarray(scores[0].reshape(3, len(forms)).max(axis=0), np.float32)


def _said(words: str, heard: str) -> bool:
    """Whether these very words stand in what was heard, leading article aside.

    `heard` has a space before and behind it.
    """
    bare = without_article(words)
    return bool(bare) and f" {bare} " in heard


def _title_exact(asked: Asked, forms: Forms) -> list[bool]:
    titles = {asked.words, *(reading.title for reading, _, _ in asked.fields)}
    return [title in titles for title in forms.column("title")]


def phones_alike(asked: Asked, forms: Forms) -> Floats:
    """Likeness by phones, best of the orders of title and artist; 0 to 1."""
    return _best_order(
        asked.sound.phones,
        asked.joined.phones,
        forms.column("title_phones"),
        forms.column("artist_phones"),
    )


def _classes_alike(asked: Asked, forms: Forms) -> Floats:
    return _best_order(
        asked.sound.classes,
        asked.joined.classes,
        forms.column("title_classes"),
        forms.column("artist_classes"),
    )


def _letters_alike(asked: Asked, forms: Forms) -> Floats:
    return _best_order(
        asked.letters,
        asked.letters,
        forms.column("title_letters"),
        forms.column("artist_letters"),
    )


def _fields(asked: Asked, forms: Forms) -> tuple[Floats, Floats]:
    """The reading that fits best, as (title alike, artist alike); zeros without such readings."""
    best_title = np.zeros(len(forms), np.float32)
    best_artist = np.zeros(len(forms), np.float32)
    for _, title, artist in asked.fields:
        titles = _ratios(title.phones, forms.column("title_phones"))
        artists = _ratios(artist.phones, forms.column("artist_phones"))
        better = titles + artists > best_title + best_artist
        best_title[better], best_artist[better] = titles[better], artists[better]
    return best_title, best_artist
