"""What makes a list of stand-ins good: the measures of the benchmark, as plain functions."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from catalogue.song_identity import one_title
from tests.benchmarks.stand_in_data import Song

SAME_TEMPO = math.log2(1.04)
"""Tempos within 4 % are no distance (Gouyon et al. 2006)."""


def ndcg(gains: Sequence[float], ideal: Sequence[float] | None = None) -> float:
    """Normalised discounted cumulative gain: gains over log2(1 + rank), against the best order.

    `ideal` are the best gains there could have been, by default these; 0 if there are none.

    >>> round(ndcg([3, 2, 3, 0, 1, 2]), 6)
    0.960808
    """
    best = dcg(sorted(gains if ideal is None else ideal, reverse=True)[: len(gains)])
    return dcg(gains) / best if best else 0.0


def dcg(gains: Sequence[float]) -> float:
    """Discounted cumulative gain.

    >>> round(dcg([3, 2, 3, 0, 1, 2]), 6)
    6.861127
    """
    return sum(gain / math.log2(rank + 1) for rank, gain in enumerate(gains, start=1))


def tempo_distance(a: float | None, b: float | None) -> float | None:
    """How far apart two tempos are in per cent, half and double being the same."""
    if not a or not b:
        return None
    apart = abs(math.log2(a / b))
    octave = min(apart, abs(apart - 1))
    return 100 * (2.0 ** max(0.0, octave - SAME_TEMPO) - 1)


def _mean(values: Sequence[float]) -> float | None:
    return round(float(np.mean(values)), 4) if values else None


def of_lists(known: Sequence[Song], lists: Mapping[int, Sequence[int]]) -> dict[str, float | None]:
    """Hits where there is something to hit, distances, diversity, and empty lists."""
    titles: dict[str, list[int]] = {}
    artists: dict[str, list[int]] = {}
    for n, song in enumerate(known):
        titles.setdefault(song.title[:1].lower(), []).append(n)
        artists.setdefault(song.artist_key, []).append(n)
    song_hits, artist_hits, years, tempos, variety = [], [], [], [], []
    for asked, offered in lists.items():
        one = known[asked]
        others = [
            n for n in titles[one.title[:1].lower()]
            if known[n].artist_key != one.artist_key and one_title(known[n].title, one.title)
        ]  # fmt: skip
        if others:
            song_hits.append(float(bool(set(others) & set(offered))))
        if len(artists[one.artist_key]) > 1:
            own = set(artists[one.artist_key]) - {asked}
            artist_hits.append(float(bool(own & set(offered))))
        years += [
            float(abs(one.year - known[n].year))
            for n in offered if one.year and known[n].year
        ]  # fmt: skip
        tempos += [
            apart for n in offered
            if (apart := tempo_distance(one.tempo, known[n].tempo)) is not None
        ]  # fmt: skip
        if offered:
            variety.append(len({known[n].artist_key for n in offered}) / len(offered))
    return {
        "same_song_hits": _mean(song_hits),
        "same_artist_hits": _mean(artist_hits),
        "year_distance": _mean(years),
        "tempo_distance": _mean(tempos),
        "artist_diversity": _mean(variety),
        "empty_lists": _mean([float(not offered) for offered in lists.values()]),
    }


def of_tags(
    tags: NDArray[np.float64],
    lists: Mapping[int, Sequence[int]],
    left_out: Mapping[int, frozenset[int]],
) -> dict[str, float | None]:
    """How far the tags of those offered agree with those of the song asked for (mean cosine, and
    its standard error over lists); and nDCG against the best lists there could be."""
    tagged = np.flatnonzero(tags.any(axis=1))
    agreed, order = [], []
    for asked, offered in lists.items():
        gains = [float(tags[asked] @ tags[n]) for n in offered if tags[n].any()]
        if not gains:
            continue
        allowed = [n for n in tagged if n != asked and n not in left_out[asked]]
        best = np.sort(tags[allowed] @ tags[asked])[::-1][: len(gains)]
        agreed.append(float(np.mean(gains)))
        order.append(ndcg(gains, best.tolist()))
    error = float(np.std(agreed) / math.sqrt(len(agreed))) if agreed else None
    return {
        "tag_agreement": _mean(agreed),
        "tag_error": round(error, 4) if error is not None else None,
        "tag_ndcg": _mean(order),
    }


def of_pairs(
    pairs: Sequence[tuple[int, int]], lists: Mapping[int, Sequence[int]]
) -> dict[str, float | None]:
    """How often the other of a pair is on the list, asked for from either side."""
    sides = [(a, b) for pair in pairs for a, b in (pair, pair[::-1]) if a in lists]
    return {"pairs_in_seven": _mean([float(b in lists[a]) for a, b in sides])}
