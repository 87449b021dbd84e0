"""Lists that were given in a browser, kept beside the station until they are taken in."""

from __future__ import annotations

import re
import secrets
import shutil
import time
from pathlib import Path

from werkzeug.datastructures import FileStorage

from catalogue.errors import BadInput, NotFound, ReadOnlyStore
from catalogue.store import Store
from web.texts import t

LARGEST_BYTES = 20 * 1024 * 1024
"""The largest list: some hundred thousand rows. A picture or a film given by mistake is more."""

KEPT_S = 7 * 24 * 3600
"""How long a list is kept that nobody took in, or that may be gone on with."""

_LONGEST_NAME = 80
_TOKEN = re.compile(r"[0-9a-f]{16}")
_ODD = re.compile(r"[^\w .,()&+-]")


def keep(store: Store, given: FileStorage | None) -> str:
    """Keep a list; returns the token by which it is found. Raises BadInput, ReadOnlyStore."""
    if given is None or not given.filename:
        raise BadInput(t("taking.no_file"))
    _throw_old_away(store)
    token = secrets.token_hex(8)
    folder = _folder(store) / token
    try:
        folder.mkdir(parents=True, mode=0o700)
        path = folder / _name(given.filename)
        given.save(path)
        path.chmod(0o600)
    except OSError as problem:
        shutil.rmtree(folder, ignore_errors=True)
        raise ReadOnlyStore(t("taking.not_kept")) from problem
    return token


def find(store: Store, token: str) -> Path:
    """The file of a list that was given. Raises NotFound."""
    folder = _folder(store) / token
    if _TOKEN.fullmatch(token) and folder.is_dir():
        for path in folder.iterdir():
            return path
    raise NotFound(t("taking.list_gone"))


def throw_away(store: Store, token: str) -> None:
    """Let go of a list."""
    if _TOKEN.fullmatch(token):
        shutil.rmtree(_folder(store) / token, ignore_errors=True)


def _folder(store: Store) -> Path:
    return store.path.parent / "given_lists"


def _name(given: str) -> str:
    """A name that every system can keep, like the one it had.

    >>> _name("C:\\\\Lists\\\\Märzliste?.csv"), _name("../../etc/passwd"), _name("..")
    ('Märzliste_.csv', 'passwd', 'list')
    """
    bare = _ODD.sub("_", re.split(r"[/\\]", given)[-1]).strip(". ")
    return bare[-_LONGEST_NAME:] or "list"


def _throw_old_away(store: Store) -> None:
    folder = _folder(store)
    if not folder.is_dir():
        return
    for one in folder.iterdir():
        if time.time() - one.stat().st_mtime > KEPT_S:
            shutil.rmtree(one, ignore_errors=True)
