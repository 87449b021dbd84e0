"""A publication cut short, altered, signed by nobody or by a key not trusted is refused."""

from __future__ import annotations

import hashlib
import json
import shutil
import struct
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue import union_keys, union_parquet, union_publication
from catalogue.errors import BadInput, BadPublication, UnionProblem
from catalogue.union_keys import StationKey, Trusted

from .published import NOW, Station, station


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Station:
    """A station with two publications in its folder."""
    quay = station(tmp_path_factory.mktemp("network") / "quay", "Quay Radio")
    quay.add("Lantern on the Quay", "Marsha Herron")
    quay.publish()
    quay.add("Tide", "Bo")
    quay.publish()
    return quay


@pytest.fixture
def folder(made: Station, tmp_path: Path) -> Path:
    """A copy of what it published, to be spoilt."""
    return Path(shutil.copytree(made.folder, tmp_path / "copied"))


def _signed_again(folder: Path, key: StationKey, change: Callable[[dict], None]) -> None:
    """Change the manifest and sign it, as a station with a fault in its program would."""
    data = json.loads((folder / "manifest.json").read_bytes())
    change(data)
    content = json.dumps(data).encode()
    (folder / "manifest.json").write_bytes(content)
    (folder / "manifest.sig").write_bytes(key.sign(content))


def _refused(folder: Path, trusted: Trusted, *words: str, **more: object) -> None:
    with pytest.raises(BadPublication) as told:
        union_publication.verified(folder, [trusted], **more)  # type: ignore[arg-type]
    assert told.value.message.startswith(str(folder))
    assert "left out" in told.value.message
    for word in words:
        assert word in told.value.message


def test_as_it_was_published_it_is_taken(made: Station, folder: Path) -> None:
    """Else every refusal below would prove nothing."""
    told = union_publication.verified(folder, [made.trusted])

    assert (told.sequence, told.recordings, told.station.name) == (2, 2, "Quay Radio")


def test_any_file_cut_short_lost_or_altered_is_named(made: Station, folder: Path) -> None:
    """Every one of them, whatever kind it is."""
    for path in sorted(folder.glob("*.parquet")):
        whole = path.read_bytes()
        path.write_bytes(whole[:-9])
        _refused(folder, made.trusted, path.name, "cut short")
        path.write_bytes(whole + b"more")
        _refused(folder, made.trusted, path.name, "altered")
        path.write_bytes(whole[:60] + bytes([whole[60] ^ 1]) + whole[61:])
        _refused(folder, made.trusted, path.name, "altered")
        path.unlink()
        _refused(folder, made.trusted, path.name, "not there")
        path.write_bytes(whole)
    (folder / "manifest.json").write_bytes((folder / "manifest.json").read_bytes()[:-30])
    _refused(folder, made.trusted, "manifest is cut short")
    (folder / "manifest.json").unlink()
    _refused(folder, made.trusted, "no manifest.json")


@given(st.data())
def test_no_byte_of_the_manifest_can_be_changed(made: Station, data: st.DataObject) -> None:
    """Whichever it is: what is signed is the bytes."""
    content = (made.folder / "manifest.json").read_bytes()
    place = data.draw(st.integers(0, len(content) - 1))
    other = data.draw(st.integers(1, 255))
    spoilt = content[:place] + bytes([content[place] ^ other]) + content[place + 1 :]

    signature = (made.folder / "manifest.sig").read_bytes()

    assert union_keys.is_signed(content, signature, made.key.key)
    assert not union_keys.is_signed(spoilt, signature, made.key.key)


def test_an_altered_manifest_is_refused(made: Station, folder: Path) -> None:
    """Another way to ask for a loan, which would send letters somewhere else."""
    path = folder / "manifest.json"
    path.write_bytes(path.read_bytes().replace(b"Quay Radio", b"Tide Radio"))

    _refused(folder, made.trusted, "altered after it was signed")


def test_signed_by_nobody_by_a_stranger_and_by_another_station(
    made: Station, folder: Path, tmp_path: Path
) -> None:
    """Each is told apart, with what to do."""
    stranger = station(tmp_path / "stranger", "Stranger")
    _refused(folder, stranger.trusted, "key that the network does not know", "union keys trust")
    _signed_again(folder, stranger.key, lambda _: None)
    _refused(folder, made.trusted, "altered after it was signed")
    _signed_again(folder, stranger.key, lambda data: data.update(key=stranger.key.key))
    _refused(folder, stranger.trusted, "another station than Stranger")
    (folder / "manifest.sig").unlink()
    _refused(folder, made.trusted, "signed by nobody")
    stranger.store.close()


def test_a_withdrawn_key_is_refused_whatever_its_date(made: Station, folder: Path) -> None:
    """A thief can write any date."""
    known, _ = union_keys.withdraw([made.trusted], "quay radio", NOW)

    _refused(folder, known[0], "withdrawn on 2026-11-25", "new key")


def test_what_is_older_than_what_was_built_is_refused(made: Station, folder: Path) -> None:
    """And another one of the same number; the very same one again is taken."""
    station_id, told = made.key.station, union_publication.verified(folder, [made.trusted])

    _refused(folder, made.trusted, "publication 2", "number 3", seen={station_id: (3, "")})
    _refused(folder, made.trusted, "another publication 2", seen={station_id: (2, "0" * 64)})
    seen = {station_id: (2, told.digest), "other": (9, "")}
    assert union_publication.verified(folder, [made.trusted], seen) == told


@pytest.mark.parametrize(
    "change",
    [
        lambda d: d.update(format=2),
        lambda d: d.pop("files"),
        lambda d: d.update(sequence="2"),
        lambda d: d.update(sequence=True),
        lambda d: d["files"][0].update(name="../../asheard.db"),
        lambda d: d["files"][0].update(kind="removed"),
        lambda d: d["files"].append(d["files"][0]),
        lambda d: d["station"].update(latitude=95.0),
        lambda d: d["station"].update(loan="x" * 2_001),
        lambda d: d.update(files=7),
    ],
)
def test_a_manifest_that_says_nonsense_is_refused(
    made: Station, folder: Path, change: Callable[[dict], None]
) -> None:
    """Signed or not; no path leads out of the folder."""
    _signed_again(folder, made.key, change)

    _refused(folder, made.trusted, "manifest is cut short or of another version")


def test_files_that_are_signed_and_not_what_they_should_be(made: Station, folder: Path) -> None:
    """Other numbers of rows, no Parquet, other columns, numbers that do not add up."""

    def other_file(content: bytes) -> Callable[[dict], None]:
        def change(data: dict) -> None:
            row = data["files"][0]
            (folder / row["name"]).write_bytes(content)
            row["bytes"], row["sha256"] = len(content), hashlib.sha256(content).hexdigest()

        return change

    holdings = (folder / "holdings-000001.parquet").read_bytes()
    _signed_again(folder, made.key, lambda d: d.update(recordings=5))
    _refused(folder, made.trusted, "not as many recordings")
    _signed_again(folder, made.key, lambda d: d["files"][0].update(rows=5))
    _refused(folder, made.trusted, "rows instead of 5")
    _signed_again(folder, made.key, other_file(b"no Parquet at all"))
    _refused(folder, made.trusted, "cannot be read as Parquet")
    recordings = (made.folder / "recordings-000001.parquet").read_bytes()
    _signed_again(folder, made.key, lambda d: d["files"][0].update(rows=1))
    _signed_again(folder, made.key, other_file(recordings[:4] + bytes(60) + recordings[64:]))
    _refused(folder, made.trusted, "a file cannot be read as Parquet")
    _signed_again(folder, made.key, lambda d: d["files"][0].update(rows=5))
    _signed_again(folder, made.key, other_file(holdings))
    _refused(folder, made.trusted, "instead of 5")
    _signed_again(folder, made.key, lambda d: d["files"][0].update(rows=1))
    _refused(folder, made.trusted, "columns")


@pytest.mark.parametrize("kind", ["recordings", "holdings"])
def test_numbers_told_wrong_in_a_footer_are_refused(made: Station, folder: Path, kind: str) -> None:
    """By them rows are passed over, and would be lost though nothing says that they are damaged."""

    def change(data: dict) -> None:
        row = next(one for one in data["files"] if one["name"] == f"{kind}-000001.parquet")
        path = folder / row["name"]
        content = path.read_bytes()
        start = len(content) - 8 - int.from_bytes(content[-8:-4], "little")
        least_and_greatest = struct.pack("<q", 1)
        assert least_and_greatest in content[start:]
        footer = content[start:].replace(least_and_greatest, struct.pack("<q", 999))
        path.write_bytes(content[:start] + footer)
        row["sha256"] = hashlib.sha256(path.read_bytes()).hexdigest()
        assert not list(union_parquet.batches(path, between=(1, 1)))

    _signed_again(folder, made.key, change)
    _refused(folder, made.trusted, "its numbers are not those that its footer says")


def test_a_key_is_its_owners_alone(tmp_path: Path) -> None:
    """The file is for this user; the private half is in nothing that is printed or sent."""
    key = union_keys.own_key(tmp_path, NOW)
    file = tmp_path / "network_key.json"

    assert file.stat().st_mode & 0o777 == 0o600
    assert union_keys.own_key(tmp_path, NOW) == key == union_keys.held_key(tmp_path)
    assert key.private not in repr(key) + union_keys.card(key, "Quay Radio")
    file.write_text(file.read_text().replace(key.private[:8], "00000000"))
    with pytest.raises(UnionProblem, match="cannot be read"):
        union_keys.held_key(tmp_path)


def test_a_card_of_brackets_alone_is_no_card(tmp_path: Path) -> None:
    """Python's reader of JSON goes as deep as they do, and gives up with an error of its own."""
    with pytest.raises(BadInput, match="no station's card"):
        union_keys.trust([], "[" * 100_000, NOW)
    path = tmp_path / "trusted.json"
    path.write_text("[" * 100_000)
    with pytest.raises(UnionProblem, match="cannot be read"):
        union_keys.read_list(path)


def test_the_list_of_trusted_keys(tmp_path: Path) -> None:
    """Cards are added once, withdrawn by name, key or fingerprint, and never taken again."""
    key = union_keys.own_key(tmp_path, NOW)
    card = union_keys.card(key, "Quay Radio")
    known, new = union_keys.trust([], card, NOW)
    path = tmp_path / "trust.json"
    union_keys.write_list(path, known)

    assert union_keys.read_list(path) == [new] == known
    with pytest.raises(BadInput, match="trusted already"):
        union_keys.trust(known, card, NOW)
    with pytest.raises(BadInput, match="Quay Radio's"):
        union_keys.trust(known, card.replace(key.station, "0" * 16), NOW)
    for which in ("Quay Radio", key.key[:9], union_keys.fingerprint(key.key)[:9]):
        gone, _ = union_keys.withdraw(known, which, NOW)
        assert gone[0].withdrawn == "2026-11-25T19:30:00"
        with pytest.raises(BadInput, match="not taken again"):
            union_keys.trust(gone, card, NOW)
    for which in ("", "zz", "Other Radio"):
        with pytest.raises(BadInput, match="No trusted key"):
            union_keys.withdraw(known, which, NOW)
    for text in ("", "{}", "[]", card.replace(key.key, "00"), card.replace(key.station, "nil")):
        with pytest.raises(BadInput, match="no station's card"):
            union_keys.trust(known, text, NOW)
    path.write_text("{")
    with pytest.raises(UnionProblem, match="put a copy of it back"):
        union_keys.read_list(path)
