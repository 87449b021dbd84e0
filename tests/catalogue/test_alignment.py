"""Aligning many names at once, held against a slow and plain alignment of one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.alignment import align_apart, align_inside, own_scores, span_heard
from catalogue.confusion_weights import ConfusionWeights, shipped
from catalogue.sound import CODE_OF, sound_of

PHONES = "".join(CODE_OF.values())
strings = st.text(alphabet=PHONES[:6], max_size=9)


@st.composite
def weights(draw: st.DrawFn) -> ConfusionWeights:
    """Any weights for pairs; gaps cost, as learnt ones do."""
    rng = np.random.default_rng(draw(st.integers(0, 2**32)))
    missed, added = -np.abs(rng.normal(0, draw(st.sampled_from([0.2, 1.5])), (2, 128)))
    return ConfusionWeights(
        rng.normal(0, 2, (128, 128)).astype(np.float32),
        missed.astype(np.float32),
        added.astype(np.float32),
    )


def _whole(heard: str, held: str, weights: ConfusionWeights) -> float:
    """The best score of all of `held` against all of `heard`, by the textbook recursion."""
    if not held:
        return sum(float(weights.added[ord(h)]) for h in heard)
    if not heard:
        return sum(float(weights.missed[ord(n)]) for n in held)
    table = np.full((len(heard) + 1, len(held) + 1), -np.inf)
    table[0, 0] = 0.0
    for i in range(len(heard) + 1):
        for j in range(len(held) + 1):
            if i and j:
                pair = weights.pair[ord(heard[i - 1]), ord(held[j - 1])]
                table[i, j] = max(table[i, j], table[i - 1, j - 1] + pair)
            if i:
                table[i, j] = max(table[i, j], table[i - 1, j] + weights.added[ord(heard[i - 1])])
            if j:
                table[i, j] = max(table[i, j], table[i, j - 1] + weights.missed[ord(held[j - 1])])
    return float(table[-1, -1])


def _inside(heard: str, held: str, weights: ConfusionWeights) -> float:
    """The best over every piece of what was heard, since its ends are free."""
    if not held:
        return 0.0
    pieces = {heard[i:j] for i in range(len(heard) + 1) for j in range(i, len(heard) + 1)}
    return max(_whole(piece, held, weights) for piece in pieces)


@given(heard=strings, held=st.lists(strings, min_size=1, max_size=4), drawn=weights())
@settings(max_examples=60, deadline=None)
def test_every_name_scores_as_in_the_textbook(
    heard: str, held: list[str], drawn: ConfusionWeights
) -> None:
    """Names of different lengths side by side, empty ones among them."""
    expected = [_inside(heard, name, drawn) for name in held]

    assert align_inside(heard, held, drawn) == pytest.approx(expected, abs=1e-3)


@given(heard=strings, held=strings.filter(bool), drawn=weights())
@settings(max_examples=60, deadline=None)
def test_the_span_is_where_the_name_lies_best(
    heard: str, held: str, drawn: ConfusionWeights
) -> None:
    """Aligned whole with that span alone, the name scores what it can at most."""
    start, end = span_heard(heard, held, drawn)

    assert 0 <= start <= end <= len(heard)
    assert _whole(heard[start:end], held, drawn) == pytest.approx(
        float(align_inside(heard, [held], drawn)[0]), abs=1e-3
    )


@given(st.lists(st.text(alphabet=PHONES, min_size=1, max_size=30), min_size=1, max_size=5))
@settings(max_examples=40, deadline=None)
def test_a_name_heard_perfectly_scores_its_own_score(names: list[str]) -> None:
    """With the shipped weights, whatever stands around it; and nothing scores more."""
    own = own_scores(names, shipped())
    for name, score in zip(names, own, strict=True):
        assert float(align_inside(f"KAB{name}DE", [name], shipped())[0]) >= score - 1e-3
        assert score == pytest.approx(
            sum(float(shipped().pair[ord(c), ord(c)]) for c in name), rel=1e-4
        )


def test_no_names_and_nothing_heard() -> None:
    """Shapes hold at the edges; what was not heard at all is all missed."""
    assert align_inside("ABC", [], shipped()).shape == own_scores([], shipped()).shape == (0,)
    assert align_inside("ABC", ["", ""], shipped()).tolist() == [0.0, 0.0]
    missed = float(shipped().missed[[ord("A"), ord("B")]].sum())
    assert float(align_inside("", ["AB"], shipped())[0]) == pytest.approx(missed, abs=1e-4)
    assert span_heard("", "AB", shipped()) == (0, 0)


def test_the_span_of_a_name_marks_its_words() -> None:
    """ "play the lantern waltz now": the waltz lies behind "play the", before "now"."""
    before, name, behind = (sound_of(w).phones for w in ("play the", "lantern waltz", "now"))

    assert span_heard(before + name + behind, name, shipped()) == (
        len(before),
        len(before) + len(name),
    )


def test_the_misheard_name_outscores_the_others() -> None:
    """A bad line makes m of n and f of th; the right name still explains it best."""
    names = ["nothing left", "my lantern", "the long jetty", "mutton chop"]
    scores = align_inside(
        sound_of("muffin left").phones, [sound_of(n).phones for n in names], shipped()
    )

    assert names[int(np.argmax(scores))] == "nothing left"


@given(heard=strings, title=strings, artist=strings, drawn=weights())
@settings(max_examples=30, deadline=None)
def test_title_and_artist_lie_apart_in_either_order(
    heard: str, title: str, artist: str, drawn: ConfusionWeights
) -> None:
    """The best cut of what was heard in two, tried one by one."""
    told = align_apart(heard, [title], [artist], drawn)
    expected = max(
        _inside(heard[:cut], one, drawn) + _inside(heard[cut:], other, drawn)
        for cut in range(len(heard) + 1)
        for one, other in ((title, artist), (artist, title))
    )

    assert float(told[0][0]) == pytest.approx(_inside(heard, title, drawn), abs=1e-3)
    assert float(told[1][0]) == pytest.approx(_inside(heard, artist, drawn), abs=1e-3)
    assert float(told[2][0]) == pytest.approx(expected, abs=1e-3)
