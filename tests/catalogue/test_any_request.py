"""What holds for every request: any text gets an answer, case never counts, exact comes first."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from itertools import product
from random import Random

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from catalogue import catalogue_rows as rows
from catalogue import undo
from catalogue.enquiry import enquire
from catalogue.heard import Heard
from catalogue.records import Answer, NewHolding, NewRecording, Outcome
from catalogue.sound_index import SoundIndex
from catalogue.store import Store

NOW = datetime(2026, 11, 25, 19, 30)
FIRST = ["My", "The", "Her", "Mai", "Hair", "A", "By the", "I Love the", "Play That"]
MIDDLE = ["Lantern", "Lanterns", "Lantan", "Landing", "Linden", "Wanton", "Ferry", "Fairy"]
LAST = ["", "Waltz", "Walls", "99", "Ninety Ten", "(Part 1)", "(Part 2)"]
ARTISTS = ["Ann Oke", "Anne Oake", "Dan Oakes", "Ann Oak & The Tides", "The Tides", "?", "UB50"]
"""Near names, so that each title and artist has dozens that sound like it. Titles that begin like
a request ("Play That") are asked for with a "by" only: without one it may be politeness."""


class NearNames:
    """An index and the (id, title, artist) that are filed in it; no dataclass, which pytest would
    print whole."""

    def __init__(self, index: SoundIndex, named: list[tuple[int, str, str]]) -> None:
        self.index, self.named = index, named


@pytest.fixture(scope="module")
def near_names(tmp_path_factory: pytest.TempPathFactory) -> Iterator[NearNames]:
    """Three and a half thousand recordings that all sound alike."""
    folder = tmp_path_factory.mktemp("near")
    store = Store(folder / "asheard.db")
    named = []
    with undo.action(store, "Dilys", "near names", NOW):
        for first, middle, last, artist in product(FIRST, MIDDLE, LAST, ARTISTS):
            title = f"{first} {middle} {last}".strip()
            number = rows.add_recording(store, NewRecording(title, artist))
            rows.add_holding(store, NewHolding(number, path=f"/music/{number}.ogg"))
            named.append((number, title, artist))
    index = SoundIndex(folder / "sound_index", store)
    yield NearNames(index, named)
    index.close()
    store.close()


@pytest.fixture(scope="module")
def index(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SoundIndex]:
    """A few recordings, some of them with odd names."""
    folder = tmp_path_factory.mktemp("few")
    store = Store(folder / "asheard.db")
    with undo.action(store, "Dilys", "a few", NOW):
        for title, artist in (
            ("My Lantern", "Ann Oke"), ("?", "Nobody"), ("!!!", "!!!"), ("99 Herons", "UB50"),
            ("Чайка", "Нелл"), ("Ægirs Søng (Live)", "Bjørk Ærø"), ("東京", "東京"), ("A", "B"),
            ("long " * 300, "name " * 300), ("x" * 3000, ""), ("\ue000", "🎵"), ("'", "\x00"),
        ):  # fmt: skip
            number = rows.add_recording(store, NewRecording(title, artist))
            rows.add_holding(store, NewHolding(number, path=f"/music/{number}.ogg"))
    opened = SoundIndex(folder / "sound_index", store)
    yield opened
    opened.close()
    store.close()


def _ask(index: SoundIndex, heard: Heard) -> Answer:
    return enquire(index.store, index, heard, NOW)


def _checked(answer: Answer) -> None:
    """What every answer must be like, whatever was asked."""
    assert answer.say.strip()
    assert answer.say[-1] in ".?"
    chances = [match.probability for match in answer.matches]
    assert all(0 <= chance <= 1 for chance in chances)
    assert len({m.recording.id for m in answer.matches}) == len(answer.matches)
    assert all(m.reasons and m.availability for m in answer.matches)
    assert bool(answer.matches) or answer.outcome in (Outcome.NOT_FOUND, Outcome.NOTHING_ASKED)


@given(text=st.text())
@example("😀🎵" * 50)
@example("\x00")
@example("' OR 1=1 --")
@example('title:"my" AND (artist:* OR ~)')
@example("x" * 10_000)
@example("by " * 4_000)
@example("la - la / la, la | la; la\nla")
@example("9" * 10_000)
@example("\u202emy lantern")
@example("?!" * 5_000)
@example("ﷺ" * 500)
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_text_gets_an_answer(index: SoundIndex, text: str) -> None:
    """No error, whatever is typed or pasted: in one field, in the other, in both."""
    for heard in (Heard(text), Heard(title=text), Heard(artist=text), Heard(text, text, text)):
        _checked(_ask(index, heard))


def test_ten_thousand_letters_of_anything_get_an_answer(index: SoundIndex) -> None:
    """Drawn from all planes of Unicode."""
    rng = Random(4)
    for _ in range(4):
        points = (rng.randrange(0x110000) for _ in range(11_000))
        text = "".join(chr(p) for p in points if not 0xD800 <= p < 0xE000)[:10_000]
        _checked(_ask(index, Heard(text)))


def test_a_lone_surrogate_is_no_matter(index: SoundIndex) -> None:
    """A terminal gives them for bytes that are no text."""
    _checked(_ask(index, Heard("my \udcff lantern")))


@given(
    number=st.integers(0, 10**9), way=st.integers(0, 6), case=st.sampled_from(["", "u", "l", "s"])
)
@settings(max_examples=150, deadline=None)
def test_an_exact_title_and_artist_is_always_first(
    near_names: NearNames, number: int, way: int, case: str
) -> None:
    """Among thousands of near names: either order, with "by" or without, any case, two fields."""
    index, named = near_names.index, near_names.named
    wanted, title, artist = named[number % len(named)]
    if title.startswith("Play") and way != 6:
        way = 0
    if artist == "?":  # behind other words a question mark is only that
        way = 3 if way in (1, 2, 3) else 6
    texts = (
        f"{title} by {artist}", f"{title} {artist}", f"{artist} {title}", f"{artist} - {title}",
        f"{title} / {artist}", f"could you play {title} by {artist} please", "",
    )  # fmt: skip
    change = {"u": str.upper, "l": str.lower, "s": str.swapcase}.get(case, str)
    heard = Heard(change(texts[way])) if way < 6 else Heard("", change(title), change(artist))
    answer = _ask(index, heard)

    assert answer.matches, heard
    found = answer.matches[0].recording
    assert (found.id, found.title, found.artist) == (wanted, title, artist)


@given(number=st.integers(0, 10**9), cut=st.integers(0, 12), seed=st.integers(0, 99))
@settings(max_examples=60, deadline=None)
def test_case_never_changes_what_is_found(
    near_names: NearNames, number: int, cut: int, seed: int
) -> None:
    """The same matches with the same chances, for half a name as well as for all of it."""
    index, named = near_names.index, near_names.named
    _, title, artist = named[number % len(named)]
    text = f"{title} by {artist}"[: max(3, 30 - cut)]
    rng = Random(seed)
    mixed = "".join(rng.choice([c.upper(), c.lower()]) for c in text)

    told = [_ask(index, Heard(t)) for t in (text.lower(), text.upper(), mixed)]
    assert told[0] == told[1] == told[2]


@given(number=st.integers(0, 10**9))
@settings(max_examples=30, deadline=None)
def test_asking_twice_gives_the_same_answer(near_names: NearNames, number: int) -> None:
    """Nothing is left to chance, and asking changes nothing."""
    index, named = near_names.index, near_names.named
    heard = Heard(named[number % len(named)][1])

    assert _ask(index, heard) == _ask(index, heard)
