"""Acoustic fingerprints of Chromaprint: read, and laid beside each other.

A fingerprint is a row of 32-bit values, about eight a second. As text it is URL-safe base64 of a
header (algorithm, three bytes of size) and of what changed from value to value: the distances
between changed bits in threes of bits, and where seven was too small, the rest in fives (the
format of Chromaprint 1.5's `fingerprint_compressor.cpp`).

Two of one recording differ in few bits, also when they are encoded otherwise; the share of bits
that differ, the bit error rate, was introduced for this by Haitsma and Kalker, A Highly Robust
Audio Fingerprinting System (ISMIR 2002), with 0.35 as the threshold (the paper's figures here and
in `pair_weights.py` are from memory).
"""

from __future__ import annotations

import base64
import binascii
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Values = NDArray[np.uint32]

NO_VALUES: Values = np.zeros(0, np.uint32)
"""What a damaged fingerprint gives, and no fingerprint."""

THRESHOLD = 0.35
"""Bit error rate up to which two are of one recording: Haitsma and Kalker 2002, section 4.1, for
256 values of 32 bits. What is compared here is as long or longer."""

USED = 480
"""Values that are kept, about a minute: more tells no more, and costs memory."""

FEWEST = 80
"""Values that must lie beside each other, ten seconds."""

FARTHEST = 120
"""Values by which one may start later, fifteen seconds: more silence before it is no recording
of the same. By judgement."""

MARKS = 24
"""Values by which a fingerprint is found among many: 22 are left of them after coding as MP3, two
where the sound begins half a value later (counted on `tests/reference/fingerprints`)."""

FEWEST_MARKS = 2
"""Marks that two must share to be compared, whatever they are called: one may be chance."""

_NORMAL, _EXCEPTION, _MOST = 3, 5, 7
_HEADER = 4
_SPREAD = np.uint32(2_654_435_761)
"""Knuth's multiplier, 2^32 over the golden ratio: which values are marks is as if by chance."""


def decoded(text: str) -> Values:
    """The first values of a fingerprint; none at all of one that is damaged.

    >>> decoded("AQAAAA").tolist(), decoded("no fingerprint").tolist()
    ([], [])
    """
    try:
        data = base64.urlsafe_b64decode(text.encode("ascii") + b"=" * (-len(text) % 4))
    except (binascii.Error, UnicodeEncodeError):
        return NO_VALUES
    if len(data) <= _HEADER:
        return NO_VALUES
    size = int.from_bytes(data[1:_HEADER], "big")
    bits = np.unpackbits(np.frombuffer(data, np.uint8, offset=_HEADER), bitorder="little")
    steps = _numbers(bits, _NORMAL)
    ends = np.flatnonzero(steps == 0)
    if not 0 < size <= len(ends):
        return NO_VALUES
    ends = ends[:size]
    used = int(ends[-1]) + 1
    steps = steps[:used]
    wide = np.flatnonzero(steps == _MOST)
    rest = _numbers(bits[(used * _NORMAL + 7) // 8 * 8 :], _EXCEPTION)
    if len(rest) < len(wide):
        return NO_VALUES
    steps[wide] += rest[: len(wide)]
    return _values(steps, ends)[:USED]


def _numbers(bits: NDArray[np.uint8], width: int) -> NDArray[np.int64]:
    """Numbers of so many bits each, the lowest first."""
    rows = bits[: len(bits) // width * width].reshape(-1, width)
    return np.asarray(rows.astype(np.int64) @ (1 << np.arange(width, dtype=np.int64)))


def _values(steps: NDArray[np.int64], ends: NDArray[np.int64]) -> Values:
    """The values, from the distances between the bits that changed; 0 ends each."""
    sums = np.cumsum(steps)
    owner = np.searchsorted(ends, np.arange(len(steps)))
    before = np.concatenate(([0], sums[ends[:-1]]))
    place = sums - before[owner]
    there = (steps > 0) & (place <= 32)
    changed = np.zeros(len(ends), np.uint32)
    np.bitwise_or.at(changed, owner[there], np.uint32(1) << (place[there] - 1).astype(np.uint32))
    return np.bitwise_xor.accumulate(changed)


def marks(values: Values) -> Values:
    """A few values by which the same sound is found, whatever it is called: those that are
    smallest when their bits are mixed (Broder, On the resemblance and containment of
    documents, 1997). Values
    that come again and again are silence and hum, and are no marks."""
    if not len(values):
        return values
    different, counts = np.unique(values, return_counts=True)
    once = different[counts <= 2]
    with np.errstate(over="ignore"):
        return np.sort(once[np.argsort(once * _SPREAD)[:MARKS]])


def mark_lists(prints: Sequence[Values]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """(numbers of marks, starts): those of record r are `numbers[starts[r]:starts[r + 1]]`, each
    ascending; equal marks have equal numbers, from nought."""
    every = [marks(values) for values in prints]
    starts = np.zeros(len(every) + 1, np.int64)
    np.cumsum([len(some) for some in every], out=starts[1:])
    numbers = np.unique(np.concatenate(every), return_inverse=True)[1] if every else starts[:0]
    return numbers.astype(np.int64), starts


def bit_error_rate(one: Values, other: Values) -> float | None:
    """Share of bits that differ where two lie best beside each other, 0 to 1; None where they
    are too short to tell.

    Laid so that most equal values meet; where none are equal, as they start.
    """
    if min(len(one), len(other)) < FEWEST:
        return None
    shift = _shift(one, other)
    mine, theirs = one[max(shift, 0) :], other[max(-shift, 0) :]
    length = min(len(mine), len(theirs))
    if length < FEWEST:
        return None
    differ = np.bitwise_count(mine[:length] ^ theirs[:length])
    return float(differ.sum()) / (32 * length)


def _shift(one: Values, other: Values) -> int:
    """By how many values the first starts later."""
    order = np.argsort(other, kind="stable")
    ordered = other[order]
    left, right = np.searchsorted(ordered, one), np.searchsorted(ordered, one, side="right")
    # A value that comes again and again says nothing of where it belongs.
    at = np.flatnonzero(right - left == 1)
    shifts = at - order[left[at]]
    shifts = shifts[np.abs(shifts) <= FARTHEST]
    if not len(shifts):
        return 0
    found, counts = np.unique(shifts, return_counts=True)
    return int(found[counts.argmax()])
