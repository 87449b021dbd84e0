"""Which recording a title and artist as heard most likely mean, by the matcher.

Asking takes some hundredths of a second, and a station looks for a thousand records: what was
found is remembered until a name in the catalogue that is like it changes.
"""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

from catalogue import wants
from catalogue.comparisons import pairs_alike
from catalogue.filed_forms import filed_forms
from catalogue.heard import Heard, understand
from catalogue.matcher import weigh
from catalogue.records import Band
from catalogue.sound import sound_of
from catalogue.sound_index import SoundIndex
from catalogue.store import Store

LIKE = 0.5
"""Plain ratio of the sounds of two titles from which a changed name may be what was meant, or
take the place of what was. What is called likely is nearer. By judgement."""

MANY = 50
"""Changed recordings from which on everything is asked again: after a taking-in."""

AT_ONCE_S, AT_ONCE = 0.03, 2
"""How long a page asks, and how many names at least; the rest is asked beside the desks."""

Name = tuple[str, str]


def meant_by(index: SoundIndex) -> Callable[[str, str], int | None]:
    """A function from title and artist to the recording meant, None unless it is likely."""

    def meant(title: str, artist: str) -> int | None:
        if not title.strip():
            return None
        weighed = weigh(index, understand(Heard("", title, artist)))
        if not weighed or weighed[0].band is Band.POSSIBLE:
            return None
        return weighed[0].recording_id

    return meant


class Meanings:
    """What names mean, remembered; threads may share one."""

    def __init__(self, store: Store, index: SoundIndex) -> None:
        self._store = store
        self._ask = meant_by(index)
        self._lock = threading.Lock()
        self._known: dict[Name, int | None] = {}
        self._doubtful: set[Name] = set()
        self._as_of = -1

    def for_a_page(self) -> Callable[[str, str], int | None]:
        """A function from title and artist to what they mean. It asks for a moment; beyond that
        it gives what was found before the catalogue changed, or None for what is new."""
        self._look_for_changes()
        until, asked = time.perf_counter() + AT_ONCE_S, 0

        def meant(title: str, artist: str) -> int | None:
            nonlocal asked
            name = (title, artist)
            # Another thread may forget it meanwhile.
            sure, found = self._is_sure(name), self._known.get(name)
            if sure or (asked >= AT_ONCE and time.perf_counter() > until):
                return found
            asked += 1
            return self._find(name)

        return meant

    def go_on(self, between: Callable[[], bool]) -> None:
        """Ask what is left of the names on the list of wants, and forget all others. `between`
        is called after each and says whether to end."""
        self._look_for_changes()
        every = {(w.title, w.artist) for w in wants.all_wants(self._store) if not w.recording_id}
        with self._lock:
            for other in self._known.keys() - every:
                del self._known[other]
            self._doubtful &= every
        for name in sorted(every):
            if not self._is_sure(name):
                self._find(name)
                if between():
                    return

    def _is_sure(self, name: Name) -> bool:
        return name in self._known and name not in self._doubtful

    def _find(self, name: Name) -> int | None:
        as_of = self._as_of
        found = self._ask(*name)
        with self._lock:
            self._known[name] = found
            if as_of == self._as_of:
                self._doubtful.discard(name)
        return found

    def _look_for_changes(self) -> None:
        """Doubt what names mean that are like those that changed."""
        rows = self._store.rows("SELECT seq FROM sqlite_sequence WHERE name = 'index_changes'")
        last = int(rows[0]["seq"]) if rows else 0
        with self._lock:
            if last == self._as_of:
                return
            before, self._as_of = self._as_of, last
            names = list(self._known)
        changed = self._changed_since(before)
        doubtful = names if changed is None else self._touched(names, changed)
        with self._lock:
            self._doubtful.update(name for name in doubtful if name in self._known)

    def _changed_since(self, number: int) -> list[int] | None:
        """The recordings whose names changed; None for many, or if it is not noted any more."""
        first = self._store.rows("SELECT min(number) AS n FROM index_changes")[0]["n"]
        if first is None or first > number + 1:
            return None
        rows = self._store.rows(
            "SELECT DISTINCT recording_id AS id FROM index_changes WHERE number > ? LIMIT ?",
            (number, MANY + 1),
        )
        return None if len(rows) > MANY else [row["id"] for row in rows]

    def _touched(self, names: list[Name], changed: list[int]) -> list[Name]:
        """Those that meant one of these recordings, or may mean one now."""
        titles = [form.title_phones for _, form in filed_forms(self._store, changed)]
        return [
            name
            for name in names
            if self._known.get(name) in changed or any(_is_like(half, titles) for half in name)
        ]


def _is_like(heard: str, titles: list[str]) -> bool:
    """Whether this sounds like any of these titles; title and artist may have changed places."""
    sound = sound_of(heard).phones
    return bool(sound) and bool((pairs_alike([sound] * len(titles), titles) >= LIKE).any())
