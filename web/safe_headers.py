"""What every answer tells the browser, and which names of this PC are answered to at all."""

from __future__ import annotations

from flask import Response, current_app, request

from catalogue.errors import NotAllowed
from web.certificates import Certificate
from web.texts import t

POLICY = (
    "default-src 'self'; frame-ancestors 'none'; base-uri 'none'; form-action 'self'; "
    "object-src 'none'; "
    # The one style element that Observable Plot writes into a plot, by its hash.
    "style-src 'self' 'sha256-q63T/RbyDRTH8yiqdVX7sfiRU9BPT5fnoXWt53WrLJQ='"
)

_FEATURES = (
    # A browser asks for the microphone before it names the outputs for headphones; nothing else.
    "microphone=(self), speaker-selection=(self), camera=(), geolocation=(), payment=(), usb=(), "
    "display-capture=(), serial=(), bluetooth=()"
)

_YEAR_S = 365 * 24 * 3600


def put(answer: Response) -> Response:
    """Put the headers on an answer; runs after every request."""
    headers = answer.headers
    headers["Server"] = "asheard"  # and not which web server of which version
    headers["Content-Security-Policy"] = POLICY
    headers["X-Content-Type-Options"] = "nosniff"
    headers["Referrer-Policy"] = "no-referrer"
    headers["Cross-Origin-Opener-Policy"] = "same-origin"
    headers["Cross-Origin-Resource-Policy"] = "same-origin"
    # A page that may use the camera says so itself.
    headers.setdefault("Permissions-Policy", _FEATURES)
    if request.endpoint != "static":
        headers["Cache-Control"] = "no-store"
    certificate: Certificate | None = current_app.config["CERTIFICATE"]
    if certificate is not None and certificate.authority is None:
        # Not with a certificate of our own: a desk that does not trust it yet could not come in
        # at all, and a station that goes back to plain HTTP would be shut out for a year.
        headers["Strict-Transport-Security"] = f"max-age={_YEAR_S}; includeSubDomains"
    return answer


def refuse_strange_host() -> None:
    """Answer only to this PC's own names: a page elsewhere may give its own name our address
    (DNS rebinding) and would then be taken for us. Raises NotAllowed."""
    hosts: frozenset[str] = current_app.config["HOSTS"]
    if not hosts or _is_ours(_bare(request.host), hosts):
        return
    raise NotAllowed(t("refusal.host", host=_bare(request.host)[:100]))


def _bare(host: str) -> str:
    """A host without its port."""
    if host.startswith("["):
        return host[1:].partition("]")[0].lower()
    return host.partition(":")[0].lower().rstrip(".")


def _is_ours(host: str, hosts: frozenset[str]) -> bool:
    """A name of ours, with a domain behind it or without, or an address: whoever rebinds a name
    has a name, and no address can be rebound."""
    if host in hosts or host.replace(".", "").isdigit() or ":" in host:
        return True
    first, _, rest = host.partition(".")
    # A name of one part that a router has put a domain behind.
    with_domain = first in hosts and first != "localhost" and "." in rest + "."
    return with_domain or f"*.{rest}" in hosts
