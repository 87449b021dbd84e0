"""Many descriptions of one recording made into one."""

from __future__ import annotations

from collections import Counter
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from catalogue.records import Carrier, Voice
from catalogue.union_entries import UnionCopy
from catalogue.union_merging import COLUMNS, MOST_NAMES, Entry, merged


def _member(**known: Any) -> tuple[Any, ...]:
    given: dict[str, Any] = {
        "entry": 7, "station": 1, "number": 1, "title": "Tide", "artist": "Bo", "year": None,
        "tempo": None, "length_s": None, "voice": "unknown", "also_known_as": [], "refrains": [],
        "artist_also_known_as": [], "holdings": "LP:1:1", **known,
    }  # fmt: skip
    return tuple(given.get(name, "") for name in COLUMNS)


def _names(entry: Entry) -> list[tuple[str, str]]:
    return [(form.title, form.artist) for form in entry.forms()]


def test_what_most_stations_say_counts_and_what_one_alone_says_is_kept() -> None:
    """Title and artist together, other facts each for itself; nothing said is nothing known."""
    entry = merged([
        _member(title="Tied", artist="Boo", year=1961, voice="nonsense"),
        _member(station=2, year=1962, genre="folk"),
        _member(station=3, year=1962, voice="woman"),
    ])  # fmt: skip

    told = entry.recording
    assert (told.title, told.artist, told.year, told.genre) == ("Tide", "Bo", 1962, "folk")
    assert (told.voice, told.album, told.tempo) == (Voice.WOMAN, "", None)
    assert _names(entry) == [("tide", "bo"), ("tied", "boo")]


def test_other_names_are_filed_beside_its_own() -> None:
    """Of the recording, of the artist, and lines it is asked for by; none twice."""
    entry = merged([
        _member(also_known_as=["The Ferry Song"], artist_also_known_as=["Bo the Ferryman"]),
        _member(station=2, also_known_as=["Ferry Song"], refrains=["all at sea"]),
    ])  # fmt: skip

    assert _names(entry) == [
        ("tide", "bo"), ("the ferry song", "bo"), ("tide", "bo the ferryman"),
        ("ferry song", "bo"), ("all at sea", "bo"),
    ]  # fmt: skip


def test_a_name_written_in_a_hundred_ways_is_filed_under_the_most_common() -> None:
    """Else one entry would fill the index."""
    members = [_member(number=n, title=f"Tide {n}") for n in range(100)]

    entry = merged([*members, _member(number=100, title="Tide 99")])

    assert len(_names(entry)) == MOST_NAMES
    assert _names(entry)[0] == ("tide 99", "bo")


_said = st.lists(
    st.tuples(
        st.sampled_from(["Tide", "Tied", "Tid"]), st.sampled_from([None, 1961, 1962]),
        st.dictionaries(st.sampled_from(list(Carrier)), st.integers(1, 3), min_size=1),
    ),
    min_size=1, max_size=6,
)  # fmt: skip


@given(_said)
def test_no_copy_is_lost_and_the_most_said_wins(said: list[tuple[Any, ...]]) -> None:
    """For any members."""
    members = [
        _member(
            number=n, title=title, year=year,
            holdings=" ".join(f"{carrier}:{count}:0" for carrier, count in held.items()),
        )
        for n, (title, year, held) in enumerate(said)
    ]  # fmt: skip

    entry = merged(members)

    assert set(entry.copies) == {
        UnionCopy(7, 1, n, carrier, count, 0)
        for n, (_, _, held) in enumerate(said)
        for carrier, count in held.items()
    }
    for place, told in ((0, entry.recording.title), (1, entry.recording.year)):
        values = [one[place] for one in said if one[place] is not None]
        counts = Counter(values)
        assert told == (max(values, key=counts.__getitem__) if values else None)
