"""The key with which a station signs what it publishes, and the network's list of trusted keys.

Keys are Ed25519 (RFC 8032). A station's is made on first use, in a file of its own in the
station's folder that only this user can read. It is in no copy of the database; it goes along
when the whole station is packed for another PC, and not when it is packed without callers, since
such a file is made to be given away.

The list of trusted keys is one JSON file, kept by whoever builds the union:

    {"format": 1, "keys": [{"station": "…", "name": "…", "key": "…", "since": "…",
                            "withdrawn": null}]}

`withdrawn` is the day since which a key is not to be trusted; whatever it signed is refused, since
a thief can write any date. A withdrawn key stays in the list, so that it is never taken again.
"""

from __future__ import annotations

import hashlib
import json
import secrets
from collections.abc import Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Any

from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import (
    Ed25519PrivateKey,
    Ed25519PublicKey,
)

from catalogue.errors import BadInput, StationProblem, UnionProblem
from catalogue.packing import NETWORK_KEY
from catalogue.private_file import write_privately

FORMAT = 1
_ID_BYTES = 8
_GROUP = 4
_SHOWN = 16
"""Hexadecimal digits of a fingerprint, enough to compare over the telephone."""


@dataclass(frozen=True, slots=True)
class StationKey:
    """A station's own key. `station` is its id in the network, `key` the public half, both
    hexadecimal; the private half is used by `sign` alone."""

    station: str
    key: str
    private: str
    made_at: str

    def __repr__(self) -> str:
        return f"StationKey({self.station}, {self.key})"

    def sign(self, content: bytes) -> bytes:
        """The signature of these bytes, 64 bytes long."""
        return Ed25519PrivateKey.from_private_bytes(bytes.fromhex(self.private)).sign(content)


@dataclass(frozen=True, slots=True)
class Trusted:
    """A key of the network's list: whose it is, since when, and since when no longer."""

    station: str
    name: str
    key: str
    since: str
    withdrawn: str | None = None


def own_key(station_folder: Path, now: datetime) -> StationKey:
    """The station's key, made if there is none. Raises UnionProblem if it cannot be read."""
    return held_key(station_folder) or new_key(station_folder, now)


def held_key(station_folder: Path) -> StationKey | None:
    """The station's key, None if there is none. Raises UnionProblem if it cannot be read."""
    path = station_folder / NETWORK_KEY
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
        held = StationKey(**data)
        private = Ed25519PrivateKey.from_private_bytes(bytes.fromhex(held.private))
        if private.public_key().public_bytes_raw().hex() != held.key:
            raise ValueError("its two halves do not belong together")
    except FileNotFoundError:
        return None
    except (OSError, ValueError, TypeError) as problem:
        raise UnionProblem(
            f"The station's key {path} cannot be read ({problem}). Give this user the right to "
            "read it; if it is damaged, make another with “asheard union keys make --new”, and "
            "tell the network."
        ) from problem
    return held


def new_key(station_folder: Path, now: datetime, station: str = "") -> StationKey:
    """Make a key and keep it, in the place of one that is there; `station` is the id to go on
    with. Raises UnionProblem if it cannot be written."""
    private = Ed25519PrivateKey.generate()
    made = StationKey(
        station or secrets.token_hex(_ID_BYTES),
        private.public_key().public_bytes_raw().hex(),
        private.private_bytes_raw().hex(),
        now.isoformat(timespec="seconds"),
    )
    path = station_folder / NETWORK_KEY
    try:
        write_privately(path, json.dumps(asdict(made), indent=1).encode())
    except StationProblem as problem:
        raise UnionProblem(f"The station's key {problem.message}") from problem
    return made


def fingerprint(key: str) -> str:
    """A public key in short, to be compared over the telephone.

    >>> fingerprint("00" * 32)
    '6668 7aad f862 bd77'
    """
    digest = hashlib.sha256(bytes.fromhex(key)).hexdigest()[:_SHOWN]
    return " ".join(digest[at : at + _GROUP] for at in range(0, _SHOWN, _GROUP))


def is_signed(content: bytes, signature: bytes, key: str) -> bool:
    """Whether the signature is of these bytes and by this key."""
    try:
        Ed25519PublicKey.from_public_bytes(bytes.fromhex(key)).verify(signature, content)
    except (InvalidSignature, ValueError):
        return False
    return True


def card(held: StationKey, name: str) -> str:
    """What a station sends to whoever keeps the network's list: nothing secret is in it."""
    return json.dumps(
        {"station": held.station, "name": name, "key": held.key}, ensure_ascii=False, indent=1
    )


def trust(known: Sequence[Trusted], text: str, now: datetime) -> tuple[list[Trusted], Trusted]:
    """The list with the key of a station's card added, and that key. Raises BadInput."""
    try:
        data = json.loads(text)
        new = Trusted(str(data["station"]), str(data["name"]), str(data["key"]).lower(),
                      now.isoformat(timespec="seconds"))  # fmt: skip
        Ed25519PublicKey.from_public_bytes(bytes.fromhex(new.key))
        bytes.fromhex(new.station)
    except (ValueError, KeyError, TypeError, RecursionError) as problem:
        raise BadInput(
            "That is no station's card. Have the station send what “asheard union keys show --to "
            "FILE” writes."
        ) from problem
    for one in known:
        if one.key != new.key:
            continue
        if one.withdrawn:
            raise BadInput(
                f"That key was withdrawn on {one.withdrawn[:10]} and is not taken again. Have the "
                "station make a new one with “asheard union keys make --new”."
            )
        if one.station != new.station:
            raise BadInput(f"That key is {one.name}'s. Each station needs a key of its own.")
        raise BadInput(f"The key of {one.name} is trusted already. Nothing was changed.")
    return [*known, new], new


def withdraw(known: Sequence[Trusted], which: str, now: datetime) -> tuple[list[Trusted], Trusted]:
    """The list with one key withdrawn from now on, and that key.

    `which` is the beginning of a key, of its fingerprint, or a station's id or name. Raises
    BadInput if that is none or several.
    """
    asked = which.strip().lower()
    bare = asked.replace(" ", "")
    found = [
        one for one in known
        if not one.withdrawn and bare and (
            one.key.startswith(bare) or asked in (one.station, one.name.lower())
            or fingerprint(one.key).replace(" ", "").startswith(bare)
        )
    ]  # fmt: skip
    if len(found) != 1:
        what = "No trusted key" if not found else f"{len(found)} trusted keys"
        raise BadInput(f"{what} of the list fits “{which}”. Give the beginning of the key. "
                       "“asheard union keys show --trust FILE” lists them.")  # fmt: skip
    gone = replace(found[0], withdrawn=now.isoformat(timespec="seconds"))
    return [gone if one == found[0] else one for one in known], gone


def read_list(path: Path) -> list[Trusted]:
    """The network's list. Raises UnionProblem if there is none or it cannot be read."""
    try:
        data: Any = json.loads(path.read_text(encoding="utf-8"))
        if data["format"] != FORMAT:
            raise ValueError("it was written by another version of this program")
        return [Trusted(**row) for row in data["keys"]]
    except FileNotFoundError as problem:
        raise UnionProblem(
            f"There is no list of trusted keys at {path}. Begin one with “asheard union keys trust "
            "CARD --trust FILE”, with the card each station sends."
        ) from problem
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as problem:
        raise UnionProblem(
            f"The list of trusted keys {path} cannot be read ({problem}). Nothing is built without "
            "it: put a copy of it back."
        ) from problem


def write_list(path: Path, known: Sequence[Trusted]) -> None:
    """Put the list in the place of the old one, whole or not at all. Raises UnionProblem."""
    text = json.dumps(
        {"format": FORMAT, "keys": [asdict(one) for one in known]}, ensure_ascii=False, indent=1
    )
    draft = path.with_name(f"{path.name}.{secrets.token_hex(4)}")
    try:
        draft.write_text(text + "\n", encoding="utf-8")
        draft.replace(path)
    except OSError as problem:
        draft.unlink(missing_ok=True)
        raise UnionProblem(
            f"The list {path} cannot be written ({problem.strerror or problem}). Give this user "
            "the right to write there."
        ) from problem
