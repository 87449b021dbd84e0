"""Where errors meet HTTP: each becomes a status and a sentence, as a page or as a fragment.

Nothing a caller said is in a message, an address or a log line.
"""

from __future__ import annotations

import logging
import sqlite3

from flask import Flask, Response, make_response, render_template, request
from flask_wtf.csrf import CSRFError
from markupsafe import escape
from werkzeug.exceptions import HTTPException

from catalogue.errors import (
    BadInput,
    CannotTakeBack,
    CatalogueError,
    ChangedMeanwhile,
    NotAllowed,
    NotFound,
    StoreBusy,
)
from web.roles import SignInFirst
from web.station import asked_by_htmx
from web.texts import has, said, t

log = logging.getLogger("asheard.web")

_MOST_READ = 512 * 1024 * 1024
_PIECE = 256 * 1024

_STATUS: tuple[tuple[type[CatalogueError], int], ...] = (
    (SignInFirst, 401),
    (NotAllowed, 403),
    (NotFound, 404),
    (ChangedMeanwhile, 409),
    (CannotTakeBack, 409),
    (BadInput, 400),
    (StoreBusy, 503),
)


def install(app: Flask) -> None:
    """Answer every error with a sentence."""
    app.register_error_handler(CatalogueError, _in_family)
    app.register_error_handler(CSRFError, _without_token)
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(Exception, _unforeseen)


def _in_family(problem: CatalogueError) -> Response:
    status = next((code for kind, code in _STATUS if isinstance(problem, kind)), 500)
    if status == 500:
        log.error("%s at %s", type(problem).__name__, request.endpoint)
    return refusal(status, said(problem.message))


def _without_token(_problem: CSRFError) -> Response:
    return refusal(400, t("refusal.token"))


def _http(problem: HTTPException) -> Response:
    status = problem.code or 500
    if 300 <= status < 400:
        return Response.force_type(problem.get_response())
    if status == 413:
        _read_the_rest()
    key = f"refusal.{status}"
    return refusal(status, t(key if has(key) else "refusal.other"))


def _read_the_rest() -> None:
    """Take what is still being sent, and throw it away: a browser reads no answer before that."""
    rest, left = request.environ["wsgi.input"], _MOST_READ
    while left > 0 and (piece := rest.read(min(_PIECE, left))):
        left -= len(piece)


def _unforeseen(problem: Exception) -> Response:
    # The kind and the place only: the message of an unforeseen error may hold what was typed.
    trace = problem.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    where = f"{trace.tb_frame.f_code.co_filename}:{trace.tb_lineno}" if trace else "?"
    log.error("unforeseen %s at %s (%s)", type(problem).__name__, where, request.endpoint)
    return refusal(500, t("refusal.500"))


def refusal(status: int, sentence: str) -> Response:
    """The sentence with its status: a fragment for htmx, else a whole page."""
    template = "parts/problem.html" if asked_by_htmx() else "refusal.html"
    try:
        page = render_template(template, sentence=sentence, status=status)
    except (CatalogueError, sqlite3.Error):
        # A page has the station's name on it: not when the catalogue itself cannot be opened.
        page = _BARE.format(sentence=escape(sentence), status=status)
    return make_response(page, status)


_BARE = (
    '<!doctype html><meta charset="utf-8"><title>asheard</title>'
    '<div class="problem" data-status="{status}"><p>{sentence}</p></div>'
)
