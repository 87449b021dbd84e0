"""Words of tags and lists become values, or None; nothing is guessed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.records import Carrier, Condition, Voice
from importers import values


@pytest.mark.parametrize(
    ("text", "seconds"),
    [
        ("PT3M39S", 219.0),  # ISO 8601-1:2019, 5.5.2.2
        ("PT1H2M", 3720.0),
        ("PT219S", 219.0),
        ("PT3:39", None),
        ("P1DT2H", None),  # well formed, but no recording lasts a day
        ("PT", None),
        ("P", None),
        ("3:39", 219.0),
        ("03:39", 219.0),
        ("1:02:03", 3723.0),
        ("03:39:00", 219.0),  # a sheet made a time of day of 3:39
        ("3.39", 219.0),
        ("3,39", 219.0),
        ("3.65", 219.0),  # a fraction of a minute: no label prints 65 seconds
        ("3.5", 210.0),
        ("219", 219.0),
        ("219000", 219.0),
        ("219.5", 219.5),
        ("3'39\"", 219.0),
        ("3′39″", 219.0),
        ("3m39s", 219.0),
        ("3 min 39 sec", 219.0),
        ("4 mins.", 240.0),
        ("45 sec", 45.0),
        ("3:75", None),
        ("0:00", None),
        ("", None),
        ("side two", None),
        ("-3:39", None),
    ],
)
def test_lengths_in_every_form(text: str, seconds: float | None) -> None:
    """The forms in which lists have lengths come to the same seconds."""
    assert values.length_s(text) == seconds


@given(st.integers(1, 10_000))
def test_a_length_survives_being_written(seconds: int) -> None:
    """Seconds written as minutes and as ISO 8601 are read back."""
    minutes, rest = divmod(seconds, 60)

    assert seconds == values.length_s(f"{minutes}:{rest:02d}")
    assert seconds == values.length_s(f"PT{minutes}M{rest}S")


@given(st.text(max_size=40))
def test_no_text_breaks_a_reader(text: str) -> None:
    """Whatever is written, each reader gives a value or None."""
    length, tempo, year = values.length_s(text), values.tempo(text), values.year(text, 2026)

    assert length is None or 0 < length <= values.LONGEST_S
    assert tempo is None or values.SLOWEST <= tempo <= values.QUICKEST
    assert year is None or values.EARLIEST_YEAR <= year <= 2027
    assert values.carrier(text) is None or isinstance(values.carrier(text), Carrier)
    assert values.condition(text) in Condition
    assert values.voice(text) in Voice


@pytest.mark.parametrize(
    ("text", "carrier"),
    [
        ("CD", Carrier.CD),
        ("Compact Disc", Carrier.CD),
        ("CD single", Carrier.CD),
        ("12 inch", Carrier.LP),
        ('12"', Carrier.LP),
        ("LP", Carrier.LP),
        ("vinyl", Carrier.LP),
        ("7 inch", Carrier.SINGLE_45),
        ('7"', Carrier.SINGLE_45),
        ("45", Carrier.SINGLE_45),
        ("45 rpm", Carrier.SINGLE_45),
        ("78", Carrier.SINGLE_78),
        ("78 rpm 10 inch", Carrier.SINGLE_78),
        ("shellac", Carrier.SINGLE_78),
        ("tape", Carrier.CASSETTE),
        ("Cassette", Carrier.CASSETTE),
        ("MC", Carrier.CASSETTE),
        ("mp3", Carrier.FILE),
        ("wire recording", Carrier.OTHER),
        ("", None),
    ],
)
def test_words_for_carriers(text: str, carrier: Carrier | None) -> None:
    """Common practice, no source."""
    assert values.carrier(text) == carrier


def test_a_tempo_word_is_never_a_number() -> None:
    """Published lists of tempo names differ so widely that none can be relied on."""
    assert [values.tempo(word) for word in ("Allegro", "slow", "Andante 2")] == [None] * 3
