"""Shards as actors on a cluster of three nodes on loopback: asked, hung, slow, and killed."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from catalogue import union_actors, union_layout
from catalogue.candidates import RAREST_KEYS
from catalogue.errors import UnionProblem
from catalogue.heard import Heard
from catalogue.records import NewRecording
from catalogue.search_keys import keys_of_heard
from catalogue.sound import sound_of
from catalogue.union_actors import RayShards
from catalogue.union_answer import Sureness
from catalogue.union_layout import UnionLayout
from catalogue.union_ray import connected
from catalogue.union_search import NearShards, Searching
from catalogue.union_service import Limits, UnionBusy, UnionService
from catalogue.union_shard import Shard
from catalogue.union_terms import UnionTerms
from tests import made_unions
from tests.benchmarks import union_cluster

WORDS = ("last", "boat", "goat", "samphire", "moon", "lantern", "herring", "river")
HEARD = Heard("moon lantern by boat oke")
SOON_S = 60.0
"""Within this a lost replica runs again, on a busy machine too."""


@pytest.fixture(scope="module")
def layout(tmp_path_factory: pytest.TempPathFactory) -> UnionLayout:
    recordings = [NewRecording(f"{one} {two}", f"{by} oke") for one in WORDS for two in WORDS
                  for by in WORDS[:3]]  # fmt: skip
    return made_unions.make(
        tmp_path_factory.mktemp("union"), made_unions.numbered(recordings), shards=2
    )


@pytest.fixture(scope="module")
def cluster() -> Iterator[Any]:
    with union_cluster.cluster_of(4, idle_head=True) as running, connected(running.address):
        yield running


@contextmanager
def _running(
    layout: UnionLayout, replicas: int, tell: Callable[[str], None] = lambda _: None
) -> Iterator[RayShards]:
    shards = RayShards(layout, replicas, tell)
    try:
        yield shards
    finally:
        shards.close()


@contextmanager
def _service(layout: UnionLayout, shards: RayShards, seconds: float) -> Iterator[UnionService]:
    service = UnionService(layout, shards, Limits(seconds=seconds))
    try:
        yield service
    finally:
        service.close()


@contextmanager
def _hung(process: int) -> Iterator[None]:
    """A process that neither answers nor ends."""
    os.kill(process, signal.SIGSTOP)
    try:
        yield
    finally:
        os.kill(process, signal.SIGCONT)


def _until(true: Callable[[], bool]) -> None:
    end = time.monotonic() + SOON_S
    while not true():
        assert time.monotonic() < end, f"not so after {SOON_S:.0f} s"
        time.sleep(0.2)


def _processes(shards: RayShards, count: int) -> list[tuple[int, str, int]]:
    """All of so many processes: on a busy machine one may answer late."""
    _until(lambda: len(shards.processes()) == count)
    found = shards.processes()
    return found if len(found) == count else _processes(shards, count)


def _is_whole(shards: RayShards, replicas: int) -> bool:
    answering = shards.answering().values()
    return len(shards.processes()) == 2 * replicas and all(n == replicas for n in answering)


def _answers_without_waiting(shards: RayShards, shard: int) -> float:
    """Seconds until a question to a lost shard comes back without an answer."""
    started = time.monotonic()
    assert shards.ask({shard: ([1],)}, "entries", started + 5.0) == {}
    return time.monotonic() - started


def test_actors_give_the_order_of_one_process_and_lie_on_different_nodes(
    layout: UnionLayout, cluster: Any
) -> None:
    """What goes to and fro between processes is the same to the last bit."""
    keys = keys_of_heard("moon lantern boat", sound_of("moon lantern boat"))
    near = NearShards([Shard(files) for files in layout.shards])
    terms = UnionTerms(layout.terms)
    with _running(layout, 2) as shards:
        far = list(Searching(terms, shards).search(keys, 50, RAREST_KEYS))
        processes = _processes(shards, 4)
        nodes = [{node for shard, node, _ in processes if shard == n} for n in (0, 1)]
        with _service(layout, shards, 20) as service:
            answer = service.ask(HEARD)

    assert far == list(Searching(terms, near).search(keys, 50, RAREST_KEYS))
    assert [len(of_one) for of_one in nodes] == [2, 2]
    assert (answer.sureness, answer.missing) == (Sureness.FOUND, frozenset())
    assert answer.matches[0].recording.title == "moon lantern"
    assert answer.matches[0].held_at and answer.stand_ins
    named = {one.recording.id for one in answer.matches}
    assert not named & {one.recording.id for one in answer.stand_ins}


def test_a_hung_shard_delays_nobody_beyond_the_deadline_and_is_named(
    layout: UnionLayout, cluster: Any
) -> None:
    """Without a replica the part is told as missing; what the others hold is found. Only the
    first question waits for it: the next ones know that it is lost, until it is back."""
    with _running(layout, 1) as shards, _service(layout, shards, 3.0) as service:
        service.ask(HEARD)
        ((shard, _, process), *_) = _processes(shards, 2)
        with _hung(process):
            started = time.monotonic()
            answers = [service.ask(HEARD)]
            spent = time.monotonic() - started
            waited = _answers_without_waiting(shards, shard)
            answers.append(service.ask(HEARD))

        assert [answer.missing for answer in answers] == [{shard}] * 2
        assert spent < 6.0
        assert waited < 1.0
        _until(lambda: _is_whole(shards, 1))
        assert service.ask(HEARD).missing == frozenset()


def test_a_hung_shard_is_not_missed_while_another_replica_answers(
    layout: UnionLayout, cluster: Any
) -> None:
    """The next replica is asked too, long before the deadline."""
    with _running(layout, 2) as shards, _service(layout, shards, 30.0) as service:
        service.ask(HEARD)
        with _hung(_processes(shards, 4)[0][2]):
            started = time.monotonic()
            answers = [service.ask(HEARD) for _ in range(4)]
            spent = time.monotonic() - started

    assert [answer.missing for answer in answers] == [frozenset()] * 4
    assert spent < 25.0


def test_only_so_many_questions_wait_at_one_replica(
    layout: UnionLayout, cluster: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where it answers nothing, the next ones are turned away at once and do not pile up."""
    monkeypatch.setattr(union_actors, "WAITING", 2)
    monkeypatch.setattr(union_actors, "_LOST_S", 60.0)
    with _running(layout, 1) as shards:
        ((shard, _, process), *_) = _processes(shards, 2)
        with _hung(process):
            spent = []
            for _ in range(3):
                started = time.monotonic()
                assert shards.ask({shard: ([1],)}, "entries", started + 0.5) == {}
                spent.append(time.monotonic() - started)

    assert spent[0] >= 0.5
    assert spent[2] < 0.4


def test_a_killed_node_is_not_missed_while_another_replica_is_left(
    layout: UnionLayout, cluster: Any
) -> None:
    """And Ray starts what was lost again on another node, from the shard's files."""
    with _running(layout, 2) as shards, _service(layout, shards, 30.0) as service:
        service.ask(HEARD)
        head = cluster.head_node.node_id
        victim = next(node for _, node, _ in _processes(shards, 4) if node != head)
        assert union_cluster.kill_node(cluster, shards, victim) > 0
        answers = [service.ask(HEARD) for _ in range(5)]
        _until(lambda: _is_whole(shards, 2))
        nodes = {node for _, node, _ in shards.processes()}

    assert [answer.missing for answer in answers] == [frozenset()] * 5
    assert victim not in nodes


def test_a_killed_node_without_a_replica_is_told_as_the_part_that_is_missing(
    layout: UnionLayout, cluster: Any, capfd: pytest.CaptureFixture[str]
) -> None:
    """Until it runs again elsewhere; then nothing is missing any more. Ray itself says nothing."""
    told: list[str] = []
    with _running(layout, 1, told.append) as shards, _service(layout, shards, 5.0) as service:
        service.ask(HEARD)
        head = cluster.head_node.node_id
        processes = shards.processes()
        victim = next(node for _, node, _ in processes if node != head)
        lost = {shard for shard, node, _ in processes if node == victim}
        union_cluster.kill_node(cluster, shards, victim)
        first = service.ask(HEARD)
        _until(lambda: _is_whole(shards, 1) and any("whole again" in one for one in told))
        again = service.ask(HEARD)

    assert "does not answer" in told[0]
    assert "node" not in capfd.readouterr().out
    assert first.missing <= lost  # Ray may have been quicker than the question
    assert again.missing == frozenset()
    assert again.matches[0].recording.title == "moon lantern"


def test_a_union_that_is_not_there_for_the_actors_is_refused_in_a_sentence(
    layout: UnionLayout, cluster: Any
) -> None:
    """As on a machine that has not got the folder."""
    files = tuple(union_layout.ShardFiles(s.number, Path("/nowhere"), 1, 1, "x")
                  for s in layout.shards)  # fmt: skip
    gone = UnionLayout(layout.folder, "", layout.make, files, layout.terms, layout.stations)

    with pytest.raises(UnionProblem, match="same path on every machine"):
        RayShards(gone, 1)


def test_more_questions_than_may_be_answered_at_once_are_refused(layout: UnionLayout) -> None:
    """A caller on the line is better told so than kept waiting."""
    near = NearShards([Shard(files) for files in layout.shards])
    service = UnionService(layout, near, Limits(at_once=1))

    with service._turn(), pytest.raises(UnionBusy, match="busy"):
        service.ask(HEARD)
    assert service.ask(HEARD).matches
    service.close()
