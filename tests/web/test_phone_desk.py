"""The phone desk, as its pages ask for it."""

from __future__ import annotations

import json
import re
from collections.abc import Callable

import pytest

from catalogue import callers, catalogue_rows, request_slips, undo, waiting, wants
from catalogue.request_slips import SlipState
from catalogue.store import Store

from .conftest import EVENING, Desk, Held


def _heard(desk: Desk, text: str, **more: object) -> str:
    answer = desk.send("/phone/heard", heard=text, **{"sheet": "sheet", "asked": "1", **more})
    assert answer.status_code == 200
    return answer.get_data(as_text=True)


def _rows(page: str) -> list[tuple[str, str, str]]:
    """(recording, copy, in place of) of every row that can be taken with Enter."""
    return re.findall(
        r'name="recording_id" value="(\d+)">\s*<input type="hidden" name="holding_id" '
        r'value="(\d*)">\s*<input type="hidden" name="stand_in_for" value="(\d*)">\s*'
        r'<button class="row take"',
        page,
    )


def test_looking_at_a_fresh_sheet_stores_nothing(phone: Desk, store: Store) -> None:
    assert "Fresh slip" in phone.get("/phone").get_data(as_text=True)
    assert store.rows("SELECT * FROM slips") == []


def test_a_misheard_request_is_found_and_each_row_names_its_record(phone: Desk, held: Held) -> None:
    page = _heard(phone, "lantern on the key by marcia herring")

    assert "Lantern on the Quay" in page
    assert "side 2, track 3" in page
    first = _rows(page)[0]
    assert first == (str(held.recordings["lantern"]), str(held.copies["lantern"]), "")
    assert 'data-number="1"' in page


def test_what_was_heard_is_kept_as_it_is_typed(phone: Desk, store: Store) -> None:
    _heard(phone, "lan")
    _heard(phone, "lantern on the key")
    _heard(phone, "long jetty", heard_artist="hector pike")

    kept = callers.of(store, 1)
    assert kept is not None
    assert (kept.heard, kept.heard_title, kept.heard_artist) == ("", "long jetty", "hector pike")
    assert len(request_slips.open_slips(store)) == 1


@pytest.mark.parametrize(
    "text",
    ["'", '"', "%", "_", "?", "!!!", "AND OR NOT", "SELECT * FROM slips;--", "🎵", "東京", "  ",
     "a" * 3000, "\x00", "* OR title:", "(((((", "\\", "ub40", "é"],
)  # fmt: skip
def test_any_text_gets_an_answer(phone: Desk, text: str) -> None:
    answer = phone.send("/phone/heard", sheet="s", heard=text)
    assert answer.status_code in (200, 400)
    assert "Traceback" not in answer.get_data(as_text=True)
    if len(text) <= 2000:
        assert answer.status_code == 200


def test_a_row_put_on_the_slip_is_that_row(phone: Desk, store: Store, held: Held) -> None:
    _heard(phone, "lantern on the quay")
    answer = phone.send(
        "/phone/choose", slip="1", recording_id=held.recordings["lantern"],
        holding_id=held.copies["lantern"],
    )  # fmt: skip

    slip = request_slips.get(store, 1)
    assert (slip.recording_id, slip.holding_id) == (
        held.recordings["lantern"], held.copies["lantern"],
    )  # fmt: skip
    assert "C 114" in answer.get_data(as_text=True)

    off = phone.send("/phone/unchoose", slip="1").get_data(as_text=True)
    assert "No record on the slip yet" in off
    assert request_slips.get(store, 1).recording_id is None


def test_what_is_on_loan_cannot_be_taken_with_enter_but_all_the_same(
    phone: Desk, held: Held
) -> None:
    page = _heard(phone, "lantern on the quay by the bargemen")
    takeable = {recording for recording, _, _ in _rows(page)}
    assert str(held.recordings["lantern too"]) not in takeable
    assert "on loan to the north studio" in page
    assert "all the same" in page


def test_what_is_not_held_brings_stand_ins_and_a_want(
    phone: Desk, store: Store, held: Held
) -> None:
    page = _heard(phone, "the long jetty hector pike")
    assert "known, but not held" in page
    rows = _rows(page)
    assert rows
    assert {instead for _, _, instead in rows} == {str(held.recordings["jetty"])}

    noted = phone.send(
        "/phone/want", title="The Long Jetty", artist="Hector Pike",
        recording_id=held.recordings["jetty"],
    )  # fmt: skip
    assert "On the list of wants" in noted.get_data(as_text=True)
    assert [want.title for want in wants.all_wants(store)] == ["The Long Jetty"]

    recording, copy, instead = rows[0]
    phone.send("/phone/choose", slip="1", recording_id=recording, holding_id=copy,
               stand_in_for=instead)  # fmt: skip
    assert "in place of “The Long Jetty”" in phone.get("/phone/slips/1").get_data(as_text=True)


def test_details_are_kept_and_consent_is_stamped(phone: Desk, store: Store) -> None:
    answer = phone.send(
        "/phone/details", sheet="s", caller_name="Maureen Tolley", consent="first name only",
        purpose="dedication", occasion="birthday", under_sixteen="", place_id="1",
    ).get_data(as_text=True)  # fmt: skip

    kept = callers.of(store, 1)
    assert kept is not None
    assert (kept.caller_name, kept.consent, kept.consent_noted_by) == (
        "Maureen Tolley", "first name only", "Alice",
    )  # fmt: skip
    slip = request_slips.get(store, 1)
    assert (slip.purpose, slip.occasion) == ("dedication", "birthday")
    assert "Noted 19:40, Alice: name." in answer


def test_two_things_written_at_once_on_a_fresh_sheet_are_one_slip(
    phone: Desk, store: Store
) -> None:
    phone.send("/phone/details", sheet="same", caller_name="Maureen")
    _heard(phone, "lantern", sheet="same")
    assert len(request_slips.open_slips(store)) == 1
    _heard(phone, "lantern", sheet="another")
    assert len(request_slips.open_slips(store)) == 2


def test_a_birth_date_is_cautioned_and_kept(phone: Desk, store: Store) -> None:
    answer = phone.send("/phone/details", sheet="s", why="born on 3/4/1946").get_data(as_text=True)
    assert "looks like a date of birth" in answer
    kept = callers.of(store, 1)
    assert kept is not None and kept.why == "born on 3/4/1946"


class TestTwoDesksOnOneSlip:
    def test_a_field_in_dispute_is_shown_and_the_others_are_kept(
        self, phone: Desk, sign_in: Callable[[str], Desk], store: Store
    ) -> None:
        phone.send("/phone/details", sheet="s", caller_name="Maureen")
        answer = sign_in("Bob").send(
            "/phone/details", slip="1", caller_name="Doreen", seen_caller_name="", why="a dance",
            seen_why="",
        )  # fmt: skip
        page = answer.get_data(as_text=True)
        assert answer.status_code == 200
        assert 'data-field="caller_name" data-theirs="Maureen"' in page
        assert (
            "Another desk wrote “Maureen” under “Caller, as they wish to be called” meanwhile."
            in page
        )
        assert "Keep mine" in page and "Take theirs" in page
        kept = callers.of(store, 1)
        assert kept is not None and (kept.caller_name, kept.why) == ("Maureen", "a dance")

    def test_a_choice_in_dispute_is_said_in_words(self, phone: Desk) -> None:
        phone.send("/phone/details", sheet="s", place_id="1", place_consent="no", may_hear="")
        page = phone.send(
            "/phone/details", slip="1", place_id="2", seen_place_id="", place_consent="yes",
            seen_place_consent="",
        ).get_data(as_text=True)  # fmt: skip
        assert "wrote “Saltings House” under “Where”" in page
        assert "wrote “No” under “Place on air?”" in page

    def test_what_the_other_desk_wrote_comes_with_the_answer(self, phone: Desk) -> None:
        phone.send("/phone/details", sheet="s", caller_name="Maureen O’Dea", occasion="birthday")
        page = phone.send("/phone/details", slip="1", why="x").get_data(as_text=True)
        newest = json.loads(re.search(r"data-values='([^']*)'", page)[1])  # type: ignore[index]
        assert newest["caller_name"] == "Maureen O’Dea"
        assert (newest["occasion"], newest["why"], newest["urgent"]) == ("birthday", "x", "")

    def test_handing_over_never_overwrites_what_was_not_seen(
        self, phone: Desk, store: Store
    ) -> None:
        phone.send("/phone/details", sheet="s", caller_name="Maureen", heard="lantern")
        answer = phone.send("/phone/hand-over", slip="1", studio="Studio 1", caller_name="Doreen",
                            seen_caller_name="")  # fmt: skip
        assert answer.status_code == 409
        assert request_slips.get(store, 1).state is SlipState.BEING_WRITTEN


@pytest.mark.parametrize(
    "form",
    [
        {"consent": "perhaps"}, {"place_id": "999"}, {"place_id": "one"}, {"purpose": "sale"},
        {"occasion": "a coup"}, {"why": "x" * 5000},
    ],
)  # fmt: skip
def test_bad_values_are_refused_in_a_sentence(
    phone: Desk, store: Store, form: dict[str, str]
) -> None:
    phone.send("/phone/details", sheet="s", caller_name="Maureen")
    answer = phone.send("/phone/details", slip="1", **form)
    assert answer.status_code == 400
    assert 'class="problem"' in answer.get_data(as_text=True)
    kept = callers.of(store, 1)
    assert kept is not None and kept.caller_name == "Maureen"


def test_handing_over_keeps_the_last_words_and_a_fresh_sheet_follows(
    phone: Desk, store: Store
) -> None:
    _heard(phone, "lantern")
    answer = phone.send("/phone/hand-over", slip="1", studio="Studio 2", caller_name="Maureen")

    assert answer.headers["HX-Redirect"] == "/phone/fresh"
    slip = request_slips.get(store, 1)
    assert (slip.state, slip.studio) == (SlipState.HANDED_OVER, "Studio 2")
    kept = callers.of(store, 1)
    assert kept is not None and kept.caller_name == "Maureen"
    page = phone.get("/phone/fresh").get_data(as_text=True)
    assert "Slip 1 is with Studio 2 since 19:40." in page
    assert "Call it back" in page


def test_a_slip_with_the_studio_is_not_written_on_until_called_back(
    phone: Desk, store: Store
) -> None:
    _heard(phone, "lantern")
    phone.send("/phone/hand-over", slip="1", studio="Studio 1")

    late = phone.send("/phone/details", slip="1", caller_name="Doreen")
    assert late.status_code == 400
    assert "Slip 1 is with Studio 1" in late.get_data(as_text=True)

    assert phone.send("/phone/call-back", slip="1").headers["HX-Redirect"] == "/phone/slips/1"
    assert phone.send("/phone/details", slip="1", caller_name="Doreen").status_code == 200


class TestHandingOverWithSomethingLacking:
    def test_an_empty_sheet_says_so_and_asks_once(self, phone: Desk, store: Store) -> None:
        page = phone.send("/phone/hand-over", sheet="s", studio="Studio 1").get_data(as_text=True)
        assert "Nothing is written on this slip" in page
        assert request_slips.open_slips(store) == []
        asked = re.search(r'name="all_the_same" value="([^"]+)"', page)
        assert asked
        phone.send("/phone/hand-over", sheet="s", studio="Studio 1", all_the_same=asked[1])
        assert [s.id for s in request_slips.queue(store, "Studio 1")] == [1]

    def test_a_request_that_names_nothing_asks_once(self, phone: Desk, store: Store) -> None:
        phone.send("/phone/details", sheet="s", caller_name="Maureen")
        page = phone.send("/phone/hand-over", slip="1", studio="Studio 1").get_data(as_text=True)
        assert "names no record, and nothing was heard" in page
        # What was agreed to for an empty slip is not agreed to for this one.
        phone.send("/phone/hand-over", slip="1", studio="Studio 1", all_the_same="nothing")
        assert request_slips.queue(store, "Studio 1") == []
        phone.send("/phone/hand-over", slip="1", studio="Studio 1", all_the_same="no record")
        assert [s.id for s in request_slips.queue(store, "Studio 1")] == [1]

    @pytest.mark.parametrize("purpose", ["request", "conversation"])
    def test_nothing_is_asked_where_nothing_is_lacking(
        self, phone: Desk, store: Store, purpose: str
    ) -> None:
        if purpose == "request":
            _heard(phone, "you choose")
        else:
            phone.send("/phone/details", sheet="s", caller_name="Stan", purpose=purpose)
        phone.send("/phone/hand-over", slip="1", studio="Studio 1")
        assert [s.id for s in request_slips.queue(store, "Studio 1")] == [1]


def test_the_studio_is_told_what_was_asked_for_where_no_record_was_agreed(
    phone: Desk, sign_in: Callable[[str], Desk]
) -> None:
    _heard(phone, "anything cheerful")
    phone.send("/phone/hand-over", slip="1", studio="Studio 1")
    page = sign_in("Bob").get("/studio").get_data(as_text=True)
    assert "Asked for, as heard" in page and "anything cheerful" in page


def test_a_slip_with_nothing_on_it_is_used_again(phone: Desk, store: Store) -> None:
    phone.send("/phone/details", sheet="s", purpose="competition")
    for _ in range(2):
        assert phone.get("/phone/fresh").headers["Location"] == "/phone/slips/1"
    phone.send("/phone/details", slip="1", caller_name="Maureen")
    assert "Fresh slip" in phone.get("/phone/fresh").get_data(as_text=True)


def test_a_want_knows_the_slip_and_the_place_and_no_caller(phone: Desk, store: Store) -> None:
    phone.send("/phone/details", sheet="s", caller_name="Maureen", place_id="1")
    for _ in range(2):
        phone.send("/phone/want", slip="1", title="Ebb", artist="Bo")
    (want,) = wants.all_wants(store)
    assert want.times == 1
    assert [ask.place for ask in wants.asks(store, [want.id])] == ["Saltings House"]
    assert waiting.of(store, [want.id]) == [1]


@pytest.mark.parametrize(
    ("typed", "said"),
    [("q", "a few letters more"), ("q ", "a few letters more"), ("😀", "no letters in that")],
)
def test_nothing_is_said_to_be_missing_before_there_is_something_to_judge(
    phone: Desk, typed: str, said: str
) -> None:
    page = _heard(phone, typed)
    assert said in page
    assert "cannot find" not in page


def test_an_unknown_studio_is_refused_and_the_slip_stays(phone: Desk, store: Store) -> None:
    _heard(phone, "lantern")
    assert phone.send("/phone/hand-over", slip="1", studio="The moon").status_code == 400
    assert request_slips.get(store, 1).state is SlipState.BEING_WRITTEN


def test_a_withdrawn_slip_is_gone_from_the_strip(phone: Desk, store: Store) -> None:
    phone.send("/phone/details", sheet="s", caller_name="Maureen")
    assert "1: Maureen" in phone.get("/phone/strip").get_data(as_text=True)
    phone.send("/phone/withdraw", slip="1")
    assert "1: Maureen" not in phone.get("/phone/strip").get_data(as_text=True)


def test_a_slip_withdrawn_by_mistake_is_taken_up_again(phone: Desk, store: Store) -> None:
    phone.send("/phone/details", sheet="s", caller_name="Maureen")
    phone.send("/phone/withdraw", slip="1")
    page = phone.get("/phone/fresh").get_data(as_text=True)
    assert "Slip 1 was withdrawn, 19:40." in page
    assert "Take it up again" in page and "/phone/take-up-again" in page
    again = phone.send("/phone/take-up-again", slip="1")
    assert again.headers["HX-Redirect"] == "/phone/slips/1"
    assert 'value="Maureen"' in phone.get("/phone/slips/1").get_data(as_text=True)
    assert phone.send("/phone/details", slip="1", why="a dance").status_code == 200


def test_every_slip_can_be_reached_however_many_there_are(phone: Desk) -> None:
    for number in range(10):
        phone.send("/phone/details", sheet=f"s{number}", caller_name=f"Caller {number}")
    page = phone.get("/phone/strip?slip=9").get_data(as_text=True)
    assert {int(n) for n in re.findall(r'href="/phone/slips/(\d+)"', page)} == set(range(1, 11))
    assert "and 3 more" in page
    assert page.index("9: Caller 8") < page.index("and 3 more") < page.index("7: Caller 6")


def test_the_strip_is_silent_while_nothing_changed(phone: Desk) -> None:
    phone.send("/phone/details", sheet="s", caller_name="Maureen")
    page = phone.get("/phone/strip").get_data(as_text=True)
    number = re.search(r"since=(\d+)", page)
    assert number
    assert phone.get(f"/phone/strip?since={number.group(1)}").status_code == 204
    assert phone.get("/phone/strip?since=nonsense").status_code == 200


def test_an_open_slip_comes_back_with_its_answer(phone: Desk) -> None:
    _heard(phone, "lantern on the key")
    assert phone.get("/phone").headers["Location"] == "/phone/slips/1"
    page = phone.get("/phone/slips/1").get_data(as_text=True)
    assert 'value="lantern on the key"' in page
    assert "Lantern on the Quay" in page


def test_two_desks_do_not_land_on_one_slip(phone: Desk, sign_in: Callable[[str], Desk]) -> None:
    _heard(phone, "lantern")
    page = sign_in("Bob").get("/phone").get_data(as_text=True)
    assert "Fresh slip" in page
    assert "1: “lantern”" in page


def test_details_that_were_erased_say_so(
    sign_in: Callable[[str], Desk], store: Store, clock
) -> None:
    phone = sign_in("Alice")
    phone.send("/phone/details", sheet="s", caller_name="Maureen")
    clock.on(days=30)
    phone = sign_in("Alice")  # nobody stays signed in so long
    callers.erase_due(store, clock())

    answer = phone.send("/phone/details", slip="1", caller_name="Maureen")
    assert answer.status_code == 404
    assert "erased" in answer.get_data(as_text=True)
    page = phone.get("/phone/slips/1")
    assert page.status_code == 200
    assert "Maureen" not in page.get_data(as_text=True)


def test_a_word_of_warning_is_shown_on_the_slip_and_in_the_studio(
    phone: Desk, sign_in: Callable[[str], Desk], store: Store, held: Held
) -> None:
    with undo.action(store, "Charlie", "retitled", EVENING):
        catalogue_rows.change_recording(
            store, held.recordings["heron"], title="The Day the Heron Died"
        )
    phone.send("/phone/details", sheet="s", caller_name="Stan")
    chosen = phone.send(
        "/phone/choose", slip="1", recording_id=held.recordings["heron"],
        holding_id=held.copies["heron"],
    )  # fmt: skip
    assert "Take care: “died” is in the title." in chosen.get_data(as_text=True)
    phone.send("/phone/hand-over", slip="1", studio="Studio 1")
    assert "Take care: “died”" in sign_in("Bob").get("/studio").get_data(as_text=True)
