"""What is too large is refused in a sentence: by every form, and over a real connection."""

from __future__ import annotations

import http.client
import re
from collections.abc import Callable

from flask import Flask

from web import given_lists
from web.opening import opened
from web.roles import ACCESS, ANYONE
from web.serving import serving

from .conftest import Desk

LARGER = {"taking_in.give_list", "phone_call.attach_recording"}
"""Pages that take more than a form: a list of 20 MB, a recording of 300 MB."""


def test_every_form_has_a_limit_and_says_so(app: Flask, sign_in: Callable[[str], Desk]) -> None:
    keeper = sign_in("Dora")
    too_much = {"name": "x" * (app.config["MAX_CONTENT_LENGTH"] + 1)}
    asked = 0
    for rule in app.url_map.iter_rules():
        if "POST" not in (rule.methods or ()) or rule.endpoint in LARGER:
            continue
        path = re.sub(r"<int:\w+>", "1", re.sub(r"<[a-z]+>", "x", rule.rule))
        answer = keeper.client.post(path, data=too_much, headers={"HX-Request": "true"})
        assert answer.status_code == 413, path
        assert "too large" in answer.get_data(as_text=True), path
        asked += 1
    assert asked > 80


def test_a_list_that_is_too_large_is_told_over_a_real_connection(tmp_path: object) -> None:
    """The answer comes through though the browser is still sending, as browsers do."""
    from pathlib import Path

    assert isinstance(tmp_path, Path)
    with opened(tmp_path / "station", make=True) as station:
        with serving(station, "127.0.0.1", 0) as address:
            port = int(address.rpartition(":")[2])
            connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
            size = given_lists.LARGEST_BYTES + 1_000_000
            connection.putrequest("POST", "/sign-in")
            connection.putheader("Content-Type", "application/x-www-form-urlencoded")
            connection.putheader("Content-Length", str(size))
            connection.endheaders()
            for _ in range(size // 65_536):
                connection.send(b"x" * 65_536)
            connection.send(b"x" * (size % 65_536))
            answer = connection.getresponse()
            assert answer.status == 413
            assert "too large" in answer.read().decode()
            # And one that does not say how much it is going to be.
            connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
            pieces = (b"x" * 65_536 for _ in range(40))
            headers = {"Content-Type": "application/x-www-form-urlencoded"}
            connection.request("POST", "/sign-in", pieces, headers, encode_chunked=True)
            assert connection.getresponse().status in (400, 411, 413)
            # The station still answers.
            connection = http.client.HTTPConnection("127.0.0.1", port, timeout=20)
            connection.request("GET", "/live/alive")
            assert connection.getresponse().status == 200


def test_nobody_but_who_may_give_lists_makes_the_server_read_twenty_megabytes(
    app: Flask, sign_in: Callable[[str], Desk]
) -> None:
    """The larger limit is for the pages that need it, and these are not open to strangers."""
    assert all(ACCESS[endpoint] != ANYONE for endpoint in LARGER)
