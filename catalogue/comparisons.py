"""Pure comparisons of what was asked with the names that may be meant, one claim each.

All candidates are compared at once: a comparison is an array with one number for each of them.
Nothing here weighs one claim against another; that is `matcher.py`. This is the one file that
uses rapidfuzz; its `ratio` is the normalised InDel similarity, 0 to 1.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from rapidfuzz import fuzz, process

from catalogue.alignment import align_inside, own_scores
from catalogue.candidates import Asked
from catalogue.confusion_weights import ConfusionWeights
from catalogue.search_keys import Form, letters_of
from catalogue.spelling import without_article

Floats = NDArray[np.float32]

ALIGNED_AT_MOST = 160
"""Candidates that are aligned phone by phone, the rest being dropped on plain ratios.
Measured: 160 keeps all but a few in a thousand of what 400 finds, at half the time."""

CLAIMS = (
    "whole_aligned",
    "title_aligned",
    "artist_aligned",
    "best_aligned",
    "phones_alike",
    "classes_alike",
    "letters_alike",
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
    "fields_title",
    "fields_artist",
)
"""The claims, in the order of the columns of `compare`.

whole/title/artist/best_aligned: log odds of the name inside the heard phones, in tens of nats.
phones/classes/letters_alike: best plain ratio over title artist, artist title, title alone.
title_…_alike: ratio of all that was heard to the title alone.
…_share: aligned log odds as a share of what a perfect hearing of the name would give; of the
heard phones for heard_share.
whole/title_length: how far the lengths differ, absolute natural log of their ratio.
title/artist_size: natural log of the number of phones, plus one.
fields_title/artist: where title and artist were heard apart, how alike each is to its own.
"""


def preselect(asked: Asked, forms: Sequence[Form]) -> NDArray[np.intp]:
    """Places of the forms worth aligning, best first, by the sum of plain ratios."""
    alike = _phones_alike(asked, forms) + _classes_alike(asked, forms)
    alike += 0.5 * _letters_alike(asked, forms)
    order = np.argsort(-alike, kind="stable")[:ALIGNED_AT_MOST]
    return order.astype(np.intp)


def compare(asked: Asked, forms: Sequence[Form], weights: ConfusionWeights) -> Floats:
    """All claims about all forms: shape (len(forms), len(CLAIMS))."""
    titles = [form.title_phones for form in forms]
    artists = [form.artist_phones for form in forms]
    whole = np.maximum(
        *np.split(
            align_inside(
                asked.joined.phones,
                [t + a for t, a in zip(titles, artists, strict=True)]
                + [a + t for t, a in zip(titles, artists, strict=True)],
                weights,
            ),
            2,
        )
    )
    title, artist = np.split(align_inside(asked.sound.phones, titles + artists, weights), 2)
    best = np.maximum(whole, title)
    own_title = own_scores(titles, weights)
    own_artist = own_scores(artists, weights)
    own_heard = float(own_scores([asked.sound.phones], weights)[0]) + 1.0
    sizes = np.array([[len(t), len(a)] for t, a in zip(titles, artists, strict=True)], np.float32)
    heard_size = len(asked.sound.phones) + 1.0
    fields = _fields(asked, forms)
    columns = (
        whole / 10,
        title / 10,
        artist / 10,
        best / 10,
        _phones_alike(asked, forms),
        _classes_alike(asked, forms),
        _letters_alike(asked, forms),
        _ratios(asked.sound.phones, titles),
        _ratios(letters_of(asked.words), [form.title_letters for form in forms]),
        title / (own_title + 1),
        artist / (own_artist + 1),
        np.maximum(title / (own_title + 1), whole / (own_title + own_artist + 1)),
        best / own_heard,
        np.abs(np.log((sizes.sum(axis=1) + 1) / heard_size)),
        np.abs(np.log((sizes[:, 0] + 1) / heard_size)),
        np.log(sizes[:, 0] + 1),
        np.log(sizes[:, 1] + 1),
        fields[0],
        fields[1],
    )
    return np.stack([np.asarray(column, np.float32) for column in columns], axis=1)


def exactly(asked: Asked, form: Form) -> bool:
    """Whether title and artist were typed exactly, in either order, articles and "by" aside."""
    title, artist = without_article(form.title), without_article(form.artist)
    pairs = [
        (without_article(reading.title), without_article(reading.artist))
        for reading, _, _ in asked.fields
    ]
    if (title, artist) in pairs:
        return True
    words = without_article(asked.words)
    return words in (
        f"{title} {artist}",
        f"{title} {form.artist}",
        f"{artist} {title}",
        f"{artist} {form.title}",
    )


def exact_title(asked: Asked, form: Form) -> bool:
    """Whether the title alone was typed exactly, leading article aside."""
    return without_article(asked.words) == without_article(form.title)


def alike(one: str, other: str) -> float:
    """Plain ratio of two strings, 0 to 1.

    >>> round(alike("lantern", "lanten"), 3)
    0.923
    """
    return fuzz.ratio(one, other) / 100


def _ratios(heard: str, held: Sequence[str]) -> Floats:
    scores = process.cdist([heard], held, scorer=fuzz.ratio, dtype=np.float32)
    return np.asarray(scores[0] / 100, np.float32)


def _best_order(heard: str, joined: str, titles: list[str], artists: list[str]) -> Floats:
    title_first = [t + a for t, a in zip(titles, artists, strict=True)]
    artist_first = [a + t for t, a in zip(titles, artists, strict=True)]
    both = np.maximum(_ratios(joined, title_first), _ratios(joined, artist_first))
    return np.maximum(both, _ratios(heard, titles))


def _phones_alike(asked: Asked, forms: Sequence[Form]) -> Floats:
    return _best_order(
        asked.sound.phones,
        asked.joined.phones,
        [form.title_phones for form in forms],
        [form.artist_phones for form in forms],
    )


def _classes_alike(asked: Asked, forms: Sequence[Form]) -> Floats:
    return _best_order(
        asked.sound.classes,
        asked.joined.classes,
        [form.title_classes for form in forms],
        [form.artist_classes for form in forms],
    )


def _letters_alike(asked: Asked, forms: Sequence[Form]) -> Floats:
    heard = letters_of(asked.words)
    return _best_order(
        heard,
        heard,
        [form.title_letters for form in forms],
        [form.artist_letters for form in forms],
    )


def _fields(asked: Asked, forms: Sequence[Form]) -> tuple[Floats, Floats]:
    """The reading that fits best, as (title alike, artist alike); zeros without such readings."""
    best_title = np.zeros(len(forms), np.float32)
    best_artist = np.zeros(len(forms), np.float32)
    for _, title, artist in asked.fields:
        titles = _ratios(title.phones, [form.title_phones for form in forms])
        artists = _ratios(artist.phones, [form.artist_phones for form in forms])
        better = titles + artists > best_title + best_artist
        best_title[better], best_artist[better] = titles[better], artists[better]
    return best_title, best_artist
