"""Who is signed in at this browser: read from its cookie before anything else, and kept there.

The cookie holds a token and nothing else; `catalogue/sessions.py` says whose it is and whether
its time is over. It is a cookie of its own, so that an answer that comes late, to a question the
person before had asked, does not put them back.
"""

from __future__ import annotations

from flask import Flask, Request, Response, g, request
from flask_login import LoginManager, UserMixin, current_user, login_user

from catalogue import browsers, sessions, staff
from catalogue.browsers import Browser
from catalogue.errors import CatalogueError
from catalogue.sessions import Session
from web import cookies
from web.station import now, station

ASKED_BY_PAGES = frozenset(
    {
        "static", "live.alive", "phone_desk.strip", "studio.queue", "fetching.to_fetch",
        "taking_in.progress", "doubles.searched", "several.progress",
    }
)  # fmt: skip
"""What pages ask for by themselves: nobody need be there, so it keeps no session open."""


class SignedIn(UserMixin):  # type: ignore[misc]
    """The person at this browser."""

    def __init__(self, person: staff.Person, session: Session) -> None:
        self.person = person
        self.session = session
        self.person_id = person.id
        self.name = person.name
        self.role = person.role
        self.by_pin = session.by_pin
        self.must_choose = person.phrase_until is not None
        """Whether they came in with a one-time passphrase and have chosen none yet."""

    def get_id(self) -> str:
        """The number of the session: nothing that lets anybody in."""
        return str(self.session.id)


def install(app: Flask) -> None:
    """Make sessions known to the app."""
    manager = LoginManager(app)
    manager.session_protection = None  # what it protects is not where sessions are kept
    manager.request_loader(_load)
    app.before_request(_note)


def browser() -> Browser | None:
    """This browser, if somebody signed in here before."""
    if "browser" not in g:
        g.browser = browsers.of(station().store, browser_token())
    found: Browser | None = g.browser
    return found


def browser_token() -> str:
    """The token by which this browser is known, empty if it is not."""
    return cookies.given(cookies.BROWSER)


def let_in(answer: Response, person: staff.Person, by_pin: bool) -> None:
    """Sign somebody in at this browser; whoever was signed in here is signed out."""
    store = station().store
    token = browser_token() if browser() else browsers.new_token()
    with store.transaction():
        _end_here()
        known = browsers.remember(store, token, person.id, now())
        session = sessions.start(store, person, known.id, by_pin, now())
    g.browser = known
    cookies.keep(answer, cookies.BROWSER, token)
    cookies.keep_until_closed(answer, cookies.SIGNED_IN, session)
    found = sessions.find(store, session, now())
    if found is not None:
        login_user(SignedIn(person, found))


def let_out(answer: Response) -> None:
    """End this browser's session, here and in the browser."""
    _end_here()
    cookies.drop(answer, cookies.SIGNED_IN)


def _end_here() -> None:
    if current_user.is_authenticated:
        sessions.end(station().store, current_user.session.id)


def _load(asked: Request) -> SignedIn | None:
    token = cookies.given(cookies.SIGNED_IN)
    try:
        store = station().store
        session = sessions.find(store, token, now())
        person = staff.get(store, session.person_id) if session else None
    except CatalogueError:
        return None
    if session is None or person is None or not person.active:
        return None
    return SignedIn(person, session) if person.session_key == session.person_key else None


def _note() -> None:
    """Note that somebody does something; a drive that cannot be written stops nobody's work."""
    if request.endpoint in ASKED_BY_PAGES or not current_user.is_authenticated:
        return
    try:
        sessions.note(station().store, current_user.session, now())
    except CatalogueError:
        return
