"""What comes from other PCs: certificates, cards, publications, and a network's questions and
answers. Nothing is sent: what would have come is put where it would be read."""

from __future__ import annotations

import hashlib
import json
import shutil
from datetime import datetime
from pathlib import Path
from types import SimpleNamespace
from typing import Any
from unittest import mock

from catalogue import other_stations, union_keys, union_publication
from catalogue.errors import CatalogueError
from catalogue.heard import Heard, understand
from catalogue.other_stations import Union
from catalogue.union_answer import Sureness, UnionAnswer
from tests.catalogue.published import station
from tests.fuzz.damage import of_bytes
from tests.fuzz.readers import Open, Opener
from tests.web.union_stubs import answer, held
from web import certificates, union_server

NOW = datetime(2026, 3, 14, 19, 30)
_JSON = (
    b'"',
    b"null",
    b"[",
    b"{}",
    b"1e999",
    b"-1",
    b"true",
    b'"\\ud800"',
    b'"\\u202e"',
    b"9" * 400,
)
_TOKEN = "as long as a token"
_RESEALED = 128
"""Set in the number of a file: the sums and the signature are made to fit what was damaged."""


def _certificate(folder: Path) -> Open:
    """A certificate and its key in one file, given with --certificate."""
    own = certificates.own(folder, ["localhost"])
    path = folder / "given.pem"

    def read(data: bytes) -> bool:
        path.write_bytes(data)
        try:
            found = certificates.given(path, None)
        except CatalogueError as problem:
            assert problem.message
            return False
        found.fingerprint_lines()
        return isinstance(found.names(), list)

    both = own.file.read_bytes() + own.key.read_bytes()
    return Open([both, own.key.read_bytes() + own.file.read_bytes()], of_bytes(40), read)


def _answer(_folder: Path) -> Open:
    """What the server of a network says, as far as a page would show it."""
    said = answer(
        matches=[held("Tide", "Bo"), held("Ebb", "Ada Sluice", year=1962)],
        stand_ins=[held("Quay Street Waltz", "Marsha Herron")],
    )
    coming = [b""]
    patch = mock.patch.object(other_stations, "_sent", lambda *_: coming[0])
    patch.start()
    union = Union("http://127.0.0.1:1", _TOKEN, (51.8, 1.1), "Saltmarsh Radio")

    def read(data: bytes) -> bool:
        coming[0] = data
        try:
            told = other_stations.ask(union, Heard("tide"))
        except CatalogueError:
            return False
        for one in (*told.matches, *told.stand_ins):
            assert one.title
            assert one.title.isprintable()
            assert one.holders
        assert 0 <= told.missing <= 1
        return True

    return Open([json.dumps(said).encode()], of_bytes(14, _JSON), read, patch.stop)


def _question(_folder: Path) -> Open:
    """What a station asks the server of a network, and how it asks."""

    def ask(heard: Heard) -> UnionAnswer:
        understand(heard)
        return UnionAnswer(Sureness.NOT_FOUND, (), (), frozenset())

    layout = SimpleNamespace(shards=(), stations=(), entries=0)
    service: Any = SimpleNamespace(ask=ask, layout=layout)
    client = union_server.create_union_app(service, _TOKEN).test_client()
    asking = {"Authorization": f"Bearer {_TOKEN}", "Content-Type": "application/json"}

    def read(data: bytes) -> bool:
        found = client.post("/ask", data=data, headers=asking)
        assert found.status_code < 500, found.data
        return found.status_code == 200

    whole = {"heard": "the long jetty by hector pike", "title": "", "artist": ""}
    parts = {"heard": "", "title": "Déjà Brume", "artist": "The Tides"}
    valid = [json.dumps(one, ensure_ascii=False).encode() for one in (whole, parts)]
    return Open(valid, of_bytes(11, _JSON), read)


def _publication(folder: Path) -> Open:
    """A publication of which a file is damaged; every second time its owner has signed that."""
    quay = station(folder / "quay", "Quay Radio")
    quay.add("Lantern on the Quay", "Marsha Herron")
    quay.publish()
    quay.add("Tide", "Bo")
    quay.publish()
    work = folder / "work"
    names = sorted(path.name for path in quay.folder.iterdir())
    valid = [
        bytes([number | sealed]) + (quay.folder / name).read_bytes()
        for number, name in enumerate(names)
        for sealed in (0, _RESEALED)
    ]

    def read(data: bytes) -> bool:
        shutil.rmtree(work, ignore_errors=True)
        shutil.copytree(quay.folder, work)
        name = names[(data[0] & ~_RESEALED) % len(names)] if data else names[0]
        (work / name).write_bytes(data[1:])
        if data and data[0] & _RESEALED:
            _sealed_again(work, name, quay.key)
        try:
            told = union_publication.verified(work, [quay.trusted])
        except CatalogueError as problem:
            assert problem.message.startswith(str(work))
            return False
        found = {"recordings": 0, "holdings": 0}
        for sequence, numbers in told.live():
            for kind in found:
                found[kind] += sum(one.num_rows for one in told.batches(kind, sequence, numbers))
        assert found["recordings"] == told.recordings
        return True

    return Open(valid, of_bytes(40, (*_JSON, b"PAR1")), read)


def _sealed_again(work: Path, name: str, key: union_keys.StationKey) -> None:
    """As a station would publish whose program or drive is at fault."""
    manifest = work / "manifest.json"
    content = manifest.read_bytes()
    if name.endswith(".parquet"):
        told = json.loads(content)
        data = (work / name).read_bytes()
        for row in told["files"]:
            if row["name"] == name:
                row |= {"bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}
        content = json.dumps(told).encode()
        manifest.write_bytes(content)
    (work / "manifest.sig").write_bytes(key.sign(content))


def _card(folder: Path) -> Open:
    """A card with a key, which somebody typed, and the file in which trusted keys are kept."""
    key = union_keys.own_key(folder, NOW)
    card = union_keys.card(key, "Quay Radio").encode()
    path = folder / "trusted.json"
    known, _ = union_keys.trust([], card.decode(), NOW)
    union_keys.write_list(path, known)

    def read(data: bytes) -> bool:
        path.write_bytes(data)
        taken = False
        try:
            union_keys.trust([], data.decode("utf-8", "replace"), NOW)
            taken = True
        except CatalogueError as problem:
            assert problem.message
        try:
            union_keys.read_list(path)
        except CatalogueError as problem:
            assert problem.message
            return taken
        return True

    return Open([card, path.read_bytes()], of_bytes(12, _JSON), read)


READERS: dict[str, Opener] = {
    "certificate": _certificate,
    "network answer": _answer,
    "network question": _question,
    "publication": _publication,
    "card of a key": _card,
}
"""Name of a reader -> what opens it."""
