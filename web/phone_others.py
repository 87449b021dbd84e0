"""What other stations hold, for the phone desk: asked behind the page's back, and only if the
station's settings say so.

The page has its own answer already. It asks here once the typing has rested, and shows what comes
when it comes; if nothing comes, nothing else on the page has waited for it.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from flask import Blueprint, current_app, render_template

from catalogue import other_stations, settings
from catalogue.heard import Heard
from catalogue.other_stations import NoAnswer, NotLetIn, Union
from catalogue.records import Answer, Outcome, Readiness
from catalogue.store import Store
from web import others_view
from web.asked import heard_typed
from web.station import station

desk = Blueprint("phone_others", __name__, url_prefix="/phone")

_AT_ONCE = 3
"""Questions at once: the rest of the server's threads stay with the desks, however slow the other
side is."""

_LEFT_ALONE_S = 30.0
"""After no answer came, others are not asked for so long: what is dead stays dead for a while."""

_MAYBE_ELSEWHERE = (Outcome.NOT_FOUND, Outcome.KNOWN_NOT_HELD, Outcome.CANNOT_TELL)


@dataclass(slots=True)
class Line:
    """The way to the other stations: so many questions at once, and none while it is dead."""

    free: threading.BoundedSemaphore = field(
        default_factory=lambda: threading.BoundedSemaphore(_AT_ONCE)
    )
    dead_until: float = 0.0

    @contextmanager
    def question(self) -> Iterator[None]:
        """One question. Raises NoAnswer at once if the line is dead or taken."""
        if time.monotonic() < self.dead_until or not self.free.acquire(blocking=False):
            raise NoAnswer
        try:
            yield
        except NotLetIn:
            raise  # it answers quickly, and will once the keeper has mended the token
        except NoAnswer:
            self.dead_until = time.monotonic() + _LEFT_ALONE_S
            raise
        finally:
            self.free.release()


def union_of(store: Store) -> Union | None:
    """Whom to ask, or None if the station's settings do not say that others may be asked."""
    address = settings.get(store, "network_address")
    if settings.get(store, "network_ask").casefold() != "yes" or not address:
        return None
    return Union(
        address,
        settings.get(store, "network_token"),
        settings.degrees(settings.get(store, "network_position")),
        settings.get(store, "station_name"),
    )


def may_ask(store: Store, answer: Answer) -> bool:
    """Whether the page may ask others: nothing of it is held here, and a record was named."""
    named = not answer.wanted.names_no_record
    held = any(
        copy.readiness is not Readiness.NOT_HELD
        for match in answer.matches
        for copy in match.availability
    )
    return answer.outcome in _MAYBE_ELSEWHERE and named and not held and bool(union_of(store))


@desk.post("/others")
def others() -> str:
    """What others hold of what was heard, as a part of the page."""
    heard, union = heard_typed(), union_of(station().store)
    shown = None
    if union is not None and heard != Heard():
        line: Line = current_app.extensions["asheard_others"]
        try:
            with line.question():
                shown = others_view.view(other_stations.ask(union, heard), heard.whole)
        except NotLetIn:
            shown = others_view.without(heard.whole, "others.not_let_in")
        except NoAnswer:
            shown = others_view.without(heard.whole, "others.silent")
    return render_template("phone/others.html", others=shown)
