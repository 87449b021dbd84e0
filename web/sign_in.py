"""The door: in by name and passphrase, or at a shared desk by PIN; out again; and who comes next.

Whoever changes places at a shared desk does it over the page that is open, so that a half-filled
slip stays as it is. Wrong tries are slowed down per name and address; whoever signed in at this
browser before is not held up by tries made elsewhere.
"""

from __future__ import annotations

import hashlib
import hmac
import logging
from dataclasses import dataclass

from flask import (
    Blueprint,
    current_app,
    flash,
    make_response,
    redirect,
    render_template,
    request,
    session,
    url_for,
)
from flask_login import current_user
from werkzeug import Response

from catalogue import browsers, pins, settings, staff, tries
from catalogue.errors import CatalogueError
from catalogue.tries import Rule
from web import home, roles, signed_in
from web.station import asked_by_htmx, go, now, station
from web.texts import t

door = Blueprint("sign_in", __name__)
log = logging.getLogger("asheard.sign_in")


@dataclass(frozen=True, slots=True)
class _Try:
    """Whose try it is: a key for each rule that counts it."""

    counted: tuple[tuple[str, Rule], ...]

    def wait_s(self) -> int:
        """Count it; the seconds to wait before one may be made, 0 if this one may."""
        for who, rule in self.counted:
            if wait := tries.begin(station().store, who, rule, now()):
                log.warning("A try to sign in came too soon (%s).", _where())
                return wait
        return 0

    def came_in(self) -> None:
        """Forget what went wrong before."""
        tries.right(station().store, *(who for who, _ in self.counted))


def _try_of(kind: str, *whose: object) -> str:
    key = current_app.config["SECRET_KEY"]
    text = "\0".join([kind, *map(str, whose)])
    return hmac.new(key if isinstance(key, bytes) else str(key).encode(), text.encode(),
                    hashlib.sha256).hexdigest()  # fmt: skip


def _where() -> str:
    """Which desk it is, by number; an address would say more than the log is to hold."""
    here = signed_in.browser()
    return f"desk {here.id}" if here else "a desk that is not known"


def try_by_passphrase(name: str) -> _Try:
    """A try of this name from this browser."""
    store, here = station().store, signed_in.browser()
    folded = " ".join(name.casefold().split())
    person = staff.named(store, name)
    if here and person and browsers.knows(store, here, person.id):
        return _Try(((_try_of("known", here.id, person.id), tries.KNOWN),))
    address = request.remote_addr or ""
    return _Try((
        (_try_of("name", folded, address), tries.STRANGER),
        (_try_of("address", address), tries.ADDRESS),
    ))  # fmt: skip


@door.get("/sign-in")
def page() -> str:
    """The door: a name and a passphrase, or at a shared desk a name and a PIN."""
    return _page()


def _page(name: str = "", problem: str = "", by_pin: bool = False) -> str:
    store = station().store
    people = [person for person in staff.all_people(store) if person.active]
    listed = [p.name for p in people] if settings.get(store, "demo") == "yes" else []
    here = signed_in.browser()
    return render_template(
        "sign_in/page.html",
        names=listed,
        name=name,
        problem=problem,
        by_pin=by_pin,
        nobody=not people,
        desk=here.shared_as if here else "",
    )


def pins_here() -> list[tuple[int, str]]:
    """Who may come in by PIN at this desk: number and name."""
    return pins.people_at(station().store, signed_in.browser())


@door.post("/sign-in")
def enter() -> str | Response | tuple[str, int]:
    """Let somebody in, or say in one sentence why not."""
    name = request.form.get("name", "").strip()
    this_try = try_by_passphrase(name)
    if wait := this_try.wait_s():
        return _page(name, t("sign_in.wait", seconds=wait)), 429
    person = staff.check(station().store, name, request.form.get("passphrase", ""))
    if person is None:
        log.warning("A wrong name or passphrase (%s).", _where())
        return _page(name, t("sign_in.wrong")), 400
    if person.is_over(now()):
        log.warning("Person %d came too late with a one-time passphrase.", person.id)
        return _page(name, t("sign_in.too_late")), 400
    this_try.came_in()
    answer = make_response(redirect(_after(person), 303))
    signed_in.let_in(answer, person, by_pin=False)
    log.info("Person %d signed in by passphrase (%s).", person.id, _where())
    return answer


@door.post("/sign-in/pin")
def by_pin() -> str | Response | tuple[str, int]:
    """Let somebody in by PIN at this shared desk; over the page that is open, if there is one."""
    store, here = station().store, signed_in.browser()
    given = request.form.get("person", "")
    person_id = int(given) if given.isascii() and given.isdigit() and len(given) < 10 else 0
    key = _try_of("pin", here.id if here else request.remote_addr, person_id)
    this_try = _Try(((key, tries.PIN),))
    if wait := this_try.wait_s():
        return _not_in(person_id, t("sign_in.wait", seconds=wait), 429)
    person = staff.get(store, person_id)
    token = signed_in.browser_token()
    right = here is not None and pins.fits(
        store, here, token, person_id, request.form.get("pin", "")
    )
    if not right or person is None or not person.active or person.phrase_until:
        log.warning("A wrong PIN for person %d (%s).", person_id, _where())
        return _not_in(person_id, t("sign_in.wrong_pin"), 400)
    this_try.came_in()
    stays = _stays_on(request.form.get("over", ""), person)
    answer = make_response(_go_on(stays) if asked_by_htmx() else redirect(_after(person), 303))
    signed_in.let_in(answer, person, by_pin=True)
    log.info("Person %d signed in by PIN (%s).", person.id, _where())
    if asked_by_htmx() and stays == _PAGE_STAYS:
        answer.set_data(render_template("parts/head.html", at_desk=""))
    return answer


def _not_in(person_id: int, problem: str, status: int) -> tuple[str, int]:
    if asked_by_htmx():
        return render_template("parts/problem.html", sentence=problem, status=status), status
    return _page(str(person_id), problem, by_pin=True), status


_PAGE_STAYS, _PAGE_ANEW, _PAGE_GONE = "stays", "anew", "gone"


def _stays_on(path: str, person: staff.Person) -> str:
    """What becomes of the open page: it stays, is loaded anew, or the person goes to their desk.

    Pages that are typed on at the phone and in the studio are the same for all who may use them;
    others may show more to one role than to another.
    """
    try:
        endpoint, _ = current_app.url_map.bind("").match(path.partition("?")[0], "GET")
    except Exception:  # noqa: BLE001 - an address that is none of ours, of whatever kind
        return _PAGE_GONE
    access = roles.ACCESS.get(endpoint, "")
    if access == roles.SIGNED_IN:
        return _PAGE_ANEW
    if access in staff.NEEDS_PASSPHRASE or access not in staff.ACTS:
        return _PAGE_GONE
    if not staff.may(person.role, access):
        return _PAGE_GONE
    same = access in ("phone", "studio") or str(current_user_role()) == str(person.role)
    return _PAGE_STAYS if same else _PAGE_ANEW


def current_user_role() -> str:
    """The role of whoever was at the desk until now."""
    return str(current_user.role) if current_user.is_authenticated else ""


def _go_on(stays: str) -> str | Response:
    if stays == _PAGE_STAYS:
        return ""
    answer = make_response("", 200)
    if stays == _PAGE_ANEW:
        answer.headers["HX-Refresh"] = "true"
    else:
        answer.headers["HX-Redirect"] = url_for("home.page")
    return answer


def _after(person: staff.Person) -> str:
    """Where somebody goes who came in: on to what they had asked for, or to their desk."""
    after = str(session.pop("after_sign_in", ""))
    if person.phrase_until:
        return url_for("own.page")
    # Only a path of ours: "//elsewhere" and "/\\elsewhere" are other hosts to a browser.
    ours = after.startswith("/") and after[1:2] not in ("/", "\\")
    return after if ours else home.desk_of(person.role)


@door.post("/sign-out")
def leave() -> Response:
    """End this browser's session. What a desk was writing on stays with the desk."""
    shared = roles.shared_desk()
    slip = session.get("slip_id") if shared else None
    session.clear()
    if slip is not None:
        session["slip_id"] = slip
    flash(t("sign_in.left"))
    answer = make_response(go(url_for("sign_in.page")))
    try:
        signed_in.let_out(answer)
    except CatalogueError:
        log.warning("A session could not be ended: the drive cannot be written.")
        raise
    answer.headers["Clear-Site-Data"] = '"cache"'
    return answer
