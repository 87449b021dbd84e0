"""More than the slip: several records, a caller on hold, refusals, why, listening, recordings."""

from __future__ import annotations

import io
import math
import re
import struct
import wave
from collections.abc import Callable
from pathlib import Path

import pytest

from catalogue import (
    call_recordings,
    callers,
    calls,
    catalogue_rows,
    desks,
    request_slips,
    roots,
    undo,
)
from catalogue.request_slips import SlipState
from catalogue.store import Store

from .conftest import EVENING, PASSPHRASE, Desk, Held


def _sound(seconds: float = 1.0) -> bytes:
    """A quiet tone as a WAV file, made here."""
    file = io.BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(8000)
        frames = (int(3000 * math.sin(n / 3)) for n in range(int(8000 * seconds)))
        out.writeframes(b"".join(struct.pack("<h", frame) for frame in frames))
    return file.getvalue()


def _upload(desk: Desk, slip: object, content: bytes, name: str = "caller.wav"):
    return desk.client.post(
        f"/phone/recording?slip={slip}",
        data=content,
        headers={"X-CSRFToken": desk.token(), "HX-Request": "true", "X-File-Name": name},
        content_type="application/octet-stream",
    )


class TestSeveralRecords:
    def test_another_record_keeps_the_caller_and_begins_blank(
        self, phone: Desk, store: Store
    ) -> None:
        phone.send("/phone/heard", sheet="s", heard="lantern on the key")
        answer = phone.send("/phone/another", slip="1", caller_name="Maureen", consent="yes")

        assert answer.headers["HX-Redirect"] == "/phone/slips/2"
        page = phone.get("/phone/slips/2").get_data(as_text=True)
        assert 'value="Maureen"' in page
        assert "Same caller as slip 1" in page
        assert 'value="lantern on the key"' not in page

    def test_both_are_handed_over_and_called_back_together(
        self, phone: Desk, store: Store, held: Held
    ) -> None:
        phone.send("/phone/details", sheet="s", caller_name="Maureen")
        phone.send("/phone/another", slip="1")
        phone.send("/phone/choose", slip="2", recording_id=held.recordings["waltz"],
                   holding_id=held.copies["waltz"])  # fmt: skip
        phone.send("/phone/hand-over", slip="2", studio="Studio 1", all_the_same="no record")
        assert [s.id for s in request_slips.queue(store, "Studio 1")] == [1, 2]
        phone.send("/phone/call-back", slip="1")
        assert [s.id for s in request_slips.open_slips(store)] == [1, 2]

    def test_consent_withdrawn_on_one_is_withdrawn_on_all(self, phone: Desk, store: Store) -> None:
        phone.send("/phone/details", sheet="s", caller_name="Maureen", consent="yes")
        phone.send("/phone/another", slip="1")
        phone.send("/phone/details", slip="2", consent="no", seen_consent="yes")
        first = callers.of(store, 1)
        assert first is not None and first.consent == "no"

    def test_a_blank_sheet_has_no_caller_to_go_on_with(self, phone: Desk) -> None:
        answer = phone.send("/phone/another", sheet="s")
        assert answer.status_code == 400
        assert "Nothing is written" in answer.get_data(as_text=True)


def test_a_caller_on_hold_is_seen_with_the_time_waited(phone: Desk, store: Store, clock) -> None:
    phone.send("/phone/details", sheet="s", caller_name="Maureen")
    held = phone.send("/phone/hold", slip="1").get_data(as_text=True)
    assert "on hold for under a minute" in held
    page = phone.get("/phone/strip").get_data(as_text=True)
    known = re.search(r"since=(\d+)&amp;minute=(\d+)", page)
    assert known
    address = f"/phone/strip?since={known[1]}&minute={known[2]}"
    assert phone.get(address).status_code == 204
    clock.on(minutes=3)
    assert "1: Maureen, on hold for 3 minutes" in phone.get(address).get_data(as_text=True)

    assert "Off hold" not in phone.send("/phone/hold", slip="1").get_data(as_text=True)
    assert request_slips.get(store, 1).hold_since is None


def test_the_time_waited_grows_on_the_slip_itself(phone: Desk, clock) -> None:
    phone.send("/phone/details", sheet="s", caller_name="Maureen")
    phone.send("/phone/hold", slip="1")
    clock.on(minutes=2)
    page = phone.get("/phone/strip?slip=1").get_data(as_text=True)
    assert '<span hx-swap-oob="innerHTML:#hold-waits">on hold for 2 minutes</span>' in page


def test_urgent_is_said_to_the_studio_in_words(
    phone: Desk, sign_in: Callable[[str], Desk], store: Store
) -> None:
    phone.send("/phone/details", sheet="s", caller_name="Maureen", urgent="yes")
    assert request_slips.get(store, 1).urgent
    phone.send("/phone/hand-over", slip="1", studio="Studio 1", urgent="yes",
               all_the_same="no record")  # fmt: skip
    page = sign_in("Bob").get("/studio").get_data(as_text=True)
    assert "Slip 1 is urgent." in page
    assert ">Urgent</strong>" in page


def test_what_was_turned_down_is_not_offered_again_in_this_call(
    phone: Desk, store: Store, held: Held
) -> None:
    words = "the long jetty hector pike"

    def offered(page: str) -> list[str]:
        return re.findall(r'stand_in_for" value="\d+">\s*<button class="row take".*?'
                          r'class="title">([^<]+)<', page, re.DOTALL)  # fmt: skip

    before = offered(phone.send("/phone/heard", sheet="s", heard=words).get_data(as_text=True))
    assert before
    title = {v: k for k, v in held.recordings.items()}
    recording = next(i for i in title if catalogue_rows.recording(store, i).title == before[0])
    again = phone.send("/phone/turn-down", slip="1", recording_id=recording, heard=words)
    assert before[0] not in offered(again.get_data(as_text=True))
    assert "1 turned down in this call" in again.get_data(as_text=True)
    phone.send("/phone/another", slip="1")
    other = phone.send("/phone/heard", slip="2", heard=words).get_data(as_text=True)
    assert before[0] not in offered(other)
    back = phone.send("/phone/offer-again", slip="2", heard=words).get_data(as_text=True)
    assert before[0] in offered(back)


def test_a_request_that_names_no_record_goes_to_suggestions_with_questions(phone: Desk) -> None:
    page = phone.send("/phone/heard", sheet="s", heard="you choose").get_data(as_text=True)
    assert "Offer one of these" in page
    assert "Ask the caller" in page
    assert page.index("Ask the caller") < page.index("Offer one of these")
    assert 'class="row take" data-row="1"' in page


def test_what_agrees_is_marked_in_the_row(phone: Desk) -> None:
    page = phone.send("/phone/heard", sheet="s", heard="lantern on the key marcia herring")
    marks = re.findall("<mark>([^<]+)</mark>", page.get_data(as_text=True))
    assert any("Lantern" in mark for mark in marks)


def test_other_versions_lie_folded_under_the_row_and_can_be_taken(
    phone: Desk, store: Store, held: Held
) -> None:
    with undo.action(store, "Charlie", "took in a live one", EVENING):
        from catalogue.records import NewHolding, NewRecording

        live = catalogue_rows.add_recording(
            store, NewRecording("Lantern on the Quay", "Marsha Herron", version="live", year=1975)
        )
        copy = catalogue_rows.add_holding(store, NewHolding(live, path="music/live.flac"))
    page = phone.send("/phone/heard", sheet="s", heard="lantern on the quay marsha herron")
    text = page.get_data(as_text=True)
    fold = text[text.index('<details class="versions">') :]
    taken = re.search(r'recording_id" value="(\d+)">\s*<input type="hidden" name="holding_id" '
                      r'value="(\d+)"', fold)  # fmt: skip
    assert taken
    assert phone.send("/phone/choose", slip="1", recording_id=taken[1], holding_id=taken[2])
    assert request_slips.get(store, 1).recording_id in (live, held.recordings["lantern"])
    assert copy


def test_why_is_told_when_asked(phone: Desk) -> None:
    page = phone.send("/phone/why", heard="lantern on the key").get_data(as_text=True)
    assert "Its sounds" in page
    assert "lantern on the quay" in page.lower()
    assert re.search(r"<td>[+-]\d", page)
    assert phone.send("/phone/why", heard="").status_code == 400


class TestListening:
    @pytest.fixture
    def file(self, store: Store, held: Held, tmp_path: Path) -> bytes:
        path = tmp_path / "waltz.wav"
        path.write_bytes(_sound())
        with undo.action(store, "Charlie", "moved the waltz", EVENING):
            catalogue_rows.change_holding(store, held.copies["waltz"], path=str(path))
        roots.add(store, str(tmp_path), "Charlie", EVENING)
        return path.read_bytes()

    def test_a_file_is_played_in_parts(self, phone: Desk, held: Held, file: bytes) -> None:
        address = f"/phone/listen/{held.copies['waltz']}"
        whole = phone.get(address)
        assert (whole.status_code, whole.data) == (200, file)
        assert whole.headers["Content-Type"].startswith("audio/")
        part = phone.get(address, headers={"Range": "bytes=10-19"})
        assert (part.status_code, part.data) == (206, file[10:20])
        assert part.headers["Content-Range"] == f"bytes 10-19/{len(file)}"

    def test_only_held_sound_files_are_served(
        self, phone: Desk, store: Store, held: Held, tmp_path: Path
    ) -> None:
        secret = tmp_path / "secret.txt"
        secret.write_text("not for ears")
        with undo.action(store, "Charlie", "a wrong path", EVENING):
            catalogue_rows.change_holding(store, held.copies["waltz"], path=str(secret))
        for copy in (held.copies["waltz"], held.copies["lantern"], 999):
            answer = phone.get(f"/phone/listen/{copy}")
            assert answer.status_code == 404
            assert b"not for ears" not in answer.data

    def test_a_file_that_is_gone_is_told(self, phone: Desk, held: Held) -> None:
        answer = phone.get(f"/phone/listen/{held.copies['waltz']}")
        assert answer.status_code == 404
        assert "no file to listen to" in answer.get_data(as_text=True)

    def test_there_is_no_listening_until_headphones_are_chosen(
        self, phone: Desk, store: Store
    ) -> None:
        def page() -> str:
            return phone.send("/phone/heard", sheet="s", heard="quay street waltz").get_data(
                as_text=True
            )

        assert "data-sound" not in page()
        assert "Listen is off at this desk until headphones are chosen" in page()
        phone.send("/desk", page=True, name="Phone desk", headphones="yes")
        assert "data-sound" in page()
        assert "Listen is off" not in page()
        cookie = phone.client.get_cookie("asheard_desk")
        assert cookie is not None and cookie.http_only
        assert desks.of(store, cookie.value) == desks.Desk("Phone desk", True)


class TestRecordedBeforehand:
    def test_a_recording_is_attached_with_its_length(self, phone: Desk, store: Store) -> None:
        phone.send("/phone/details", sheet="s", caller_name="Maureen", how_on_air="recorded")
        answer = _upload(phone, 1, _sound(2.5))
        assert answer.status_code == 200
        assert "The recording is attached." in answer.get_data(as_text=True)
        details = callers.of(store, 1)
        assert details is not None and details.recording_length_s == 2.5
        assert phone.get("/phone/recordings/1").data == _sound(2.5)

    def test_one_larger_than_a_form_is_taken(self, phone: Desk, store: Store) -> None:
        phone.send("/phone/details", sheet="s", caller_name="Maureen")
        content = _sound(30)
        assert len(content) > 400_000
        assert _upload(phone, 1, content).status_code == 200
        assert phone.send("/phone/details", slip="1", why="x" * 300_000).status_code == 413

    @pytest.mark.parametrize(
        ("content", "name"),
        [(b"not sound", "caller.wav"), (b"MZ", "caller.exe"), (b"", "caller.wav"), (b"x", "")],
    )
    def test_what_is_no_sound_is_refused_and_not_kept(
        self, phone: Desk, store: Store, content: bytes, name: str
    ) -> None:
        phone.send("/phone/details", sheet="s", caller_name="Maureen")
        answer = _upload(phone, 1, content, name)
        assert answer.status_code == 400
        assert 'class="problem"' in answer.get_data(as_text=True)
        folder = call_recordings.folder(store)
        assert not folder.exists() or list(folder.iterdir()) == []

    def test_it_needs_a_slip_that_is_being_written(self, phone: Desk) -> None:
        assert _upload(phone, "", _sound()).status_code == 400
        assert _upload(phone, 99, _sound()).status_code == 404

    def test_the_studio_hears_it_only_if_it_may(
        self, phone: Desk, studio: Desk, store: Store
    ) -> None:
        phone.send("/phone/details", sheet="s", caller_name="Maureen", first_words="Good evening",
                   last_words="and thank you", how_on_air="recorded")  # fmt: skip
        _upload(phone, 1, _sound())
        phone.send("/phone/hand-over", slip="1", studio="Studio 1", all_the_same="no record")
        page = studio.get("/studio").get_data(as_text=True)
        assert "from “Good evening” · to “and thank you”" in page
        assert "not said yet" in page
        assert studio.get("/studio/recordings/1").status_code == 403

        phone.send("/phone/call-back", slip="1")
        phone.send("/phone/details", slip="1", may_hear="presenter")
        phone.send("/phone/hand-over", slip="1", studio="Studio 1", all_the_same="no record")
        assert studio.get("/studio/recordings/1").data == _sound()

    def test_it_is_erased_with_the_details(self, phone: Desk, store: Store, clock) -> None:
        phone.send("/phone/details", sheet="s", caller_name="Maureen")
        _upload(phone, 1, _sound())
        clock.on(days=30)
        callers.erase_due(store, clock())
        assert list(call_recordings.folder(store).iterdir()) == []
        phone.send("/sign-in", page=True, name="Alice", passphrase=PASSPHRASE)
        assert phone.get("/phone/recordings/1").status_code == 404

    def test_it_can_be_erased_by_hand(self, phone: Desk, store: Store) -> None:
        phone.send("/phone/details", sheet="s", caller_name="Maureen")
        _upload(phone, 1, _sound())
        page = phone.send("/phone/recording/remove", slip="1").get_data(as_text=True)
        assert "The recording’s file" in page
        assert list(call_recordings.folder(store).iterdir()) == []


def test_a_stations_own_kinds_are_on_the_slip(phone: Desk, store: Store) -> None:
    from catalogue import settings

    settings.put(store, "own_kinds", "Quiz night", "Dora", EVENING)
    phone.send("/phone/details", sheet="s", purpose="Quiz night", caller_name="Stan")
    assert request_slips.get(store, 1).purpose == "Quiz night"
    page = phone.get("/phone/slips/1").get_data(as_text=True)
    assert '<option value="Quiz night" selected>' in page
    phone.send("/phone/hand-over", slip="1", studio="Studio 1", all_the_same="no record")
    assert request_slips.get(store, 1).state is SlipState.HANDED_OVER


def test_another_desk_can_finish_a_slip(
    phone: Desk, sign_in: Callable[[str], Desk], store: Store
) -> None:
    phone.send("/phone/details", sheet="s", caller_name="Maureen")
    other = sign_in("Bob")
    other.send("/phone/details", slip="1", why="a dance", seen_why="")
    other.send("/phone/hand-over", slip="1", studio="Studio 2", all_the_same="no record")
    details = callers.of(store, 1)
    assert details is not None and (details.caller_name, details.why) == ("Maureen", "a dance")
    assert request_slips.get(store, 1).studio == "Studio 2"
    assert calls.slips_of(store, request_slips.get(store, 1))[0].id == 1
