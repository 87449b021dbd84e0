"""How a desk comes to trust the station's own certificate, and the certificate to be trusted."""

from __future__ import annotations

from flask import Blueprint, Response, current_app, render_template

from catalogue.errors import NotFound
from web.certificates import Certificate
from web.texts import t

desk = Blueprint("trust", __name__, url_prefix="/trust")


@desk.get("")
def page() -> str:
    """What to do once at each desk, and the fingerprint to compare first."""
    found: Certificate | None = current_app.config["CERTIFICATE"]
    own = found is not None and found.authority is not None
    lines = found.fingerprint_lines() if found and own else []
    return render_template("sign_in/trust.html", own=own, fingerprint=lines)


@desk.get("/station.crt")
def certificate() -> Response:
    """The authority's certificate: nothing in it is secret."""
    found: Certificate | None = current_app.config["CERTIFICATE"]
    if found is None or found.authority is None:
        raise NotFound(t("trust.none"))
    answer = Response(found.authority.read_bytes(), mimetype="application/x-x509-ca-cert")
    answer.headers["Content-Disposition"] = "attachment; filename=asheard-station.crt"
    return answer
