"""No path leads out of the library folders, whatever is in a row, a playlist or an address."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

import pytest
from flask import Flask
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from catalogue import catalogue_rows, roots, undo
from catalogue.errors import NotFound
from catalogue.store import Store
from importers import playlists
from importers.entries import Refused

from .conftest import EVENING, Desk, Held

SECRET = "nobody-may-read-this"


@dataclass(frozen=True)
class Place:
    """A library with a file in it, and what lies outside of it."""

    library: Path
    inside: Path
    outside: Path


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Place:
    folder = tmp_path_factory.mktemp("paths")
    library, outside = folder / "music", folder / "secret.mp3"
    (library / "a").mkdir(parents=True)
    outside.write_text(SECRET)
    (folder / "music-of-others").mkdir()
    (folder / "music-of-others" / "secret.mp3").write_text(SECRET)
    inside = library / "a" / "tide.mp3"
    inside.write_text("sound")
    (library / "link.mp3").symlink_to(outside)
    (library / "out").symlink_to(folder)
    (library / "round.mp3").symlink_to(library / "round.mp3")
    (library / "good.mp3").symlink_to(inside)
    return Place(library, inside, outside)


PIECES = st.sampled_from(
    ["..", ".", "", "a", "tide.mp3", "secret.mp3", "link.mp3", "out", "good.mp3", "round.mp3",
     "music", "music-of-others", "..%2f..", "%2e%2e", "%252e%252e", "..\\..", "\\", "\x00", "~",
     "C:", "C:\\", "\\\\host\\share", "//host/share", "file:", "etc", "passwd", "．．", "..;",
     "tide.mp3\x00.txt", "tide.mp3:stream", "con", "....//", "%c0%ae%c0%ae", "\u2215", "a" * 300]
)  # fmt: skip


@st.composite
def paths(draw: st.DrawFn) -> str:
    """From the library on, from the root on, or from nowhere; by either stroke."""
    begin = draw(
        st.sampled_from(["{library}/", "{library}/", "/", "", "{library}/a/", "{library}"])
    )
    return begin + draw(st.sampled_from("/\\")).join(draw(st.lists(PIECES, max_size=7)))


@settings(max_examples=600, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(paths())
@example("{library}/../secret.mp3")
@example("{library}/link.mp3")
@example("{library}/out/secret.mp3")
@example("{library}/a/../../secret.mp3")
@example("{library}/../music-of-others/secret.mp3")
@example("{library}-of-others/secret.mp3")
@example("{library}/good.mp3")
@example("")
def test_a_path_in_a_row_stays_inside(place: Place, path: str) -> None:
    path = path.replace("{library}", str(place.library))
    try:
        found = roots.within([str(place.library)], path)
    except NotFound:
        return
    assert found.resolve() == found
    assert found.is_relative_to(place.library.resolve())
    assert SECRET not in found.read_text()


def test_what_is_inside_is_found(place: Place) -> None:
    folder = [str(place.library)]
    assert roots.within(folder, str(place.inside)) == place.inside.resolve()
    assert roots.within(folder, str(place.library / "good.mp3")) == place.inside.resolve()
    with pytest.raises(NotFound):
        roots.within([], str(place.inside))
    with pytest.raises(NotFound):
        roots.within(folder, str(place.library / "a"))


@pytest.fixture
def listening(
    store: Store, held: Held, phone: Desk, place: Place
) -> Callable[[str], tuple[int, str]]:
    roots.add(store, str(place.library), "Charlie", EVENING)

    def listen(path: str) -> tuple[int, str]:
        with undo.action(store, "Charlie", "a path", EVENING):
            catalogue_rows.change_holding(store, held.copies["waltz"], path=path)
        answer = phone.get(f"/phone/listen/{held.copies['waltz']}")
        return answer.status_code, answer.get_data(as_text=True)

    return listen


def test_listening_opens_nothing_outside(
    listening: Callable[[str], tuple[int, str]], place: Place
) -> None:
    assert listening(str(place.inside)) == (200, "sound")
    for path in (str(place.outside), str(place.library / "link.mp3"),
                 f"{place.library}/../secret.mp3", f"{place.library}/out/secret.mp3",
                 f"{place.library}-of-others/secret.mp3", "/etc/passwd.mp3"):  # fmt: skip
        status, text = listening(path)
        assert status == 404 and SECRET not in text, path


@settings(max_examples=150, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(paths())
@example("../secret.mp3")
@example("{library}/link.mp3")
def test_a_playlist_given_in_a_browser_opens_nothing_outside(place: Place, path: str) -> None:
    location = path.replace("{library}", str(place.library))
    if not location.strip() or any(sign in location for sign in "\r\n"):
        return
    file = place.library.parent / "list.m3u"
    file.write_text(f"#EXTM3U\n{location}\n", encoding="utf-8")
    try:
        read = list(playlists.files(file, [str(place.library)]))
    except playlists.UnreadableList:
        return
    for one in read:
        if not isinstance(one, Refused):
            assert Path(str(one.copy.path)).resolve().is_relative_to(place.library.resolve())


ADDRESSES = st.lists(
    st.one_of(PIECES, PIECES.map(lambda piece: quote(piece, safe=""))), min_size=1, max_size=6
).map("/".join)


@settings(max_examples=250, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(rest=ADDRESSES)
@example(rest="../../pyproject.toml")
@example(rest="%2e%2e%2f%2e%2e%2fasheard.db")
@example(rest="../session_key")
def test_no_address_with_a_name_in_it_opens_another_file(
    signed_in_keeper: Desk, addresses: list[str], rest: str
) -> None:
    for address in addresses:
        answer = signed_in_keeper.client.get(address.replace("NAME", rest))
        assert answer.status_code < 500, address
        if answer.status_code == 200:
            text = answer.get_data()
            for telling in (b"SQLite format", b"[project]", b"root:x:0", SECRET.encode()):
                assert telling not in text, f"{address} {rest}"


@pytest.fixture
def addresses(app: Flask) -> list[str]:
    """Every address with a name in it, such as of a paper or a list that was given."""
    found = []
    for rule in app.url_map.iter_rules():
        if "GET" in (rule.methods or ()) and re.search(r"<(?!int:)", rule.rule):
            whole = re.sub(r"<int:\w+>", "1", rule.rule)
            found.append(re.sub(r"<[^>]+>", "NAME", whole))
    assert len(found) >= 5
    return found


@pytest.fixture
def signed_in_keeper(sign_in: Callable[[str], Desk]) -> Desk:
    return sign_in("Dora")
