"""A request that only another station holds: from the keeper's rules to the sentence for the
caller."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import expect

from catalogue import settings
from catalogue.records import NewRecording
from catalogue.union_search import NearShards
from catalogue.union_service import UnionService
from catalogue.union_shard import Shard
from tests import made_unions
from tests.journeys.desks import KEEPER, SEARCHER, Desks, hear
from web import union_server

TOKEN = "a-token-of-the-union-of-the-estuary"


@pytest.fixture
def union(tmp_path: Path) -> Iterator[str]:
    """The union's real web server, with its shard in this process; yields its address."""
    recordings = [NewRecording("Chandler's Daughter", "Albie Cruttenden", year=1962),
                  NewRecording("Tarred Rope", "Albie Cruttenden", year=1963)]  # fmt: skip
    layout = made_unions.make(tmp_path / "union", made_unions.numbered(recordings), shards=1)
    service = UnionService(layout, NearShards([Shard(layout.shards[0])]))
    with union_server.serving(service, TOKEN, "127.0.0.1", 0) as address:
        yield address
    service.close()


def test_what_only_another_station_holds_is_told_while_the_caller_waits(
    desks: Desks, union: str, tmp_path: Path
) -> None:
    """The keeper opens the way out; from then on the phone desk says who holds it."""
    rules = desks.sit_down(KEEPER, "/station")
    for name, value in (("network_ask", "yes"), ("network_address", union),
                        ("network_token", TOKEN), ("network_position", "51.95, 1.29")):  # fmt: skip
        rules.fill(f"#s-{name}", value)
    rules.click(".rule-foot button.main")
    expect(rules.locator("body")).to_contain_text("Token for that address")
    phone = desks.sit_down(SEARCHER)
    hear(phone, "chandlers daughter albie cruttenden")
    others = phone.locator("#others li.other").first
    others.wait_for()

    assert (tmp_path / "station" / settings.TOKEN_FILE).read_text().strip() == TOKEN
    expect(others).to_contain_text("Chandler's Daughter")
    expect(others).to_contain_text("Quay Radio")
    expect(others).to_contain_text("Ring the librarian.")
    expect(phone.locator("#others")).to_contain_text("Tarred Rope")
