"""What a station published: a signed manifest and Parquet files, verified before it is read.

A publication is a folder:

    manifest.json   who, how to ask for a loan, the number of this publication, and every file
                    with its rows, bytes and SHA-256
    manifest.sig    the 64 bytes of the Ed25519 signature over the bytes of manifest.json
    recordings-000007.parquet, holdings-000007.parquet, removed-000007.parquet
                    what publication 7 brought: whole recordings with all their holdings, and the
                    numbers of those that are shared no longer

The state is what remains when the files are applied in order: a later row of a number takes the
place of an earlier one, with all its holdings. A publication without files is a withdrawal.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from catalogue import union_parquet
from catalogue.errors import BadPublication
from catalogue.union_keys import Trusted, is_signed
from catalogue.union_parquet import Ints
from catalogue.union_shared import LONGEST_LOAN, LONGEST_NAME, Says

MANIFEST, SIGNATURE = "manifest.json", "manifest.sig"
FORMAT = 1
"""Raised when older programs could not read what is written."""

KINDS = ("recordings", "holdings", "removed")

_LARGEST_MANIFEST = 10 << 20
_READ_AT_ONCE = 1 << 20
_FILE_NAME = re.compile(rf"({'|'.join(KINDS)})-(\d{{6,12}})\.parquet")
_DIGEST = re.compile(r"[0-9a-f]{64}")
_ID = re.compile(r"[0-9a-f]{16}")


@dataclass(frozen=True, slots=True)
class PublishedFile:
    """One file: its name, kind, the publication that brought it, and what it must be."""

    name: str
    kind: str
    sequence: int
    rows: int
    bytes: int
    sha256: str


@dataclass(frozen=True, slots=True)
class Publication:
    """A publication as its manifest tells it. `digest` is the SHA-256 of the manifest's bytes,
    `previous` that of the manifest before, "" for the first."""

    folder: Path
    station: Says
    sequence: int
    previous: str
    made_at: str
    key: str
    recordings: int
    files: tuple[PublishedFile, ...]
    digest: str = ""

    @property
    def is_withdrawn(self) -> bool:
        """Whether the station shares nothing any more."""
        return not self.files

    def of_kind(self, kind: str) -> list[PublishedFile]:
        """The files of one kind, oldest first."""
        return sorted((f for f in self.files if f.kind == kind), key=lambda file: file.sequence)

    def live(self) -> list[tuple[int, Ints]]:
        """For each publication that brought recordings, oldest first: its number, and the numbers
        of its recordings that nothing later replaced or removed, ascending."""
        later = np.zeros(0, np.int64)
        found: list[tuple[int, Ints]] = []
        removed = {file.sequence: file for file in self.of_kind("removed")}
        brought = {file.sequence: file for file in self.of_kind("recordings")}
        for sequence in sorted({*removed, *brought}, reverse=True):
            if sequence in brought:
                own = np.sort(union_parquet.numbers(self.folder / brought[sequence].name))
                left = own[~union_parquet.among(own, later)]
                if len(left):
                    found.append((sequence, left))
                later = np.union1d(later, own)
            if sequence in removed:
                gone = union_parquet.numbers(self.folder / removed[sequence].name)
                later = np.union1d(later, gone)
        return found[::-1]

    def batches(self, kind: str, sequence: int, numbers: Ints) -> Iterator[Any]:
        """Record batches of what one publication brought, of these numbers only."""
        for file in self.of_kind(kind):
            if file.sequence == sequence:
                between = (int(numbers[0]), int(numbers[-1])) if len(numbers) else (1, 0)
                for batch in union_parquet.batches(self.folder / file.name, between=between):
                    yield union_parquet.kept(batch, numbers)

    def manifest(self) -> bytes:
        """The bytes of its manifest."""
        says = self.station
        data = {
            "format": FORMAT,
            "station": {
                "id": says.id, "name": says.name, "place": says.place,
                "latitude": says.latitude, "longitude": says.longitude, "loan": says.loan,
            },
            "sequence": self.sequence,
            "previous": self.previous,
            "made_at": self.made_at,
            "key": self.key,
            "recordings": self.recordings,
            "files": [
                {"name": f.name, "kind": f.kind, "sequence": f.sequence, "rows": f.rows,
                 "bytes": f.bytes, "sha256": f.sha256}
                for f in self.files
            ],
        }  # fmt: skip
        return json.dumps(data, ensure_ascii=False, indent=1).encode()


def read(folder: Path) -> tuple[Publication, bytes, bytes]:
    """The publication in a folder, not verified, with its manifest's bytes and signature.

    Raises BadPublication.
    """
    path = folder / MANIFEST
    try:
        if path.stat().st_size > _LARGEST_MANIFEST:
            raise BadPublication(f"{folder}: its manifest is far too large. It was left out.")
        content = path.read_bytes()
    except FileNotFoundError as problem:
        raise BadPublication(
            f"{folder}: there is no {MANIFEST}, so it is no publication. It was left out."
        ) from problem
    except OSError as problem:
        raise BadPublication(
            f"{folder}: its manifest cannot be read ({problem.strerror or problem}). "
            "It was left out."
        ) from problem
    try:
        signature = (folder / SIGNATURE).read_bytes()
    except OSError:
        signature = b""
    try:
        publication = _publication(folder, json.loads(content), content)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as problem:
        raise BadPublication(
            f"{folder}: its manifest is cut short or of another version. It was left out; have "
            "the station publish again, and copy the folder whole."
        ) from problem
    return publication, content, signature


def verified(
    folder: Path, trusted: Sequence[Trusted], seen: Mapping[str, tuple[int, str]] | None = None
) -> Publication:
    """The publication in a folder, if it is whole, signed by a trusted key, and not older than
    what was `seen` of its station ((sequence, digest) by station id).

    Raises BadPublication with a sentence that begins with the folder.
    """
    publication, content, signature = read(folder)
    _refuse_untrusted(publication, content, signature, trusted)
    _refuse_replayed(publication, (seen or {}).get(publication.station.id))
    for file in publication.files:
        _refuse_damaged(folder, file)
    if not publication.is_withdrawn:
        _refuse_odd(publication)
    return publication


def _refuse_untrusted(
    publication: Publication, content: bytes, signature: bytes, trusted: Sequence[Trusted]
) -> None:
    where, says = publication.folder, publication.station
    if not signature:
        raise BadPublication(
            f"{where}: it is signed by nobody ({SIGNATURE} is not there). It was left out; copy "
            "the folder whole."
        )
    owner = next((one for one in trusted if one.key == publication.key), None)
    if owner is None:
        raise BadPublication(
            f"{where}: it is signed with a key that the network does not know. It was left out; "
            "if you know the station, add its card with “asheard union keys trust”."
        )
    if owner.withdrawn:
        raise BadPublication(
            f"{where}: it is signed with the key of {owner.name} that was withdrawn on "
            f"{owner.withdrawn[:10]}. It was left out; the station needs a new key."
        )
    if not is_signed(content, signature, publication.key):
        raise BadPublication(
            f"{where}: its manifest was altered after it was signed. It was left out; copy the "
            f"folder again from {owner.name}."
        )
    if owner.station != says.id:
        raise BadPublication(
            f"{where}: it says that it is of another station than {owner.name}, whose key signed "
            "it. It was left out."
        )


def _refuse_replayed(publication: Publication, seen: tuple[int, str] | None) -> None:
    if seen is None:
        return
    name, number = publication.station.name, publication.sequence
    if number < seen[0]:
        raise BadPublication(
            f"{publication.folder}: it is publication {number} of {name}, and number {seen[0]} was "
            "built before. It was left out; copy the newest folder from the station."
        )
    if number == seen[0] and publication.digest != seen[1]:
        raise BadPublication(
            f"{publication.folder}: another publication {number} of {name} was built before. It "
            "was left out; have the station publish again."
        )


def _refuse_damaged(folder: Path, file: PublishedFile) -> None:
    """Whole, unaltered, and Parquet of the right columns."""
    path = folder / file.name
    again = "It was left out; copy the folder again, whole."
    try:
        size = path.stat().st_size
        if size == file.bytes:
            with path.open("rb") as opened:
                digest = hashlib.sha256()
                while piece := opened.read(_READ_AT_ONCE):
                    digest.update(piece)
    except FileNotFoundError as problem:
        raise BadPublication(f"{folder}: {file.name} is not there. {again}") from problem
    except OSError as problem:
        raise BadPublication(
            f"{folder}: {file.name} cannot be read ({problem.strerror or problem}). {again}"
        ) from problem
    if size < file.bytes:
        raise BadPublication(f"{folder}: {file.name} is cut short. {again}")
    if size > file.bytes or digest.hexdigest() != file.sha256:
        raise BadPublication(f"{folder}: {file.name} was altered. {again}")
    if wrong := union_parquet.wrong_with(path, file.kind, file.rows):
        raise BadPublication(
            f"{folder}: {file.name} cannot be used: {wrong}. It was left out; have the station "
            "publish again with this version."
        )


def _refuse_odd(publication: Publication) -> None:
    """What is signed and whole, and still cannot be: found before anything is built of it."""
    odd = ""
    try:
        for file in publication.files:
            odd = odd or _odd(publication.folder / file.name, file.kind)
    except union_parquet.UNREADABLE:
        odd = "a file cannot be read as Parquet"
    if not odd and sum(len(n) for _, n in publication.live()) != publication.recordings:
        odd = "it has not as many recordings as it says"
    if odd:
        raise BadPublication(
            f"{publication.folder}: it cannot be used: {odd}. It was left out; have the station "
            "publish again."
        )


def _odd(path: Path, kind: str) -> str:
    """What is odd about the values of a file; it is read to its end."""
    odd = union_parquet.odd_footer(path)
    for batch in union_parquet.batches(path):
        odd = odd or union_parquet.odd_values(batch, kind)
    if kind == "recordings":
        seen = union_parquet.numbers(path)
        if len(np.unique(seen)) < len(seen):
            odd = odd or "a number is there twice"
    return odd


def _publication(folder: Path, data: Mapping[str, Any], content: bytes) -> Publication:
    """From the manifest's JSON. Raises ValueError, KeyError or TypeError if it is none."""
    if data["format"] != FORMAT:
        raise ValueError("another format")
    files = tuple(_file(row) for row in data["files"])
    if len({file.name for file in files}) < len(files):
        raise ValueError("a file is named twice")
    says = data["station"]
    return Publication(
        folder,
        Says(
            _matching(_ID, says["id"]), _text(says["name"], LONGEST_NAME),
            _text(says["place"], LONGEST_NAME),
            _degrees(says["latitude"], 90), _degrees(says["longitude"], 180),
            _text(says["loan"], LONGEST_LOAN),
        ),
        _whole(data["sequence"], 1),
        str(data["previous"]),
        _text(data["made_at"], 40),
        _matching(_DIGEST, data["key"]),
        _whole(data["recordings"], 0),
        files,
        hashlib.sha256(content).hexdigest(),
    )  # fmt: skip


def _file(row: Mapping[str, Any]) -> PublishedFile:
    named = _FILE_NAME.fullmatch(row["name"])
    if not named or named[1] != row["kind"] or int(named[2]) != row["sequence"]:
        raise ValueError("a file has no name of ours")
    return PublishedFile(
        row["name"], row["kind"], _whole(row["sequence"], 1), _whole(row["rows"], 0),
        _whole(row["bytes"], 0), _matching(_DIGEST, row["sha256"]),
    )  # fmt: skip


def _whole(value: Any, least: int) -> int:
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value < 2**62:
        raise ValueError("no whole number")
    return value


def _matching(pattern: re.Pattern[str], value: Any) -> str:
    if not pattern.fullmatch(value):
        raise ValueError("no number in hexadecimal")
    return str(value)


def _text(value: Any, longest: int) -> str:
    if not isinstance(value, str) or len(value) > longest:
        raise ValueError("no text, or too long")
    return value


def _degrees(value: Any, most: float) -> float | None:
    if value is None:
        return None
    if isinstance(value, bool) or not -most <= float(value) <= most:
        raise ValueError("no degrees")
    return float(value)
