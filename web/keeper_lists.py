"""The keeper's lists: the places callers ring from, and the people who may sign in."""

from __future__ import annotations

import logging

from flask import Blueprint, current_app, flash, render_template, request, url_for
from flask_login import current_user
from werkzeug import Response

from catalogue import passphrases, pins, places, staff
from catalogue.errors import BadInput, NotFound
from catalogue.staff import Role
from web.keeper import done_lately
from web.station import go, now, station, who
from web.texts import t

log = logging.getLogger("asheard.sign_in")
desk = Blueprint("keeper_lists", __name__, url_prefix="/station")


@desk.get("/places")
def place_list() -> str:
    """The places, how they are said, and whether they may be."""
    store = station().store
    return render_template(
        "keeper/places.html", places=places.all_places(store), done=done_lately(store)
    )


@desk.post("/places")
def add_place() -> Response:
    """Put a place on the list."""
    name, say, on_air = _place()
    places.add(station().store, name, say, on_air, who(), now())
    flash(t("station.place_added"))
    return go(url_for("keeper_lists.place_list"))


@desk.post("/places/<int:place_id>")
def change_place(place_id: int) -> Response:
    """Change a place."""
    name, say, on_air = _place()
    places.change(station().store, place_id, name, say, on_air, who(), now())
    flash(t("station.place_changed"))
    return go(url_for("keeper_lists.place_list"))


@desk.post("/places/<int:place_id>/use")
def use_place(place_id: int) -> Response:
    """Offer a place on new slips, or no longer."""
    places.use(station().store, place_id, request.form.get("use") == "yes", who(), now())
    return go(url_for("keeper_lists.place_list"))


def _place() -> tuple[str, str, bool]:
    form = request.form
    return form.get("name", ""), form.get("say", ""), form.get("on_air") == "yes"


@desk.get("/people")
def people_list() -> str:
    """Who may sign in, and a passphrase that was made just now: shown once."""
    people = staff.all_people(station().store)
    # Kept in memory and not in the session: a session's cookie can be read.
    made = current_app.extensions["asheard_made"].pop(current_user.person_id, None)
    return render_template("keeper/people.html", people=people, roles=list(Role), made=made)


@desk.post("/people")
def add_person() -> Response:
    """Put somebody on the list, with a passphrase made for them."""
    name, role = request.form.get("name", ""), request.form.get("role", "")
    passphrase = passphrases.new()
    staff.add(station().store, name, role, passphrase, who(), now(), one_time=True)
    log.info("Person %d put somebody on the list.", current_user.person_id)
    made = (" ".join(name.split()), passphrase)
    current_app.extensions["asheard_made"][current_user.person_id] = made
    return go(url_for("keeper_lists.people_list"))


@desk.post("/people/<int:person_id>/passphrase")
def new_passphrase(person_id: int) -> str:
    """Make a one-time passphrase for somebody; their open sessions and their PINs end."""
    person = _person(person_id)
    if person.id == current_user.person_id:
        # Their session would end, and nobody could read the new one.
        raise BadInput(t("people.own_passphrase"))
    passphrase = passphrases.new()
    with station().store.transaction():
        staff.new_words_for(station().store, person.id, passphrase, one_time_from=now())
        pins.forget(station().store, person.id)
    log.info("Person %d made a passphrase for %d.", current_user.person_id, person.id)
    current_app.extensions["asheard_made"][current_user.person_id] = (person.name, passphrase)
    return people_list()


@desk.post("/people/<int:person_id>/active")
def let_in(person_id: int) -> Response:
    """Let somebody in no longer, or again; the last keeper always stays."""
    person = _person(person_id)
    active = request.form.get("active") == "yes"
    with station().store.transaction():
        staff.set_active(station().store, person.id, active, now())
        pins.forget(station().store, person.id)
    log.info("Person %d let %d %s.", current_user.person_id, person.id, "in" if active else "out")
    flash(t("people.in_again" if active else "people.out", name=person.name))
    return go(url_for("keeper_lists.people_list"))


@desk.post("/people/<int:person_id>/role")
def change_role(person_id: int) -> Response:
    """Give somebody another role; the last keeper stays one."""
    person, role = _person(person_id), request.form.get("role", "")
    staff.set_role(station().store, person.id, role)
    log.info("Person %d made %d a %s.", current_user.person_id, person.id, role)
    flash(t("people.role_changed", name=person.name, role=t(f"role.{role}")))
    # Their sessions have ended, so that whoever changed their own signs in anew.
    own = person.id == current_user.person_id
    return go(url_for("sign_in.page" if own else "keeper_lists.people_list"))


@desk.post("/people/<int:person_id>/sign-out")
def sign_out(person_id: int) -> Response:
    """Sign somebody out everywhere."""
    person = _person(person_id)
    staff.end_sessions(station().store, person.id)
    log.info("Person %d signed %d out everywhere.", current_user.person_id, person.id)
    flash(t("people.signed_out", name=person.name))
    return go(url_for("keeper_lists.people_list"))


def _person(person_id: int) -> staff.Person:
    person = staff.get(station().store, person_id)
    if person is None:
        raise NotFound(t("people.nobody"))
    return person
