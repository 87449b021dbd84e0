"""An answer told on the terminal, as JSON, and in batches."""

from __future__ import annotations

import csv
import errno
import json
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from catalogue import catalogue_rows as rows
from catalogue import explaining, undo
from catalogue.enquiry import enquire
from catalogue.errors import BadInput, UnreadableList
from catalogue.heard import Heard
from catalogue.records import Answer, Carrier, NewDisc, NewHolding, NewRecording, Outcome
from catalogue.sound_index import SoundIndex
from catalogue.store import Store
from web import telling

NOW = datetime(2026, 11, 25, 19, 30)
Ask = Callable[[str], Answer]


@pytest.fixture
def index(tmp_path: Path) -> Iterator[SoundIndex]:
    """Five recordings: a file, an LP with its side and track, one not held."""
    store = Store(tmp_path / "asheard.db")
    with undo.action(store, "Dilys", "a few", NOW):
        lp = rows.shelve_disc(store, NewDisc(Carrier.LP, "C 114", place="the back room"))
        for title, artist, year in (
            ("My Lantern", "Ann Oke", 1962), ("Mudlark", "Ann Oke", 1963),
            ("The Long Jetty", "Hector Pike", 1959), ("Far Beacon", "Ann Oke", 1961),
            ("Ægirs Søng", "Bjørk Ærø", 1970),
        ):  # fmt: skip
            number = rows.add_recording(store, NewRecording(title, artist, year=year))
            if title == "The Long Jetty":
                rows.add_holding(store, NewHolding(number, disc_id=lp, side="2", track="3"))
            elif title != "Far Beacon":
                rows.add_holding(store, NewHolding(number, path=f"/music/{number}.ogg"))
    opened = SoundIndex(tmp_path / "sound_index", store)
    yield opened
    opened.close()
    store.close()


@pytest.fixture
def ask(index: SoundIndex) -> Ask:
    return lambda text: enquire(index.store, index, Heard(text), NOW)


def _told(answer: Answer) -> str:
    return "\n".join(line for _, line in telling.lines(answer))


def test_the_sentence_to_say_comes_first_then_matches_with_place_and_reasons(ask: Ask) -> None:
    """As the searcher needs them."""
    answer = ask("the long jetty by hector pike")
    lines = [line for _, line in telling.lines(answer)]

    assert lines[0] == answer.say
    assert lines[2].startswith("1  The Long Jetty — Hector Pike, 1959  [")
    assert "   ready: LP C 114, side 2, track 3, the back room" in lines
    assert any("the title is “The Long Jetty”" in line for line in lines)


def test_what_is_not_held_is_told_with_what_is_ready_instead(ask: Ask) -> None:
    """And where that is."""
    told = _told(ask("far beacon by ann oke"))

    assert "known, but not held" in told
    assert "Instead, ready now:" in told
    assert "/music/1.ogg" in told


def test_a_path_stands_alone_on_its_line(ask: Ask) -> None:
    """So that the window's edge does not break it at a space, and it can be copied."""
    lines = list(telling.lines(ask("my lantern by ann oke")))

    assert ("place", "   ready, a file:") in lines
    assert ("path", "     /music/1.ogg") in lines


def test_what_to_ask_is_not_said_twice(ask: Ask) -> None:
    """When nothing was asked, the sentence to say is the question."""
    assert _told(ask("")) == ask("").say


def test_questions_are_told_when_nothing_was_found(ask: Ask) -> None:
    """Under a heading of their own."""
    told = _told(ask("zebra vacuum kwik polka"))

    assert "Ask the caller:" in told


def test_json_has_the_same_and_is_plain_data(ask: Ask) -> None:
    """Numbers, texts and lists only; it comes back from its text as it was."""
    answer = ask("the long jetty by hector pike")
    told = telling.as_json(answer)

    assert json.loads(json.dumps(told)) == told
    assert told["outcome"] == "found"
    assert told["say"] == answer.say
    first = told["matches"][0]
    assert (first["title"], first["artist"], first["year"]) == (
        "The Long Jetty", "Hector Pike", 1959)  # fmt: skip
    assert 0 <= first["chance"] <= 1
    assert first["availability"][0] == {
        "readiness": "ready", "place": "LP C 114, side 2, track 3, the back room", "why": ""
    }  # fmt: skip
    assert all(isinstance(reason, str) for reason in first["reasons"])
    offered = telling.as_json(ask("far beacon by ann oke"))["stand_ins"]
    assert offered and offered[0]["say"].startswith("We have") and offered[0]["place"]


def test_how_it_was_read_is_explained(index: SoundIndex) -> None:
    """Words, sounds in CMUdict's letters, every reading, and what spoke for the first match."""
    explanation = explaining.explain(index, Heard("Queen by Ann Oke"))
    told = "\n".join(line for _, line in telling.explained(explanation))

    assert "words: queen by ann oke" in told
    assert "sounds: K W IY N B AY AE N" in told
    assert "title by artist: title “queen”, artist “ann oke”" in told
    assert "chance of being right" in told


def test_a_stand_in_is_offered_although_the_record_is_ready(index: SoundIndex) -> None:
    """When somebody asks for one in place of it; never that record itself."""
    answer = telling.in_place_of(index.store, index, Heard("my lantern by ann oke"), NOW)

    assert answer.say == "In place of “My Lantern” by Ann Oke:"
    assert len(answer.matches) == 1
    assert answer.stand_ins
    assert "My Lantern" not in {s.recording.title for s in answer.stand_ins}


def test_a_stand_in_for_what_is_not_known_is_the_plain_answer(index: SoundIndex) -> None:
    """Nothing is invented about it."""
    answer = telling.in_place_of(index.store, index, Heard("zebra vacuum kwik polka"), NOW)

    assert answer.outcome is Outcome.NOT_FOUND
    assert answer.say.startswith("I cannot find that one.")


# Batches


def _batch(index: SoundIndex, tmp_path: Path, text: str | bytes) -> list[dict[str, str]]:
    source = tmp_path / "heard.csv"
    source.write_bytes(text if isinstance(text, bytes) else text.encode())
    told: list[tuple[int, int]] = []
    count = telling.batch(
        index.store, index, source, tmp_path / "out.csv", lambda *n: told.append(n)
    )
    with (tmp_path / "out.csv").open(encoding="utf-8", newline="") as file:
        answers = list(csv.DictReader(file))
    assert told == [(n, count) for n in range(1, count + 1)]
    assert len(answers) == count
    return answers


def test_a_batch_answers_every_row_in_order(index: SoundIndex, tmp_path: Path) -> None:
    """By its row_id, whatever that is; heard in one field or in two; blank and odd rows too."""
    answers = _batch(
        index, tmp_path,
        "row_id,heard,heard_title,heard_artist,more\n"
        "a,my lantern by ann oke,,,x\n"
        "b,,the long jetty,hector pike,\n"
        'c,"ægirs søng, bjørk ærø",,,\n'
        "d,,,,\n"
        "e,zz\x0bqq,,,\n"
        "f\n",
    )  # fmt: skip

    assert [row["row_id"] for row in answers] == list("abcdef")
    assert [row["recording_ids"].split(" ")[0] for row in answers[:4]] == ["1", "3", "5", ""]
    assert {row["band"] for row in answers} <= {"certain", "likely", "possible", ""}
    assert answers[3]["band"] == ""


def test_a_batch_may_begin_with_a_byte_order_mark(index: SoundIndex, tmp_path: Path) -> None:
    """As spreadsheets write it."""
    answers = _batch(index, tmp_path, b"\xef\xbb\xbfrow_id,heard\r\n1,my lantern by ann oke\r\n")

    assert answers[0]["recording_ids"].split()[0] == "1"


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "needs rows"),
        (b"row_id,heard\n", "needs rows"),
        (b"number,request\n1,x\n", "the columns row_id and heard"),
        (b"row_id,heard\n1,caf\xe9\n", "is not in UTF-8"),
        (b'row_id,heard\n1,"' + b"x" * 200_000 + b'"\n', "cannot be read as a CSV file"),
        (None, "There is no file"),
    ],
)
def test_a_bad_batch_is_refused_and_nothing_is_written(
    index: SoundIndex, tmp_path: Path, content: bytes | None, sentence: str
) -> None:
    """The old answers stay, and no draft is left."""
    source, target = tmp_path / "heard.csv", tmp_path / "out.csv"
    target.write_text("old")
    if content is not None:
        source.write_bytes(content)

    with pytest.raises(UnreadableList, match=sentence):
        telling.batch(index.store, index, source, target, lambda *_: None)
    assert target.read_text() == "old"
    assert list(tmp_path.glob("*.part*")) == []


def test_a_batch_that_cannot_be_written_says_so(index: SoundIndex, tmp_path: Path) -> None:
    """A folder that is not there; a folder in its place."""
    source = tmp_path / "heard.csv"
    source.write_text("row_id,heard\n1,my lantern\n")
    (tmp_path / "folder").mkdir()
    for target in (tmp_path / "gone" / "out.csv", tmp_path / "folder"):
        with pytest.raises(BadInput, match="cannot be written.*--out"):
            telling.batch(index.store, index, source, target, lambda *_: None)
    assert list(tmp_path.glob("*.part*")) == []


def test_a_batch_on_a_drive_that_takes_no_writing_says_so(
    index: SoundIndex, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """There the draft can neither be written nor removed."""
    source = tmp_path / "heard.csv"
    source.write_text("row_id,heard\n1,my lantern\n")

    def refuse(*_: object, **__: object) -> None:
        raise OSError(errno.EROFS, "Read-only file system")

    monkeypatch.setattr(Path, "unlink", refuse)
    with pytest.raises(BadInput, match="cannot be written.*--out"):
        telling.batch(index.store, index, source, tmp_path / "gone" / "out.csv", lambda *_: None)


def test_a_batch_never_writes_over_its_requests(index: SoundIndex, tmp_path: Path) -> None:
    """However the place is written."""
    source = tmp_path / "heard.csv"
    source.write_text("row_id,heard\n1,my lantern\n")
    with pytest.raises(BadInput, match="holds the requests"):
        telling.batch(index.store, index, source, tmp_path / "." / "heard.csv", lambda *_: None)
    assert source.read_text() == "row_id,heard\n1,my lantern\n"


def test_a_batch_broken_off_leaves_nothing(index: SoundIndex, tmp_path: Path) -> None:
    """Ctrl-C in the middle."""
    source = tmp_path / "heard.csv"
    source.write_text("row_id,heard\n1,my lantern\n2,mudlark\n")

    def broken_off(*_: int) -> None:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        telling.batch(index.store, index, source, tmp_path / "out.csv", broken_off)
    assert {p.name for p in tmp_path.glob("*.csv*")} == {"heard.csv"}
