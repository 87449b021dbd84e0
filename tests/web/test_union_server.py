"""The union's own web server, asked as a station asks it and as somebody asks who should not."""

from __future__ import annotations

import stat
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from flask.testing import FlaskClient

from catalogue import other_stations
from catalogue.errors import StationProblem
from catalogue.heard import Heard
from catalogue.other_stations import NotLetIn, Union
from catalogue.records import NewRecording
from catalogue.union_layout import UnionLayout
from catalogue.union_search import NearShards
from catalogue.union_service import Limits, UnionService
from catalogue.union_shard import Shard
from tests import made_unions
from web import union_server
from web.union_server import create_union_app

TOKEN = "a-token-of-the-union"
LET_IN = {"Authorization": f"Bearer {TOKEN}"}
HEARD = {"heard": "the chandlers daughter"}
RECORDINGS = ("The Chandler’s Daughter", "Tarred Rope", "Herring Moon", "Low Lantern", "The Bar",
              "Samphire", "Wharf End Waltz", "Ninety Nine")  # fmt: skip


class Asked:
    """Shards in this process, some of which do not answer, or not before they are let."""

    def __init__(self, layout: UnionLayout) -> None:
        self._near = NearShards([Shard(files) for files in layout.shards])
        self.silent: set[int] = set()
        self.let = threading.Event()
        self.reached = threading.Event()
        self.let.set()

    @property
    def shards(self) -> int:
        return self._near.shards

    def ask(self, questions: dict[int, tuple[Any, ...]], what: str, until: float) -> dict[int, Any]:
        self.reached.set()
        assert self.let.wait(20)
        told = {n: question for n, question in questions.items() if n not in self.silent}
        return self._near.ask(told, what, until)

    def answering(self) -> dict[int, int]:
        return {n: int(n not in self.silent) for n in range(self.shards)}


@pytest.fixture(scope="module")
def layout(tmp_path_factory: pytest.TempPathFactory) -> UnionLayout:
    recordings = [NewRecording(title, "Albie Cruttenden", year=1962) for title in RECORDINGS]
    return made_unions.make(
        tmp_path_factory.mktemp("union"), made_unions.numbered(recordings), shards=2
    )


@pytest.fixture
def asked(layout: UnionLayout) -> Asked:
    return Asked(layout)


@pytest.fixture
def service(layout: UnionLayout, asked: Asked) -> Iterator[UnionService]:
    running = UnionService(layout, asked, Limits(at_once=1))
    yield running
    running.close()


@pytest.fixture
def client(service: UnionService) -> FlaskClient:
    return create_union_app(service, TOKEN).test_client()


@pytest.mark.parametrize(
    "headers",
    [{}, {"Authorization": TOKEN}, {"Authorization": "Bearer "},
     {"Authorization": f"Bearer {TOKEN}x"}, {"Authorization": f"Basic {TOKEN}"}],
)  # fmt: skip
@pytest.mark.parametrize("path", ["/ask", "/state", "/", "/no-such-thing"])
def test_without_the_token_nothing_is_told(
    client: FlaskClient, asked: Asked, path: str, headers: dict[str, str]
) -> None:
    """Neither an answer nor which pages there are."""
    for answer in (client.get(path, headers=headers), client.post(path, json=HEARD,
                                                                  headers=headers)):  # fmt: skip
        assert answer.status_code == 401
        assert answer.json == {"format": 1, "problem": "The token is not the union's."}
    assert not asked.reached.is_set()


@pytest.mark.parametrize(
    "question",
    [None, [], "moon", {}, {"heard": ""}, {"heard": 7}, {"heard": ["a"]}, {"heard": "a" * 2_001}],
)
def test_what_is_no_question_is_refused(client: FlaskClient, question: object) -> None:
    """With a sentence, before any shard is asked."""
    answer = client.post("/ask", json=question, headers=LET_IN)

    assert answer.status_code == 400
    assert "A question is an object" in answer.get_json()["problem"]


def test_a_question_too_large_and_a_page_that_is_not_there(client: FlaskClient) -> None:
    """In JSON like everything else."""
    large = client.post("/ask", data=b"x" * 20_000, headers=LET_IN)
    gone = client.get("/no-such-thing", headers=LET_IN)

    assert (large.status_code, gone.status_code) == (400, 404)
    assert large.get_json()["problem"] and gone.get_json()["problem"] == "Not Found"


def test_an_answer_says_who_holds_it(client: FlaskClient) -> None:
    """With all that is needed to ask for a loan."""
    told = client.post("/ask", json=HEARD, headers=LET_IN).get_json()

    assert (told["sureness"], told["missing"]) == ("found", {"shards": [], "recordings": 0})
    assert told["matches"][0]["title"] == "The Chandler’s Daughter"
    holder = told["matches"][0]["held_at"][0]
    assert (holder["station"], holder["loan"]) == ("Quay Radio", "Ring the librarian.")


@pytest.mark.parametrize("silent", [{0}, {1}, {0, 1}])
def test_a_part_that_does_not_answer_is_named_with_what_it_holds(
    client: FlaskClient, asked: Asked, layout: UnionLayout, silent: set[int]
) -> None:
    """In the answer, and in the state."""
    asked.silent = silent
    answer = client.post("/ask", json=HEARD, headers=LET_IN)
    state = client.get("/state", headers=LET_IN).get_json()

    assert answer.status_code == 200
    held = sum(shard.entries for shard in layout.shards if shard.number in silent)
    assert answer.get_json()["missing"] == {"shards": sorted(silent), "recordings": held}
    answering = {shard["number"]: shard["replicas_answering"] for shard in state["shards"]}
    assert answering == {n: int(n not in silent) for n in (0, 1)}


def test_more_questions_than_at_once_are_turned_away_at_once(
    service: UnionService, client: FlaskClient, asked: Asked
) -> None:
    """With a sentence and when to come again; the next one is answered."""
    asked.let.clear()
    first = threading.Thread(target=service.ask, args=(Heard("herring moon"),))
    first.start()
    assert asked.reached.wait(10)
    busy = client.post("/ask", json=HEARD, headers=LET_IN)
    asked.let.set()
    first.join()

    assert (busy.status_code, busy.headers["Retry-After"]) == (503, "1")
    assert busy.get_json()["problem"] == "The union is busy. Ask again in a moment."
    assert client.post("/ask", json=HEARD, headers=LET_IN).status_code == 200


@pytest.mark.parametrize("host", ["8.8.8.8", "0.0.0.0", "::", "2001:4860:4860::8888", "radio.org"])
def test_it_listens_on_this_machine_or_a_private_network_only(
    service: UnionService, host: str
) -> None:
    """What passes is not encrypted."""
    with pytest.raises(StationProblem, match="not an address of this machine or of a private"):
        with union_server.serving(service, TOKEN, host, 0):
            pass


@contextmanager
def _served(service: UnionService) -> Iterator[str]:
    with union_server.serving(service, TOKEN, "127.0.0.1", 0) as address:
        yield address


def test_a_station_asks_it_and_is_told_what_is_missing(
    service: UnionService, asked: Asked, layout: UnionLayout
) -> None:
    """The station's own side of it, over loopback."""
    with _served(service) as address:
        union = Union(address, TOKEN, here=(51.9, 1.3))
        whole = other_stations.ask(union, Heard(HEARD["heard"]))
        asked.silent = {0}
        partly = other_stations.ask(union, Heard(HEARD["heard"]))
        with pytest.raises(NotLetIn):
            other_stations.ask(Union(address, "another"), Heard(HEARD["heard"]))

    assert (whole.matches[0].title, whole.missing) == ("The Chandler’s Daughter", 0.0)
    assert whole.matches[0].holders[0].lendable
    assert partly.missing == layout.shards[0].entries / layout.entries


def test_a_port_in_use_is_told(service: UnionService) -> None:
    """In a sentence that says what to do."""
    with _served(service) as address:
        port = int(address.rpartition(":")[2])
        with pytest.raises(StationProblem, match="--port"):
            with union_server.serving(service, TOKEN, "127.0.0.1", port):
                pass


def test_the_token_is_made_once_for_this_user_alone(tmp_path: Path) -> None:
    """And made anew where it was taken away, or was too short to be one."""
    first = union_server.token_of(tmp_path)
    path = tmp_path / union_server.TOKEN
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    path.chmod(0o644)
    assert union_server.token_of(tmp_path) == first
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    path.write_text("short")
    second = union_server.token_of(tmp_path)
    assert second != first and len(second) >= 32
    path.write_bytes(b"\xff" * 40)
    with pytest.raises(StationProblem, match="cannot be read"):
        union_server.token_of(tmp_path)
