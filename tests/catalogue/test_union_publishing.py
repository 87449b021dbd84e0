"""What a station publishes: only what it may, only what is new, and as Parquet that any reads."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from pathlib import Path

import pyarrow.parquet as pq
import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from catalogue import (
    catalogue_rows,
    settings,
    undo,
    union_keys,
    union_parquet,
    union_publication,
    union_publishing,
)
from catalogue.errors import BadInput, BadPublication, UnionProblem
from catalogue.records import Carrier, Condition

from .published import NOW, Station, station


@pytest.fixture
def quay(tmp_path: Path) -> Iterator[Station]:
    """A station with three recordings."""
    made = station(tmp_path / "quay", "Quay Radio")
    made.add("Lantern on the Quay", "Marsha Herron", (Carrier.LP, Carrier.FILE), year=1962)
    made.add("Grey Heron Standing", "Ada Sluice", (Carrier.SINGLE_45,), tempo=96.5)
    made.add("The Long Jetty", "Hector Pike", (Carrier.CD, Carrier.CD, Carrier.LP))
    yield made
    made.store.close()


def _state(made: Station) -> dict[int, tuple[str, list[tuple[str, int, int]]]]:
    """What the publication says now: number to title and holdings."""
    told = union_publication.verified(made.folder, [made.trusted])
    found: dict[int, tuple[str, list[tuple[str, int, int]]]] = {}
    for sequence, live in told.live():
        for batch in told.batches("recordings", sequence, live):
            for row in batch.to_pylist():
                assert row["number"] not in found
                found[row["number"]] = (row["title"], [])
        for batch in told.batches("holdings", sequence, live):
            for row in batch.to_pylist():
                copy = (row["carrier"], row["copies"], row["lendable"])
                found[row["number"]][1].append(copy)
    return found


def test_a_publication_is_read_without_this_program(quay: Station) -> None:
    """With a JSON reader, a Parquet reader and an Ed25519 library alone."""
    settings.put(quay.store, "network_place", "Wharf End", "Dora", NOW)
    settings.put(quay.store, "network_position", "51.95, 1.29", "Dora", NOW)
    settings.put(quay.store, "network_loan", "Write to Ann, and send stamps.", "Dora", NOW)
    quay.publish()

    content = (quay.folder / "manifest.json").read_bytes()
    manifest = json.loads(content)
    public = Ed25519PublicKey.from_public_bytes(bytes.fromhex(manifest["key"]))
    public.verify((quay.folder / "manifest.sig").read_bytes(), content)
    recordings = pq.read_table(quay.folder / manifest["files"][0]["name"]).to_pylist()
    holdings = pq.read_table(quay.folder / manifest["files"][1]["name"]).to_pylist()

    assert manifest["station"] == {
        "id": quay.key.station, "name": "Quay Radio", "place": "Wharf End",
        "latitude": 51.95, "longitude": 1.29, "loan": "Write to Ann, and send stamps.",
    }  # fmt: skip
    assert [f["name"] for f in manifest["files"]] == [
        "recordings-000001.parquet", "holdings-000001.parquet",
    ]  # fmt: skip
    assert [(r["number"], r["title"], r["artist"], r["year"], r["tempo"]) for r in recordings] == [
        (1, "Lantern on the Quay", "Marsha Herron", 1962, None),
        (2, "Grey Heron Standing", "Ada Sluice", None, 96.5),
        (3, "The Long Jetty", "Hector Pike", None, None),
    ]
    assert [tuple(row.values()) for row in holdings] == [
        (1, "LP", 1, 1), (1, "file", 1, 0), (2, "45", 1, 1), (3, "CD", 2, 2), (3, "LP", 1, 1),
    ]  # fmt: skip


def test_the_schema_in_the_document_is_the_schema_of_the_files() -> None:
    """DEVELOPERS.md names every column of every file, in its order."""
    text = (Path(__file__).parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")
    for kind, schema in union_parquet.SCHEMAS.items():
        rows = text.partition(f"`{kind}-N.parquet`")[2].partition("\n\n")[2].partition("\n\n")[0]
        told = [row.split("|")[1].strip(" `") for row in rows.splitlines()[2:]]
        assert told == schema.names, kind


def test_only_what_changed_is_written_again(quay: Station) -> None:
    """One corrected, one new, one lost; the others stay in the first file."""
    assert quay.publish().written == 3
    with undo.action(quay.store, "Charlie", "corrected", NOW):
        catalogue_rows.change_recording(quay.store, 2, title="Grey Heron Waiting")
        catalogue_rows.change_holding(quay.store, 5, missing=1)
    quay.add("Tide", "Bo")
    before = (quay.folder / "recordings-000001.parquet").read_bytes()

    done = quay.publish()

    assert (done.sequence, done.written, done.removed, done.whole) == (2, 3, 0, False)
    assert (quay.folder / "recordings-000001.parquet").read_bytes() == before
    assert pq.read_table(quay.folder / "recordings-000002.parquet").num_rows == 3
    assert _state(quay)[2] == ("Grey Heron Waiting", [("45", 1, 1)])
    assert _state(quay)[4] == ("Tide", [("LP", 1, 1)])
    # The second CD of the jetty is missing: its recording is written again with its holdings.
    assert _state(quay)[3][1] == [("CD", 1, 1), ("LP", 1, 1)]


def test_nothing_new_is_no_new_publication(quay: Station) -> None:
    """The folder stays as it was, byte for byte."""
    quay.publish()
    before = {path.name: path.read_bytes() for path in quay.folder.iterdir()}

    assert quay.publish() == union_publishing.Published(1, 3, 0, 0, False, False)
    assert {path.name: path.read_bytes() for path in quay.folder.iterdir()} == before


def test_what_is_said_of_the_station_is_published_without_new_files(quay: Station) -> None:
    """Another telephone number is a new manifest, signed anew."""
    quay.publish()
    settings.put(quay.store, "network_loan", "Ring the office.", "Dora", NOW)

    assert quay.publish().sequence == 2

    told = union_publication.verified(quay.folder, [quay.trusted])
    assert (told.station.loan, len(told.files)) == ("Ring the office.", 2)
    assert told.previous != ""


def test_what_is_gone_or_not_held_is_removed(quay: Station) -> None:
    """A recording whose last copy is missing is shared no longer, and again when it is found."""
    quay.publish()
    with undo.action(quay.store, "Charlie", "missing", NOW):
        catalogue_rows.change_holding(quay.store, 3, missing=1)

    assert quay.publish().removed == 1
    assert sorted(_state(quay)) == [1, 3]

    with undo.action(quay.store, "Charlie", "found", NOW):
        catalogue_rows.change_holding(quay.store, 3, missing=0)
    assert quay.publish().written == 1
    assert sorted(_state(quay)) == [1, 2, 3]


def test_damaged_discs_and_what_is_not_lent_are_held_and_not_lendable(quay: Station) -> None:
    """And the station says what it lends."""
    with undo.action(quay.store, "Charlie", "looked", NOW):
        catalogue_rows.change_disc(quay.store, 1, condition=Condition.DAMAGED)
    settings.put(quay.store, "network_lends", "LP", "Dora", NOW)
    quay.publish()

    assert _state(quay)[1][1] == [("LP", 1, 0), ("file", 1, 0)]
    assert _state(quay)[3][1] == [("CD", 2, 0), ("LP", 1, 1)]


def test_many_small_publications_are_written_anew_as_one(
    quay: Station, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So that a reader does not go through hundreds of files; old files are cleared away."""
    monkeypatch.setattr(union_publishing, "_MOST_PUBLICATIONS", 4)
    quay.publish()
    counts = []
    for number in range(6):
        quay.add(f"Tide {number}", "Bo")
        quay.publish()
        counts.append(len(list(quay.folder.glob("recordings-*.parquet"))))

    assert counts == [2, 3, 4, 1, 2, 3]
    assert len(_state(quay)) == 9


@pytest.mark.parametrize("seed", range(4))
def test_any_changes_in_any_order_come_to_what_is_held(tmp_path: Path, seed: int) -> None:
    """Increments applied in order say what one whole publication says."""
    chance = random.Random(seed)
    made = station(tmp_path / "quay", "Quay Radio")
    for _ in range(6):
        for _ in range(chance.randrange(4)):
            made.add(f"Tide {chance.randrange(5)}", "Bo", tuple(chance.choices(list(Carrier), k=2)))
        with undo.action(made.store, "Charlie", "at work", NOW):
            for row in made.store.rows("SELECT id FROM holdings"):
                if chance.random() < 0.3:
                    missing = chance.randrange(2)
                    catalogue_rows.change_holding(made.store, row["id"], missing=missing)
        made.publish()
    by_parts = _state(made)

    made.publish(whole=True)

    assert _state(made) == by_parts
    made.store.close()


def test_a_publication_broken_off_is_mended_by_the_next(quay: Station) -> None:
    """Ended between signature and manifest, or with a file lost: all is written anew."""
    quay.publish()
    (quay.folder / "manifest.sig").write_bytes(b"x" * 64)
    with pytest.raises(BadPublication, match="altered"):
        _state(quay)

    assert quay.publish().whole
    assert len(_state(quay)) == 3

    (quay.folder / "holdings-000002.parquet").unlink()
    assert quay.publish().whole
    assert len(_state(quay)) == 3


def test_the_number_goes_on_when_the_folder_is_lost(quay: Station) -> None:
    """Else the network would refuse what comes as older than what it has built."""
    quay.publish()
    for path in quay.folder.iterdir():
        path.unlink()

    assert quay.publish().sequence == 2


def test_another_stations_folder_is_not_written_into(quay: Station, tmp_path: Path) -> None:
    """A wrong path must not destroy what somebody else published."""
    other = station(tmp_path / "other", "Other Radio")
    other.add("Tide", "Bo")
    other.publish()

    with pytest.raises(BadInput, match="Other Radio"):
        union_publishing.publish(quay.store, quay.key, other.folder, NOW)
    other.store.close()


def test_a_folder_that_cannot_be_written_is_said_so(quay: Station, tmp_path: Path) -> None:
    """In a sentence, and nothing is lost."""
    (tmp_path / "file").write_text("no folder")

    with pytest.raises(UnionProblem, match="cannot be written"):
        union_publishing.publish(quay.store, quay.key, tmp_path / "file" / "there", NOW)


def test_a_station_withdraws(quay: Station) -> None:
    """A signed publication without files; what was there is cleared away."""
    settings.put(quay.store, "network_loan", "Ring Ann.", "Dora", NOW)
    quay.publish()

    union_publishing.withdraw(quay.store, quay.key, quay.folder, NOW)

    told = union_publication.verified(quay.folder, [quay.trusted])
    assert told.is_withdrawn
    assert (told.sequence, told.recordings, told.station.loan) == (2, 0, "")
    assert sorted(path.name for path in quay.folder.iterdir()) == ["manifest.json", "manifest.sig"]
    assert quay.publish().whole
    assert len(_state(quay)) == 3


def test_a_key_made_anew_publishes_whole(quay: Station) -> None:
    """The old signature would not be trusted, so nothing is built on it."""
    quay.publish()
    quay.key = union_keys.new_key(quay.store.path.parent, NOW, quay.key.station)

    assert quay.publish().whole
    assert len(_state(quay)) == 3
