"""Which role may open what: one table with every endpoint, and the guard that reads it.

An endpoint that is not in the table is refused, so that a new page cannot be open by mistake.
What a role may do is said in `catalogue/staff.py`.
"""

from __future__ import annotations

import logging

from flask import Flask, Response, redirect, request, session, url_for
from flask_login import current_user

from catalogue import staff
from catalogue.errors import NotAllowed
from web import signed_in
from web.station import asked_by_htmx
from web.texts import t

log = logging.getLogger("asheard.sign_in")

ANYONE = "anyone"
SIGNED_IN = "signed in"

ACCESS: dict[str, str] = {
    "static": ANYONE,
    "live.alive": ANYONE,
    "sign_in.page": ANYONE,
    "sign_in.enter": ANYONE,
    "sign_in.by_pin": ANYONE,
    "sign_in.leave": SIGNED_IN,
    "trust.page": ANYONE,
    "trust.certificate": ANYONE,
    "own.page": SIGNED_IN,
    "own.new_passphrase": SIGNED_IN,
    "own.set_pin": SIGNED_IN,
    "own.forget_pin": SIGNED_IN,
    "own.sign_out_elsewhere": SIGNED_IN,
    "home.page": SIGNED_IN,
    "phone_desk.page": "phone",
    "phone_desk.fresh": "phone",
    "phone_desk.slip": "phone",
    "phone_desk.strip": "phone",
    "phone_desk.heard": "phone",
    "phone_desk.details": "phone",
    "phone_desk.choose": "phone",
    "phone_desk.unchoose": "phone",
    "phone_desk.want": "phone",
    "phone_desk.hand_over": "phone",
    "phone_desk.call_back": "phone",
    "phone_desk.withdraw": "phone",
    "phone_call.another": "phone",
    "phone_call.take_up_again": "phone",
    "phone_call.hold": "phone",
    "phone_call.turn_down": "phone",
    "phone_call.offer_again": "phone",
    "phone_call.why": "phone",
    "phone_call.listen": "phone",
    "phone_call.attach_recording": "phone",
    "phone_call.remove_recording": "phone",
    "phone_call.recording": "phone",
    "phone_when.ask_for": "phone",
    "phone_others.others": "phone",
    "this_desk.page": SIGNED_IN,
    "this_desk.set_up": SIGNED_IN,
    "this_desk.folders": "settings",
    "shared_desks.share": SIGNED_IN,
    "shared_desks.end": SIGNED_IN,
    "shared_desks.page": "settings",
    "shared_desks.revoke": "settings",
    "studio.page": "studio",
    "studio.queue": "studio",
    "studio.played": "studio",
    "studio.not_used": "studio",
    "studio.take_back": "studio",
    "studio_steps.take": "studio",
    "studio_steps.on_air": "studio",
    "studio_steps.wait_again": "studio",
    "studio_steps.move": "studio",
    "studio_steps.send_back": "studio",
    "studio_steps.recording": "studio",
    "studio_lists.xspf": "studio",
    "studio_lists.m3u": "studio",
    "studio_lists.printed": "studio",
    "shelves.page": "shelves",
    "shelves.recording": "shelves",
    "shelves.correct": "edit catalogue",
    "shelves.new_recording": "edit catalogue",
    "shelves.add_recording": "edit catalogue",
    "shelves.add_holding": "edit catalogue",
    "shelves.lend": "edit catalogue",
    "shelves.bring_back": "edit catalogue",
    "record_more.names": "shelves",
    "record_more.add_name": "edit catalogue",
    "record_more.correct_name": "edit catalogue",
    "record_more.history": "shelves",
    "several.page": "edit catalogue",
    "several.look": "edit catalogue",
    "several.do": "edit catalogue",
    "several.job": "edit catalogue",
    "several.progress": "edit catalogue",
    "several.stop": "edit catalogue",
    "disc_sheet.sheet": "edit catalogue",
    "disc_sheet.add": "edit catalogue",
    "disc_sheet.look": "shelves",
    "disc_sheet.disc": "shelves",
    "disc_sheet.correct": "edit catalogue",
    "disc_sheet.tracks": "edit catalogue",
    "disc_sheet.add_tracks": "edit catalogue",
    "boxes.page": "shelves",
    "boxes.begin": "edit catalogue",
    "boxes.box": "shelves",
    "boxes.rows": "shelves",
    "boxes.add": "edit catalogue",
    "boxes.decide": "edit catalogue",
    "boxes.take_back": "edit catalogue",
    "boxes.shelve": "edit catalogue",
    "boxes.donor": "edit catalogue",
    "boxes.done": "edit catalogue",
    "boxes.printed": "shelves",
    "loan_desk.page": "shelves",
    "loan_desk.home": "shelves",
    "loan_desk.lend": "edit catalogue",
    "stock_take.page": "shelves",
    "stock_take.start": "shelves",
    "stock_take.walk": "shelves",
    "stock_take.since": "shelves",
    "stock_take.seen": "shelves",
    "stock_take.not_seen": "shelves",
    "stock_take.about": "shelves",
    "stock_take.come_to": "shelves",
    "stock_take.report": "shelves",
    # Whoever helps may walk and tick; what the walk changes is the librarian's.
    "stock_take.finish": "edit catalogue",
    "stock_take.give_up": "edit catalogue",
    "places_page.page": "shelves",
    "places_page.add": "edit catalogue",
    "places_page.change": "edit catalogue",
    "places_page.join": "edit catalogue",
    "places_page.use": "edit catalogue",
    "shelf_labels.page": "shelves",
    "shelf_labels.make": "shelves",
    "shelf_filing.page": "shelves",
    "shelf_filing.keep": "edit catalogue",
    "shelf_filing.forget": "edit catalogue",
    "fetching.page": "shelves",
    "fetching.to_fetch": "shelves",
    "fetching.send_back": "shelves",
    "fetching.missing": "shelves",
    "doubles.page": "shelves",
    "doubles.search": "edit catalogue",
    "doubles.searched": "shelves",
    "doubles.together": "shelves",
    "doubles.pair": "shelves",
    "doubles.judge": "edit catalogue",
    "doubles.discs": "shelves",
    "doubles.judge_discs": "edit catalogue",
    "doubles.judged_list": "shelves",
    "doubles.undo_judgement": "edit catalogue",
    "doubles.listen": "shelves",
    "gaps.page": "shelves",
    "gaps.kind": "shelves",
    "gaps.lacking": "shelves",
    "gaps.want_list": "shelves",
    "gaps.fair": "shelves",
    "gaps.donor": "shelves",
    "gaps.compare": "shelves",
    "gaps.put": "edit catalogue",
    "gaps.close": "edit catalogue",
    "gaps.is_not": "edit catalogue",
    "gaps.found": "edit catalogue",
    "gaps.mended": "edit catalogue",
    "shelf_look.page": "shelves",
    "shelf_look.found": "shelves",
    "shelf_look.not_there": "shelves",
    "shelf_look.all_listed": "edit catalogue",
    "shelf_work.actions": "shelves",
    "shelf_work.take_back": "edit catalogue",
    "shelf_work.lessons": "shelves",
    "shelf_work.unlearn": "edit catalogue",
    "stand_in_work.page": "shelves",
    "stand_in_work.forget": "edit catalogue",
    "stand_in_work.forget_all": "edit catalogue",
    "taking_in.page": "shelves",
    "taking_in.give_list": "edit catalogue",
    "taking_in.list_columns": "edit catalogue",
    "taking_in.take_list": "edit catalogue",
    "taking_in.throw_away": "edit catalogue",
    "taking_in.take_folder": "edit catalogue",
    "taking_in.measure": "edit catalogue",
    "taking_in.report": "shelves",
    "taking_in.progress": "shelves",
    "taking_in.stop": "edit catalogue",
    "taking_in.go_on": "edit catalogue",
    "taking_in.take_back": "edit catalogue",
    "taking_in.whole_report": "shelves",
    "taking_in.to_mend": "shelves",
    "taking_in_looks.page": "shelves",
    "taking_in_looks.look": "edit catalogue",
    "round.page": "phone",
    "round.fresh": "phone",
    "round.row": "phone",
    "round.choose": "phone",
    "round.unchoose": "phone",
    "round.remove": "phone",
    "round.hand_over": "phone",
    "round.blank": "phone",
    "programme.page": "shelves",
    "programme.one": "shelves",
    "programme.printed": "shelves",
    "programme.fetch": "shelves",
    "programme.fetched": "shelves",
    "programme.away": "shelves",
    "programme.put_away": "shelves",
    "programme.scanned_home": "shelves",
    "programme.move": "programme",
    "programme.put_in": "programme",
    "programme.take_out": "programme",
    "programme.played": "programme",
    "programme.take_back": "programme",
    # The slips on these name who asked.
    "programme.waiting": "see callers",
    "programme.carry_over": "see callers",
    "programme.not_used": "see callers",
    "played.page": "shelves",
    "played.one": "programme",
    "played.by_hand": "programme",
    "played.correct": "programme",
    "played.strike": "programme",
    "played.usage": "shelves",
    "played.usage_csv": "shelves",
    "figures.page": "shelves",
    "figures.csv": "shelves",
    "paper.page": "shelves",
    "paper.refresh_now": "shelves",
    "paper.a_to_z": "shelves",
    "paper.blank_slip": "shelves",
    "keeper.page": "settings",
    "keeper.keep": "settings",
    "keeper.programme_list": "settings",
    "keeper.add_programme": "settings",
    "keeper.take_back": "settings",
    "keeping.health_page": "settings",
    "keeping.look_at_everything": "settings",
    "keeping.log": "settings",
    "keeping.held_page": "settings",
    "keeping.held": "settings",
    "keeping.forget": "settings",
    "keeping.changes": "settings",
    "keeping.paper_list": "settings",
    "keeping.one_paper": "settings",
    "keeper_lists.place_list": "settings",
    "keeper_lists.add_place": "settings",
    "keeper_lists.change_place": "settings",
    "keeper_lists.use_place": "settings",
    "keeper_lists.people_list": "settings",
    "keeper_lists.add_person": "settings",
    "keeper_lists.new_passphrase": "settings",
    "keeper_lists.let_in": "settings",
    "keeper_lists.change_role": "settings",
    "keeper_lists.sign_out": "settings",
}
"""Endpoint -> who may use it: anyone, whoever is signed in, or an act of `staff.may`."""

DESKS = (
    ("phone", "phone_desk.page", "desk.phone"),
    ("phone", "round.page", "desk.round"),
    ("studio", "studio.page", "desk.studio"),
    ("shelves", "shelves.page", "desk.shelves"),
    ("shelves", "programme.page", "desk.programme"),
    ("settings", "keeper.page", "desk.station"),
)
"""Act, endpoint and words of each desk, in the order of a call."""


WITH_ONE_TIME_PASSPHRASE = frozenset({"own.page", "own.new_passphrase", "sign_in.leave"})
"""What is open to somebody who has not chosen a passphrase of their own yet, beside the door."""


def may(act: str) -> bool:
    """Whether the person at the desk may do this, as they came in."""
    if not current_user.is_authenticated or current_user.must_choose:
        return False
    if current_user.by_pin and act in staff.NEEDS_PASSPHRASE:
        return False
    return staff.may(current_user.role, act)


def shared_desk() -> str:
    """The name of this desk if several people use it by PIN, else empty."""
    here = signed_in.browser()
    return here.shared_as if here else ""


def role() -> str:
    """The role of the person at the desk, empty if nobody is."""
    return str(current_user.role) if current_user.is_authenticated else ""


def desks() -> list[tuple[str, str]]:
    """Endpoint and words of the desks this person may use."""
    return [(endpoint, t(words)) for act, endpoint, words in DESKS if may(act)]


def guard() -> Response | None:
    """Refuse what the table does not allow; runs before every request."""
    endpoint = request.endpoint
    if endpoint is None:
        return None
    access = ACCESS.get(endpoint)
    if access == ANYONE:
        return None
    if not current_user.is_authenticated:
        if request.method == "GET" and not asked_by_htmx():
            session["after_sign_in"] = request.path
            return Response.force_type(redirect(url_for("sign_in.page")))
        raise SignInFirst(t("sign_in.ended"))
    if access is None:
        raise NotAllowed(t("refusal.no_rule"))
    if current_user.must_choose and endpoint not in WITH_ONE_TIME_PASSPHRASE:
        return _choose_first()
    if access != SIGNED_IN and not may(access):
        log.warning("Person %d may not use %s.", current_user.person_id, endpoint)
        needs_passphrase = current_user.by_pin and staff.may(current_user.role, access)
        if needs_passphrase:
            raise NotAllowed(t("refusal.pin"))
        raise NotAllowed(t("refusal.role", role=t(f"role.{current_user.role}")))
    return None


def _choose_first() -> Response:
    """Nothing else before a passphrase of their own is chosen."""
    if request.method == "GET" and not asked_by_htmx():
        return Response.force_type(redirect(url_for("own.page")))
    raise NotAllowed(t("own.choose_first"))


class SignInFirst(NotAllowed):
    """Nobody is signed in at this browser any more."""


def install(app: Flask) -> None:
    """Put the guard before every request."""
    app.before_request(guard)
