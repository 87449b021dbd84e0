"""The desks: what the browsers of the station see.

`create_app` is the one door, for the tests as for the station. It takes the store, the index
and the clock; the desks are blueprints, one file each.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from datetime import datetime
from typing import Any

from flask import Flask
from flask_wtf.csrf import CSRFProtect
from werkzeug.routing import IntegerConverter, Map

from catalogue import settings
from catalogue.meaning import Meanings
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from web import (
    boxes,
    cookies,
    disc_sheet,
    fetching,
    figures,
    home,
    keeper,
    keeper_lists,
    keeping_pages,
    live,
    loan_desk,
    own_sign_in,
    paper,
    phone_call,
    phone_desk,
    phone_others,
    phone_when,
    place_box,
    played,
    programme,
    record_more,
    refusals,
    roles,
    round,
    safe_headers,
    several,
    shared_desks,
    shelf_bar,
    shelf_doubles,
    shelf_filing,
    shelf_gaps,
    shelf_labels,
    shelf_look,
    shelf_places_page,
    shelf_work,
    shelves,
    sign_in,
    signed_in,
    stand_in_work,
    stock_take,
    studio,
    studio_lists,
    studio_steps,
    taking_in,
    taking_in_looks,
    this_desk,
    trust,
    wording,
)
from web.job_starting import Workers
from web.sheets import Sheets
from web.station import Station
from web.texts import language, speak, t

_LARGEST_FORM_BYTES = 256 * 1024
"""A slip is a page of text; anything larger is a mistake or an attack."""

_LARGEST_NUMBER = 2**63 - 1
"""What SQLite can hold; a larger number in an address is of no row."""


class RowNumber(IntegerConverter):
    """A whole number in an address that may be a row's; others are no such page."""

    def __init__(self, map: Map) -> None:
        super().__init__(map, max=_LARGEST_NUMBER)


def create_app(
    store: Store,
    index: SoundIndex,
    clock: Callable[[], datetime],
    config: dict[str, Any] | None = None,
) -> Flask:
    """The station's web application. Without a SECRET_KEY sessions end when it stops."""
    app = Flask("web")
    app.config.update(
        SECRET_KEY=secrets.token_bytes(32),
        SESSION_COOKIE_SECURE=False,
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        # A page may stay open through a whole evening; the token lives as long as the session.
        WTF_CSRF_TIME_LIMIT=None,
        WTF_CSRF_SSL_STRICT=False,
        CERTIFICATE=None,
        HOSTS=frozenset(),
        MAX_CONTENT_LENGTH=_LARGEST_FORM_BYTES,
        MAX_FORM_MEMORY_SIZE=_LARGEST_FORM_BYTES,
    )
    app.config.update(config or {})
    secure = app.config["SESSION_COOKIE_SECURE"]
    app.config["SESSION_COOKIE_NAME"] = cookies.session_name(secure)
    app.extensions["asheard"] = Station(store, index, clock)
    app.extensions["asheard_sheets"] = Sheets()
    app.extensions["asheard_made"] = {}
    app.extensions["asheard_workers"] = Workers()
    app.extensions["asheard_meanings"] = Meanings(store, index)
    app.extensions["asheard_others"] = phone_others.Line()
    app.url_map.converters["int"] = RowNumber
    app.jinja_env.trim_blocks = True
    app.jinja_env.lstrip_blocks = True
    app.jinja_env.filters["breakable"] = wording.breakable
    app.jinja_env.globals.update(
        t=t,
        desks=roles.desks,
        may=roles.may,
        language=language,
        places_offered=place_box.offered,
        shelf_bar=shelf_bar.bar,
        shared_desk=roles.shared_desk,
        pins_here=sign_in.pins_here,
    )

    @app.before_request
    def _in_its_language() -> None:
        speak(settings.get(store, "language"))

    app.before_request(safe_headers.refuse_strange_host)
    app.before_request(phone_call.allow_large)
    app.before_request(taking_in.allow_large)
    CSRFProtect(app)
    signed_in.install(app)
    roles.install(app)
    refusals.install(app)
    for blueprint in (
        home.home,
        sign_in.door,
        own_sign_in.desk,
        trust.desk,
        phone_desk.desk,
        phone_call.desk,
        phone_when.desk,
        phone_others.desk,
        this_desk.this_desk,
        shared_desks.desk,
        studio.desk,
        studio_steps.desk,
        studio_lists.desk,
        shelves.desk,
        shelf_work.desk,
        disc_sheet.desk,
        boxes.desk,
        shelf_filing.desk,
        several.desk,
        record_more.desk,
        shelf_labels.desk,
        shelf_look.desk,
        shelf_places_page.desk,
        stock_take.desk,
        loan_desk.desk,
        stand_in_work.desk,
        fetching.desk,
        taking_in.desk,
        taking_in_looks.desk,
        shelf_doubles.desk,
        round.desk,
        programme.desk,
        played.desk,
        figures.desk,
        shelf_gaps.desk,
        paper.paper,
        keeper.desk,
        keeper_lists.desk,
        keeping_pages.desk,
        live.live,
    ):
        app.register_blueprint(blueprint)

    @app.context_processor
    def _of_the_station() -> dict[str, object]:
        return {
            "station_name": settings.get(store, "station_name"),
            "demo": settings.get(store, "demo") == "yes",
            "shred_by": keeping_pages.shred_by,
        }

    app.after_request(safe_headers.put)
    return app
