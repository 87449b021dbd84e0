"""What each agreement and difference is worth, after Fellegi and Sunter.

A Theory for Record Linkage (Journal of the American Statistical Association 64, 1969): a level
of a comparison has a probability m among pairs that are one, and u among pairs that are not; it
adds log2(m / u) bits to the pair's weight. The prior, in bits too, is for any two records.

m were counted on labelled and on damaged records and rounded, or set by judgement: each ladder
says which. `python -m tests.benchmarks.count_pair_weights` counts them, and says from where, beside
these. u of names is how common the name is (Winkler, Frequency-based matching in the
Fellegi-Sunter model of record linkage, 1989); u of the rest is counted on random pairs of the very
records that are compared, unless random pairs cannot tell.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from catalogue.fingerprints import THRESHOLD

Floats = NDArray[np.float32]

SHARE_WITH_DOUBLE = 0.05
"""Share of the records that are thought to have a double before anything is compared. By
judgement; of the labelled discs 0.03 have one."""

MOST_SHARE, _ROUNDS = 2.0, 50
"""Up to this share a list that is compared whole tells itself that it has more doubles; a record
that stands in several lists joined to one has more than one. It never tells that it has fewer: a
question too many costs less than a double that is not shown (by judgement). The rounds are many
more than it takes to settle."""

FEWEST_RECORDS = 1_000
"""Smaller lists get the prior of this many: a list of ten is not sure to have a double."""

WORLD = 10_000
"""Records among which a name is at least thought to be common: a short list says little of
how many people are called Smith. By judgement, about a chart's fifty years."""


@dataclass(frozen=True, slots=True)
class Level:
    """One level of a comparison.

    `m`: share of true doubles at this level. `u`: of other pairs; for names None: it is how
    common the name is, and `by_chance`, the share of other names that are as near to a name;
    `alone` is that share for titles of which no artist is known. `at_least`: the likeness from
    which a pair is at this level.
    """

    name: str
    m: float
    u: float | None = None
    at_least: float = 0.0
    by_chance: float = 0.0
    alone: float = 0.0


TITLE = (
    Level("the same", 0.71, at_least=1.0, alone=4e-5),
    Level("nearly the same", 0.16, at_least=0.88, by_chance=1e-4, alone=7e-6),
    Level("alike", 0.09, at_least=0.74, by_chance=2e-3, alone=5e-5),
    Level("one within the other", 0.035, at_least=0.5, by_chance=1e-2, alone=3e-4),
    Level("different", 0.005, 0.97),
)
"""By the plain ratio of letters. The sound form counts as nearly the same.

m of the first four: counted, among those that are not different. Of doubles 0.12 were counted as
different, but these are titles in another script or other songs that expectation maximisation took
along; with 0.12 other songs of one album are taken for one (songs with several faults: precision
.956 falls to .925), so 0.005, by judgement. `by_chance`, for titles of one artist, by judgement
between what was counted there (.0022, .003, .0042: too many, as some are one song that two people
spelt) and at large: with the counted ones F1 falls from .885 to .875 on songs, from .852 to .833
with title, artist and album, and rises by .004 on discs. `alone`: counted on pairs of songs of
different artists."""

ARTIST = (
    Level("the same", 0.72, at_least=1.0),
    Level("nearly the same", 0.14, at_least=0.88, by_chance=1e-5),
    Level("alike", 0.08, at_least=0.74, by_chance=1e-4),
    Level("one within the other", 0.02, at_least=0.5, by_chance=1e-3),
    Level("different", 0.04, 0.97),
)
"""Singers with and without their band lie one within the other.

m: counted. `by_chance`: counted and rounded (1.3e-5, 6.3e-5), but that of one within the other by
judgement: 8e-5 was counted on charts, where nobody is called by one first name, as in lists."""

TRACKS = (
    Level("the same", 0.67, 1e-5, at_least=0.80),
    Level("mostly the same", 0.23, 3e-5, at_least=0.55),
    Level("partly the same", 0.065, 3e-4, at_least=0.30),
    Level("a few in common", 0.015, 1e-2, at_least=0.12),
    Level("different", 0.02, 0.98),
)
"""By the share of words in common, rare words weighing more (weighted Jaccard). m: counted."""

WHOLE = 0.9
"""Share of the words of the shorter list of tracks, from which it is all in the other: at least
partly the same. By judgement."""

TRACKS_OF_ONE_ARTIST = (1e-5, 4e-3, 2.3e-2, 0.14, 0.83)
"""u of the levels of tracks among discs of one artist: collections and concerts have songs in
common. Counted, but the first by judgement: of discs of one artist one in a thousand has the same
tracks without a label that says so, and nearly all of these are doubles that nobody labelled."""

LIKELY_BITS = 2.0
"""Pairs from here on are shown: four chances in five. Of five questions put to a librarian at
most about one should be idle. By judgement."""

LISTED, LISTED_LEAST, LISTED_TITLE_LEAST = 2, -2.0, -3.5
"""Where tracks are at this level or better, a disc's title that lacks "live" or "disc two" takes
the second off at most, by judgement, and one that is different the third: log2(0.085 / 0.97), as
0.085 of the discs entered twice have different titles (counted)."""

LENGTH = (
    Level("the same", 0.72, 0.03, at_least=-2.0),
    Level("nearly the same", 0.12, 0.05, at_least=-5.0),
    Level("alike", 0.06, 0.09, at_least=-10.0),
    Level("different", 0.10, 0.83, at_least=-math.inf),
)
"""By seconds apart: leader and fade are cut differently (common practice, no source). m by
judgement: only made entries tell (0.90 the same), and how often these differ was chosen."""

YEAR = (
    Level("the same", 0.87, 0.03, at_least=0.0),
    Level("a year apart", 0.07, 0.05, at_least=-1.0),
    Level("some years apart", 0.035, 0.20, at_least=-5.0),
    Level("different", 0.025, 0.72, at_least=-math.inf),
)
"""By years apart: year of first release and of this pressing are mixed up. m: counted."""

ALBUM = (
    Level("the same", 0.50, at_least=0.88, by_chance=1e-5),
    Level("alike", 0.12, at_least=0.6, by_chance=2e-3),
    Level("different", 0.38, 0.97),
)
"""The same recording stands on several albums, so a difference says little. By judgement: only made
entries tell (0.90 the same), and how often these differ was chosen; with their m a million made
records lose six in a hundred doubles that stand on a collection."""

VERSION = (Level("the same", 0.9999, 0.60, at_least=1.0), Level("different", 0.0001, 0.40))
"""Live, remix, edit, karaoke, part two and the like are other recordings, whatever else agrees;
one in ten thousand is for labels that do not say it (by judgement, as a merged live recording is
a loss and a pair not shown is none). u is among alike names, where alone it
matters: there two recordings often differ by nothing else."""

NUMBERS = (
    Level("the same", 0.925, 0.60, at_least=1.0),
    Level("one has none", 0.04, 0.10, at_least=0.5),
    Level("only one is a later part", 0.002, 0.25, at_least=0.25),
    Level("different", 0.033, 0.25),
)
"""Part, volume and disc: one and two are never the same, but a label may leave it out or be read
wrongly; "Hits" may be "Hits 1", and is hardly ever "Hits 2". u is among alike titles, where alone
it matters; volumes of a series are alike. m: counted; u by judgement."""

UNLIKE = 3
"""The level of titles from which on they are not much alike."""

REST_ALIKE, SMALL_WORD = 0.6, 3
"""Plain ratio of words below which they are others: "tide" and "tied" .75, two letters of "far"
changed places .67; "prime" and "compline" .46. Words of so few letters are passed over: "on" and
"by" are mixed up. By judgement."""

POSITION = (Level("the same", 0.90, 0.10, at_least=1.0), Level("different", 0.10, 0.90))
"""Track numbers of records that are on one album, on carriers of one sort; only then are they
compared. By judgement."""

PERFORMERS = (Level("the same", 0.95, 0.10, at_least=1.0), Level("different", 0.05, 0.90))
"""Soloist and conductor, where both records name them: the same work has many
recordings. By judgement."""

IDENTIFIER = (Level("the same", 0.85, 1e-6, at_least=1.0), Level("different", 0.15, 0.99))
"""An ISRC names one recording, but a recording may be given several. By judgement."""

SOUND = (Level("the same", 0.5, 1e-8, at_least=1.0), Level("different", 0.5, 1.0))
"""The digest of a file's sound, tags aside; another encoding has another. By
judgement."""

FINGERPRINT = (
    Level("the same", 0.90, 1e-6, at_least=-0.25),
    Level("much alike", 0.05, 1e-4, at_least=-THRESHOLD),
    Level("different", 0.05, 1.0, at_least=-math.inf),
)
"""By the bit error rate of acoustic fingerprints (Haitsma and Kalker 2002: up to 0.35 it is one
recording; in their table 1 MP3 at 32 kbit/s comes to 0.17). m by judgement: a record that turns a
little too quick has another one. u is far above the chance of 3.6e-20 that they give for theirs.
That two begin the same says nothing where labels tell two versions, or where one is longer: an
edit begins like the whole."""

CLAIMS: dict[str, tuple[Level, ...]] = {
    "title": TITLE, "artist": ARTIST, "tracks": TRACKS, "length": LENGTH, "year": YEAR,
    "album": ALBUM, "version": VERSION, "numbers": NUMBERS, "position": POSITION,
    "performers": PERFORMERS, "identifier": IDENTIFIER, "sound": SOUND,
    "fingerprint": FINGERPRINT,
}  # fmt: skip
"""Every claim about a pair, each with its levels, best first; -1 is the level of what is unknown.
"""

NAMES = ("title", "artist", "album")
"""Claims whose u is how common the name is."""

NOT_COUNTED = ("version", "numbers", "position", "performers", "identifier", "sound", "fingerprint")
"""Claims whose u random pairs cannot tell: it is among pairs alike in other ways, or too rare."""

ALBUM_MOST, ALBUM_OF_ONE_ARTIST = 5.0, 2.0
"""Bits an album can add, and can add for records of one artist: these share albums, an eighth of
them and more. By judgement."""

NAMES_MOST = 3.0
"""Bits that title and artist can come to with the prior: eight in nine. A singer records a song
more than once, live, later and for another label, so names alone never make it certain. By
judgement."""

STRAIGHT, TURNED, RUN_TOGETHER = 0, 1, 2
READING_BITS = (0.0, -4.0, -3.0)
"""A title in its own field is the rule; title and artist that changed places, and names run
together in one field, are one record in sixteen and in eight. By judgement."""

COMMON_WORD = 5
"""Records that have a word from which on it is a word, and not a slip of the pen: alike titles
that differ by such words on both sides are one level less alike. By judgement."""

LEAST_COUNTED = 0.002
"""A counted u below this is taken as this: few pairs would stand for it."""

TOGETHER_SHARE = 0.6
"""Of the bits of single words, for names run together: words of a name do not come alone. By
judgement."""

TOGETHER_MOST = 24.0
"""Bits that names run together can add: as much as an uncommon title by its artist. By
judgement."""

TOGETHER_LEAST = 0.80
"""Share of the words of title and artist that must be somewhere in the other record: one of five
may be misspelt. By judgement."""

TOGETHER_NOT = -8.0
"""Bits for names that are not the same even when run together: as titles that are different."""


def weight(m: float, u: float) -> float:
    """Bits that a level adds.

    >>> round(weight(0.95, 0.01), 6), round(weight(1 - 0.95, 1 - 0.01), 6)
    (6.569856, -4.307429)
    """
    return math.log2(m / u)


def prior_bits(chance: float) -> float:
    """The binary logarithm of the odds of a chance.

    >>> round(prior_bits(1 / 10_000), 3)
    -13.288
    """
    return math.log2(chance / (1 - chance))


def chance(bits: float) -> float:
    """The chance that has these log2 odds.

    >>> round(chance(weight(0.95, 0.001) + weight(0.9, 0.01) + prior_bits(1 / 10_000)), 5)
    0.8953
    """
    return float(1 / (1 + 2.0 ** -max(min(bits, 60.0), -60.0)))


def prior_of(records: int, share: float = SHARE_WITH_DOUBLE) -> float:
    """Bits for any two of so many records, before they are compared, where this share of them has
    a double."""
    records = max(records, FEWEST_RECORDS)
    return prior_bits(min(share * records / (records * (records - 1) / 2), 0.5))


def share_with_double(bits: Floats, records: int) -> float:
    """The share of these records that has a double, `SHARE_WITH_DOUBLE` at least, by expectation
    maximisation (Winkler 1988): the one that the pairs' chances add up to. m and u stay.

    `bits` are those of all pairs that may be one, without the prior. A short list tells too
    little and gets `SHARE_WITH_DOUBLE`.
    """
    share = SHARE_WITH_DOUBLE
    for _ in range(_ROUNDS if records >= FEWEST_RECORDS else 0):
        odds = np.clip(bits + prior_of(records, share), -60, 60)
        found = float((1 / (1 + 2.0**-odds)).sum()) / records
        share = min(max(found, SHARE_WITH_DOUBLE), MOST_SHARE)
    return share


def level_of(likeness: Floats, levels: tuple[Level, ...]) -> NDArray[np.int8]:
    """The level of each likeness: the first whose `at_least` it reaches."""
    found = np.full(len(likeness), len(levels) - 1, np.int8)
    for number in range(len(levels) - 2, -1, -1):
        found[likeness >= levels[number].at_least - 1e-6] = number
    return found


def name_bits(
    level: NDArray[np.int8],
    frequency: Floats,
    records: int,
    levels: tuple[Level, ...],
    alone: NDArray[np.bool_] | None = None,
) -> Floats:
    """Bits of names at these levels, where `frequency` records have the more common name; `alone`
    says of which pairs nothing else is known that names them."""
    among = max(records, WORLD)
    bits = np.zeros(len(level), np.float32)
    for number, one in enumerate(levels):
        here = level == number
        if one.u is not None:
            bits[here] = weight(one.m, one.u)
        else:
            namesakes = np.maximum(frequency[here] - 1, 1) / among
            share = one.m * namesakes + one.by_chance
            if alone is not None:
                # The two themselves are no namesakes of each other.
                others = one.m * np.maximum(frequency[here] - 2, 0) / among
                by_chance = one.alone * (one.m if number == 0 else 1.0)
                share = np.where(alone[here], others + by_chance, share)
            bits[here] = np.log2(one.m / np.minimum(share, 0.9))
    return bits


def fixed_bits(level: NDArray[np.int8], levels: tuple[Level, ...], us: Floats) -> Floats:
    """Bits of other claims at these levels; `us` has one u for each level; unknown is 0."""
    table = np.array([math.log2(one.m / u) for one, u in zip(levels, us, strict=True)] + [0.0])
    return table[level].astype(np.float32)


def counted_us(levels: NDArray[np.int8], ladder: tuple[Level, ...]) -> Floats:
    """u of each level as random pairs have it, where they are enough; else as the table has it."""
    known = levels[levels >= 0]
    table = np.array([level.u for level in ladder], np.float32)
    if len(known) < FEWEST_RECORDS:
        return table
    counted = np.bincount(known, minlength=len(ladder)) / len(known)
    # A level too rare to be counted keeps the table's word.
    return np.where(table < LEAST_COUNTED, table, np.maximum(counted, LEAST_COUNTED)).astype(
        np.float32
    )
