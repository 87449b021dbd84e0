"""Fingerprints against Chromaprint's own, and what they say of pairs."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from catalogue import catalogue_rows as rows
from catalogue import duplicate_search, duplicates, fingerprints, measures, undo
from catalogue.described import Described
from catalogue.measures import FINGERPRINT, Measure, Unmeasured
from catalogue.pair_finding import find
from catalogue.records import NewHolding, NewRecording

CHORDS = json.loads(
    (Path(__file__).parents[1] / "reference" / "fingerprints" / "chords.json").read_text("utf-8")
)
OWN = CHORDS["chords"]["fingerprint"]
MP3 = CHORDS["chords as MP3"]["fingerprint"]
OTHER = CHORDS["other chords"]["fingerprint"]


def _rate(name: str) -> float | None:
    text = CHORDS[name]["fingerprint"]
    return fingerprints.bit_error_rate(fingerprints.decoded(OWN), fingerprints.decoded(text))


@pytest.mark.parametrize("name", CHORDS)
def test_they_are_read_as_chromaprint_reads_them(name):
    """Values from chromaprint_decode_fingerprint of libchromaprint 1.5.1."""
    own = CHORDS[name]["values"][: fingerprints.USED]
    assert fingerprints.decoded(CHORDS[name]["fingerprint"]).tolist() == own


@pytest.mark.parametrize("cut", [0, 1, 3, 5, 40, 200])
def test_damaged_ones_are_none(cut):
    assert len(fingerprints.decoded(OWN[:cut])) == 0
    assert len(fingerprints.decoded("é" + OWN)) == 0


def test_one_recording_differs_in_few_bits_and_another_in_many():
    """Haitsma and Kalker (2002): one recording up to .35; two at random .5, music a little less."""
    assert _rate("chords") == 0
    assert _rate("chords as MP3") < 0.01 and _rate("chords with noise") < 0.05
    assert _rate("chords after 3.3 s of silence") < 0.15
    assert _rate("other chords") > fingerprints.THRESHOLD


def test_what_is_too_short_says_nothing():
    own = fingerprints.decoded(OWN)
    assert fingerprints.bit_error_rate(own, own[: fingerprints.FEWEST - 1]) is None
    assert fingerprints.bit_error_rate(own[:0], own[:0]) is None
    assert len(fingerprints.marks(own[:0])) == 0


def test_marks_are_those_of_the_same_sound():
    own, mp3, other = (fingerprints.marks(fingerprints.decoded(t)) for t in (OWN, MP3, OTHER))
    assert len(np.intersect1d(own, mp3)) > fingerprints.MARKS / 2
    assert len(np.intersect1d(own, other)) < fingerprints.FEWEST_MARKS


def _found(*records: dict[str, object]) -> set[tuple[int, int]]:
    described = Described()
    for number, record in enumerate(records):
        told = {"title": "Far Tide", "artist": "Ann Oke"} | record
        described.add(number, **told)  # type: ignore[arg-type]
    for number in range(30):
        described.add(100 + number, f"Lamp {number}", f"Singer {number}", fingerprint=OTHER)
    evidence = find(described).evidence
    pairs = zip(evidence.first.tolist(), evidence.second.tolist(), strict=True)
    return {pair for pair in pairs if max(pair) < len(records)}


def test_two_encodings_are_found_whatever_they_are_called():
    unknown = {"title": "Track 07", "artist": "Unknown Artist", "fingerprint": MP3}
    assert _found({"fingerprint": OWN, "length_s": 181.0}, unknown | {"length_s": 181.2}) == {
        (0, 1)
    }
    assert _found({"fingerprint": OWN}, unknown | {"fingerprint": OTHER}) == set()


def test_another_recording_of_the_same_name_is_another():
    """Recorded anew for another label: names agree, and the sound does not."""
    assert _found({}, {}) == {(0, 1)}
    assert _found({"fingerprint": OWN}, {"fingerprint": MP3}) == {(0, 1)}
    assert _found({"fingerprint": OWN}, {"fingerprint": OTHER}) == set()


@pytest.mark.parametrize(
    "version", ["Radio Edit", "Live at the Quay", "Disco Remix", "Karaoke Version"]
)
def test_a_version_is_another_also_where_it_begins_the_same(version):
    edit = {"title": f"Far Tide ({version})", "fingerprint": MP3}
    assert _found({"fingerprint": OWN}, edit) == set()


def test_an_edit_that_does_not_say_so_is_told_by_its_length():
    whole, edit = {"fingerprint": OWN, "length_s": 332.0}, {"fingerprint": MP3, "length_s": 208.0}
    assert _found(whole, edit) == set()


def test_what_was_measured_of_files_is_used(store, now):
    with undo.action(store, "Liv", "files", now):
        numbers = []
        for title, artist, audio in (("Far Tide", "Ann Oke", "a"), ("Track 07", "?", "b")):
            numbers.append(rows.add_recording(store, NewRecording(title, artist, length_s=181.0)))
            path = f"/music/{audio}.flac"
            rows.add_holding(store, NewHolding(numbers[-1], path=path, audio=audio))
    duplicate_search.search(store)
    assert duplicates.likely_pairs(store) == []
    for holding, text in zip(
        store.rows("SELECT * FROM holdings ORDER BY id"), (OWN, MP3), strict=True
    ):
        file = Unmeasured(holding["id"], holding["recording_id"], holding["path"], holding["audio"])
        measures.keep(store, file, [Measure(FINGERPRINT, text)], "", now)
    assert duplicate_search.search(store).new == 2
    (pair,) = duplicates.likely_pairs(store)
    assert {pair.a.id, pair.b.id} == set(numbers)
    assert "fingerprint" in {claim.name for claim in pair.evidence}
