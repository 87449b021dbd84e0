"""Recordings of callers: kept whole or not at all, and gone with the details."""

import io
from datetime import timedelta

import pytest

from catalogue import call_recordings, callers, request_slips
from catalogue.errors import BadInput, NotFound

VOICE = b"good evening this is the caller" * 2000


@pytest.fixture
def slip(store, now):
    return request_slips.start(store, "dedication", "Kit", now)


def _attach(store, slip, content=VOICE):
    name = call_recordings.new_name(".MP3")
    call_recordings.keep(store, name, io.BytesIO(content), len(content))
    callers.attach(store, slip, name, 61.5)
    return name


def test_a_recording_is_kept_and_named_on_its_slip(store, now, slip):
    name = _attach(store, slip)
    details = callers.of(store, slip)
    assert (details.recording_file, details.recording_length_s) == (name, 61.5)
    path = call_recordings.path_of(store, name)
    assert path.read_bytes() == VOICE
    assert path.suffix == ".mp3"


def test_another_recording_takes_the_place_of_the_first(store, now, slip):
    first, second = _attach(store, slip), _attach(store, slip)
    assert [p.name for p in call_recordings.folder(store).iterdir()] == [second] != [first]
    callers.attach(store, slip, "", None)
    assert list(call_recordings.folder(store).iterdir()) == []


@pytest.mark.parametrize("erase", ["in time", "at once"])
def test_the_bytes_are_gone_with_the_details(store, now, slip, erase):
    other = request_slips.start(store, "dedication", "Kit", now + timedelta(days=9))
    kept = _attach(store, other, b"somebody else")
    path = call_recordings.path_of(store, _attach(store, slip))
    same_file = path.open("rb")  # on a drive that is read byte by byte the old blocks are these
    callers.write(store, slip, {"first_words": "Good evening from the ferry"}, "Kit", now)

    if erase == "at once":
        callers.erase_now(store, slip, now)
    else:
        callers.erase_due(store, now.replace(month=12, day=5))

    assert not path.exists()
    assert set(same_file.read()) <= {0}
    same_file.close()
    left = [p.name for p in call_recordings.folder(store).iterdir()]
    assert left == [kept]
    held = b"".join(p.read_bytes() for p in store.path.parent.rglob("*") if p.is_file())
    assert VOICE[:31] not in held and b"from the ferry" not in held


def test_a_recording_that_broke_off_is_not_kept(store, slip):
    for content, length in ((b"half", 8), (b"", 0)):
        with pytest.raises(BadInput, match="whole"):
            call_recordings.keep(store, "a.mp3", io.BytesIO(content), length)
    with pytest.raises(BadInput, match="larger"):
        call_recordings.keep(store, "a.mp3", io.BytesIO(b""), call_recordings.LARGEST_BYTES + 1)
    folder = call_recordings.folder(store)
    assert not folder.exists() or list(folder.iterdir()) == []


@pytest.mark.parametrize("name", ["", "../asheard.db", "nobody.mp3", "/etc/passwd"])
def test_only_what_lies_in_the_folder_is_found(store, name):
    with pytest.raises(NotFound):
        call_recordings.path_of(store, name)


def test_who_may_hear_it_is_from_the_list(store, now, slip):
    callers.write(store, slip, {"may_hear": "presenter"}, "Kit", now)
    with pytest.raises(BadInput, match="list"):
        callers.write(store, slip, {"may_hear": "the whole town"}, "Kit", now)
    with pytest.raises(BadInput):
        callers.write(store, slip, {"recording_file": "/etc/passwd"}, "Kit", now)
