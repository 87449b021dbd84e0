"""A station in one file: whole on the new PC, and nothing that climbs out of the folder."""

from __future__ import annotations

import zipfile
from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalogue import callers, packing, request_slips
from catalogue.errors import CatalogueError, CopyProblem, UnreadableFile
from catalogue.store import Store

DATABASE = "asheard.db"


def test_a_station_moves_whole(store, now, add, tmp_path):
    """Records, slips, other files of the folder; not the index, copies, logs or keys of HTTPS."""
    add("My Lantern", "Ann Oke")
    slip = request_slips.start(store, "request", "Kit", now)
    callers.write(store, slip, {"why": "MARKER"}, "Kit", now)
    for name in ("call_recordings/a.wav", "sound_index/x", "copies/y", "logs/z", "session_key",
                 "certificates/authority.key", "station.pem", "network_key.json",
                 "network_token"):  # fmt: skip
        path = store.path.parent / name
        path.parent.mkdir(exist_ok=True)
        path.write_text(name)
    packed = tmp_path / "moved.zip"

    names = packing.pack(store, packed)
    new = tmp_path / "new"
    assert packing.unpack(packed, new, DATABASE, now) == names

    others = ["network_key.json", "network_token", "station.pem"]
    assert sorted(names) == ["asheard.db", "call_recordings/a.wav", *others]
    assert sorted(p.name for p in new.iterdir()) == ["asheard.db", "call_recordings", *others]
    moved = Store(new / DATABASE)
    assert [r["title"] for r in moved.rows("SELECT title FROM recordings")] == ["My Lantern"]
    assert callers.of(moved, slip).why == "MARKER"
    moved.close()
    assert [p.name for p in (store.path.parent / "copies").iterdir()] == ["y"]


def test_it_may_leave_without_callers(store, now, tmp_path):
    slip = request_slips.start(store, "request", "Kit", now)
    callers.write(store, slip, {"why": "MARKER"}, "Kit", now)
    recording = store.path.parent / "call_recordings" / "a.wav"
    recording.parent.mkdir()
    recording.write_bytes(b"MARKER")
    for name in ("network_key.json", "network_token"):
        (store.path.parent / name).write_text("MARKER")
    packing.pack(store, tmp_path / "p.zip", with_callers=False)
    with zipfile.ZipFile(tmp_path / "p.zip") as file:
        assert file.namelist() == [DATABASE]
        assert b"MARKER" not in file.read(DATABASE)


def test_what_is_overdue_is_erased_before_there_is_a_station(store, now, tmp_path):
    slip = request_slips.start(store, "request", "Kit", now)
    callers.write(store, slip, {"why": "MARKER"}, "Kit", now)
    packing.pack(store, tmp_path / "p.zip")
    packing.unpack(tmp_path / "p.zip", tmp_path / "new", DATABASE, now + timedelta(days=7))
    assert b"MARKER" not in (tmp_path / "new" / DATABASE).read_bytes()


def test_nothing_is_written_over(store, now, tmp_path):
    packed = tmp_path / "p.zip"
    packing.pack(store, packed)
    before = packed.read_bytes()
    with pytest.raises(CopyProblem, match="is there already"):
        packing.pack(store, packed)
    with pytest.raises(CopyProblem, match="holds a station already"):
        packing.unpack(packed, store.path.parent, DATABASE, now)
    with pytest.raises(CopyProblem, match="cannot be written"):
        packing.pack(store, tmp_path / "gone" / "p.zip")
    assert packed.read_bytes() == before


@pytest.mark.parametrize(
    "name", ["../out", "/out", "a/../../out", "C:out", "a\\..\\out", "..", "asheard.db/../../out"]
)
def test_no_file_climbs_out_of_the_folder(store, now, tmp_path, name):
    packing.pack(store, tmp_path / "p.zip")
    with zipfile.ZipFile(tmp_path / "p.zip", "a") as file:
        file.writestr(name, "out")
    with pytest.raises(UnreadableFile, match="not a packed station"):
        packing.unpack(tmp_path / "p.zip", tmp_path / "new", DATABASE, now)
    assert not (tmp_path / "out").exists() and not (tmp_path / "new" / DATABASE).exists()


@given(st.data())
@settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
def test_a_damaged_file_is_told_and_leaves_no_station(store, now, tmp_path_factory, data):
    """Bytes changed, cut or put in anywhere: a sentence, or a station that is whole."""
    folder = tmp_path_factory.mktemp("p")
    if not (store.path.parent / "once.zip").exists():
        packing.pack(store, store.path.parent / "once.zip")
    content = bytearray((store.path.parent / "once.zip").read_bytes())
    for _ in range(data.draw(st.integers(1, 8))):
        at = data.draw(st.integers(0, len(content) - 1))
        how = data.draw(st.sampled_from(["change", "cut", "put in"]))
        if how == "change":
            content[at] = data.draw(st.integers(0, 255))
        elif how == "cut":
            del content[at : at + data.draw(st.integers(1, 2000))]
            content = content or bytearray(b"x")
        else:
            content[at:at] = data.draw(st.binary(max_size=40))
    (folder / "p.zip").write_bytes(content)
    try:
        packing.unpack(folder / "p.zip", folder / "new", DATABASE, now)
    except CatalogueError:
        assert not (folder / "new" / DATABASE).exists()
    else:
        Store(folder / "new" / DATABASE).close()
