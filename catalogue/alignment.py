"""Aligning names inside what was heard, many at a time.

A held name is aligned whole inside the heard phones, whose ends are free: words around it cost
nothing. The score is a log odds: how much better the heard phones are explained by this name
than by chance, so that 0 is no evidence and longer names can give more (Smith and Waterman
1981 for free ends; log-odds scores as in Durbin et al. 1998, "Biological Sequence Analysis",
chapter 2). All held names are done at once with numpy, one step for each heard phone.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from catalogue.confusion_weights import ConfusionWeights

Floats = NDArray[np.float32]


def align_inside(heard: str, held: Sequence[str], weights: ConfusionWeights) -> Floats:
    """Best log odds of each held name inside the heard phones; shape (len(held),).

    An empty held name gives 0. With nothing heard every phone of the name is missed.
    """
    return np.asarray(_ends(heard, held, weights).max(axis=0), np.float32)


def align_apart(
    heard: str, titles: Sequence[str], artists: Sequence[str], weights: ConfusionWeights
) -> tuple[Floats, Floats, Floats]:
    """Best log odds of each title, of each artist, and of both in what was heard.

    Both lie apart, in either order, and what is between them costs nothing ("by", "that one
    from"); each of the three has shape (len(titles),).
    """
    count = len(titles)
    names = [*titles, *artists]
    ends = _ends(heard, names, weights)
    # Where a name begins is where it ends when all is read backwards.
    starts = _ends(heard[::-1], [name[::-1] for name in names], weights)
    from_here = np.maximum.accumulate(starts, axis=0)[::-1]
    title_first = ends[:, :count] + from_here[:, count:]
    artist_first = ends[:, count:] + from_here[:, :count]
    best = ends.max(axis=0)
    both = np.maximum(title_first.max(axis=0), artist_first.max(axis=0))
    return best[:count], best[count:], both


def align_whole(heard: str, held: Sequence[str], weights: ConfusionWeights) -> Floats:
    """Log odds of each held name against all of the heard phones; shape (len(held),)."""
    return np.asarray(_aligned(heard, held, weights, ends_free=False)[-1], np.float32)


def _ends(heard: str, held: Sequence[str], weights: ConfusionWeights) -> Floats:
    """Best log odds of each held name ending behind so many heard phones, its start free."""
    return _aligned(heard, held, weights, ends_free=True)


def _aligned(
    heard: str, held: Sequence[str], weights: ConfusionWeights, *, ends_free: bool
) -> Floats:
    """All alignments at once, one step for each heard phone; shape (len(heard) + 1, len(held)).

    With `ends_free` a name may begin anywhere in what was heard.
    """
    told = np.zeros((len(heard) + 1, len(held)), np.float32)
    if not held:
        return told
    names, lengths = packed(held)
    rows = np.arange(len(held))
    missed = np.zeros((names.shape[0], names.shape[1] + 1), np.float32)
    np.cumsum(weights.missed[names], axis=1, out=missed[:, 1:])
    scores = missed.copy()
    step = np.empty_like(scores)
    told[0] = scores[rows, lengths]
    pairs: dict[int, Floats] = {}
    for place, phone in enumerate(heard.encode("ascii"), 1):
        if phone not in pairs:
            pairs[phone] = weights.pair[phone][names]
        step[:, 0] = 0.0 if ends_free else scores[:, 0] + weights.added[phone]
        np.add(scores[:, :-1], pairs[phone], out=step[:, 1:])
        scores += weights.added[phone]
        np.maximum(step[:, 1:], scores[:, 1:], out=step[:, 1:])
        # A run of missed phones costs the same from wherever it starts, so its best start is
        # a running maximum.
        step -= missed
        np.maximum.accumulate(step, axis=1, out=step)
        step += missed
        scores, step = step, scores
        told[place] = scores[rows, lengths]
    return told


def own_scores(held: Sequence[str], weights: ConfusionWeights) -> Floats:
    """The log odds of each name heard perfectly: about the most `align_inside` can give."""
    if not held:
        return np.zeros(0, np.float32)
    names, _ = packed(held)
    # The padding is code point 0, whose weight is 0.
    return np.asarray(np.diag(weights.pair)[names].sum(axis=1), np.float32)


def span_heard(heard: str, held: str, weights: ConfusionWeights) -> tuple[int, int]:
    """Where in the heard phones the name lies best: start and end, for marking what agrees."""
    count = len(held)
    scores = [0.0] * (count + 1)
    for place in range(count):
        scores[place + 1] = scores[place] + float(weights.missed[ord(held[place])])
    starts = [0] * (count + 1)
    best, span = scores[count], (0, 0)
    for number, phone in enumerate(heard):
        row, row_starts = [0.0], [number + 1]
        for place in range(count):
            options = (
                (scores[place] + float(weights.pair[ord(phone), ord(held[place])]), starts[place]),
                (scores[place + 1] + float(weights.added[ord(phone)]), starts[place + 1]),
                (row[place] + float(weights.missed[ord(held[place])]), row_starts[place]),
            )
            score, start = max(options, key=lambda option: option[0])
            row.append(score)
            row_starts.append(start)
        # The start column may begin anew behind every phone.
        scores, starts = row, row_starts
        if scores[count] > best:
            best, span = scores[count], (starts[count], number + 1)
    return span


def packed(held: Sequence[str]) -> tuple[NDArray[np.uint8], NDArray[np.intp]]:
    """The names as one padded array of code points, and their lengths."""
    lengths = np.fromiter(map(len, held), np.intp, len(held))
    width = max(1, int(lengths.max()))
    names = np.zeros((len(held), width), np.uint8)
    flat = np.frombuffer("".join(held).encode("ascii"), np.uint8)
    names[np.arange(width)[None, :] < lengths[:, None]] = flat
    return names, lengths
