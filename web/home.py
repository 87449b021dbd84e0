"""The way in: each role to its own desk."""

from __future__ import annotations

from flask import Blueprint, redirect, url_for
from werkzeug import Response

from catalogue import staff
from catalogue.errors import NotAllowed
from web import roles
from web.texts import t

home = Blueprint("home", __name__)

_FIRST = {"presenter": "studio", "librarian": "shelves", "keeper": "shelves"}
"""The desk a role begins at, where it is not the phone."""


@home.get("/")
def page() -> Response:
    """Send whoever is signed in to their desk."""
    return redirect(own_desk())


def own_desk() -> str:
    """The address of the desk of the person signed in."""
    return desk_of(roles.role())


def desk_of(role: str) -> str:
    """The address of a role's desk."""
    from_role = _FIRST.get(str(role), "phone")
    acts = sorted(roles.DESKS, key=lambda desk: desk[0] != from_role)
    for act, endpoint, _ in acts:
        if staff.may(role, act):
            return url_for(endpoint)
    raise NotAllowed(t("refusal.no_desk"))
