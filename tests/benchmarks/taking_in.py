"""How fast files are taken in, beside mutagen alone, and how fast a folder is gone through again.

    python -m tests.benchmarks.taking_in [--quick] [--json]

Makes its own files: a few seconds of sound in six formats, then thousands of copies, each with
tags of its own (nineteen fields and a picture) and with a sound of its own. Then, in turns and
several times over, mutagen alone opens every file, and a new station takes all of them in: read,
cleaned, stored, their sound's digest taken. Each pair of turns has its share, and the middle one
counts, so that other work on the machine weighs on both alike; the share of processor time, all
processes summed, hardly depends on it. The two halves of one taking-in show whether memory stays
flat. At last a station that knows many unchanged files looks
through its folder again; those files are put into its catalogue directly, since nothing of them
is read.

With --json the last line is {"files", "mutagen_per_s", "taken_in_per_s", "share", "cpu_share",
"load", "half_mb", "end_mb", "rescan_files", "rescan_s"}; "load" is how many processes wanted the
machine's processors on the average while it was measured. Goals: share at least 0.6, 100,000
files in 15 s.
"""

from __future__ import annotations

import argparse
import base64
import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from datetime import datetime
from pathlib import Path

_NOW = datetime(2026, 1, 1, 20, 0)
_SECONDS = 8
_RATE = 44_100
_KINDS = {
    ".mp3": ("MP3", "MPEG_LAYER_III"),
    ".flac": ("FLAC", "PCM_16"),
    ".ogg": ("OGG", "VORBIS"),
    ".opus": ("OGG", "OPUS"),
    ".wav": ("WAV", "PCM_16"),
    ".aiff": ("AIFF", "PCM_16"),
}
_MIX = (".mp3",) * 6 + (".flac",) * 2 + (".ogg", ".opus", ".wav", ".aiff")
"""Half of a volunteer station's files are MP3 (common practice, no source)."""

_ALBUM = 12
_PICTURE = b"\xff\xd8\xff\xe0" + bytes(range(256)) * 240
ROUNDS = 3


def sounds(folder: Path) -> dict[str, bytes]:
    """A few seconds of sound in every format."""
    import numpy as np
    import soundfile

    chance = np.random.default_rng(5)
    made = {}
    for suffix, (kind, coding) in _KINDS.items():
        path = folder / f"sound{suffix}"
        sound = 0.05 * chance.standard_normal(_SECONDS * _RATE // (8 if "PCM" in coding else 1))
        rate = 48_000 if suffix == ".opus" else _RATE
        soundfile.write(path, sound, rate, format=kind, subtype=coding)
        made[suffix] = path.read_bytes()
        path.unlink()
    return made


def make_files(folder: Path, count: int) -> None:
    """The files: albums of twelve by artists of five albums."""
    made = sounds(folder)
    for number in range(count):
        suffix = _MIX[number % len(_MIX)]
        artist, album = number // (_ALBUM * 5), number // _ALBUM
        path = folder / f"Artist {artist}" / f"Album {album}" / f"{number % _ALBUM:02} {number}"
        path = path.with_name(path.name + suffix)
        path.parent.mkdir(parents=True, exist_ok=True)
        sound = bytearray(made[suffix])
        # Where the digest of the sound looks: no two files may sound the same.
        at = len(sound) // (8 if suffix in {".ogg", ".opus"} else 2)
        sound[at : at + 4] = number.to_bytes(4, "big")
        path.write_bytes(sound)
        tag(path, number, f"The Artist {artist}", f"Album {album}")


def tag(path: Path, number: int, artist: str, album: str) -> None:
    """Nineteen fields and a picture of 60 KB."""
    import mutagen
    from mutagen import id3
    from mutagen.flac import Picture

    words = {
        "title": f"Song {number} of the Estuary", "artist": artist, "albumartist": artist,
        "album": album, "tracknumber": f"{number % _ALBUM + 1}/{_ALBUM}", "discnumber": "1/1",
        "date": str(1950 + number % 70), "originaldate": str(1950 + number % 70), "genre": "Folk",
        "composer": f"Writer {number % 400}", "organization": f"Label {number % 90}",
        "isrc": f"AA6Q7{20 + number % 9}{number % 100_000:05}", "language": "eng",
        "bpm": str(60 + number % 120), "comment": "from the drive in the back room",
        "replaygain_track_gain": f"-{number % 9}.{number % 90:02} dB",
        "replaygain_track_peak": f"0.9{number % 9999:04}", "copyright": f"Label {number % 90}",
        "encodedby": "the back room",
    }  # fmt: skip
    audio = mutagen.File(path)
    if path.suffix in {".flac", ".ogg", ".opus"}:
        picture = Picture()
        picture.type, picture.mime, picture.data = 3, "image/jpeg", _PICTURE
        audio.update(words)
        if path.suffix == ".flac":
            audio.add_picture(picture)
        else:
            audio["metadata_block_picture"] = base64.b64encode(picture.write()).decode()
        audio.save()
        return
    if audio.tags is None:
        audio.add_tags()
    frames = {
        "title": id3.TIT2, "artist": id3.TPE1, "albumartist": id3.TPE2, "album": id3.TALB,
        "tracknumber": id3.TRCK, "discnumber": id3.TPOS, "date": id3.TDRC,
        "originaldate": id3.TDOR, "genre": id3.TCON, "composer": id3.TCOM,
        "organization": id3.TPUB, "isrc": id3.TSRC, "language": id3.TLAN, "bpm": id3.TBPM,
        "copyright": id3.TCOP, "encodedby": id3.TENC,
    }  # fmt: skip
    for name, frame in frames.items():
        audio.tags.add(frame(encoding=3, text=words[name]))
    for name in ("replaygain_track_gain", "replaygain_track_peak"):
        audio.tags.add(id3.TXXX(encoding=3, desc=name, text=words[name]))
    audio.tags.add(id3.COMM(encoding=3, lang="eng", desc="", text=words["comment"]))
    audio.tags.add(id3.APIC(encoding=3, mime="image/jpeg", type=3, desc="", data=_PICTURE))
    audio.save()


def mutagen_alone(folder: Path) -> float:
    """Seconds to open every file with mutagen and do nothing else."""
    import mutagen

    paths = sorted(path for path in folder.rglob("*") if path.is_file())
    started = time.perf_counter()
    for path in paths:
        assert mutagen.File(path) is not None
    return time.perf_counter() - started


def take_in(folder: Path, count: int) -> dict[str, float]:
    """Seconds to take the folder in, and memory when half of it was in and at the end, in MB."""
    from catalogue.store import Store
    from importers import taking_in

    memory: dict[str, float] = {}

    def progress(done: int, _: int | None) -> None:
        if done == count // 2:
            memory["half_mb"] = _mb()

    with tempfile.TemporaryDirectory() as station:
        store = Store(Path(station) / "asheard.db")
        started = time.perf_counter()
        report = taking_in.add_files(store, folder, "a benchmark", _NOW, progress)
        spent = time.perf_counter() - started
        store.close()
    assert (report.added, len(report.refused)) == (count, 0), report
    return {"seconds": spent, "cpu": _cpu(), "end_mb": _mb(), **memory}


def _cpu() -> float:
    """Seconds of processor time of this process and of those it started."""
    both = (resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN))
    return sum(one.ru_utime + one.ru_stime for one in both)


def _mb() -> float:
    return round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, 1)


def rescan(folder: Path, count: int) -> float:
    """Seconds to look through a folder of unchanged files."""
    from catalogue import catalogue_rows, undo
    from catalogue.records import NewHolding, NewRecording
    from catalogue.store import Store
    from importers import taking_in

    with tempfile.TemporaryDirectory() as station:
        store = Store(Path(station) / "asheard.db")
        store.db.execute("PRAGMA synchronous = OFF")
        with undo.action(store, "a benchmark", "files that are known", _NOW):
            for number in range(count):
                path = folder / f"Artist {number // 60}" / f"Album {number // 12}" / f"{number}.mp3"
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_bytes(b"ID3")
                found = path.stat()
                recording = catalogue_rows.add_recording(
                    store, NewRecording(f"Song {number}", f"Artist {number // 60}")
                )
                catalogue_rows.add_holding(
                    store,
                    NewHolding(recording, path=str(path), file_size=found.st_size,
                               file_time=found.st_mtime, audio=f"{number:024x}"),
                )  # fmt: skip
        store.close()
        store = Store(Path(station) / "asheard.db")
        started = time.perf_counter()
        report = taking_in.add_files(store, folder, "a benchmark", _NOW)
        spent = time.perf_counter() - started
        store.close()
    assert report.already_held == count, report
    return spent


def main() -> None:
    """Make the files, measure in processes of their own, and print."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--quick", action="store_true", help="fewer files, within a minute")
    parser.add_argument("--json", action="store_true")
    parser.add_argument("--step", nargs=3, metavar=("WHAT", "FOLDER", "COUNT"))
    options = parser.parse_args()
    if options.step:
        what, folder, count = options.step
        told = {
            "mutagen": lambda: {"seconds": mutagen_alone(Path(folder)), "cpu": _cpu()},
            "take_in": lambda: dict(take_in(Path(folder), int(count))),
            "rescan": lambda: {"seconds": rescan(Path(folder), int(count))},
        }[what]()
        print(json.dumps(told))
        return
    files, known = (2_000, 20_000) if options.quick else (8_000, 100_000)
    found = measured(files, known)
    for name, value in found.items():
        print(f"{name:>16} {value:>12,.2f}")
    if options.json:
        print(json.dumps(found))


def measured(files: int, known: int) -> dict[str, float]:
    """All figures."""
    with tempfile.TemporaryDirectory() as folder:
        make_files(Path(folder), files)
        alone, ours = [], []
        for _ in range(ROUNDS):
            alone.append(_step("mutagen", folder, files))
            ours.append(_step("take_in", folder, files))
    with tempfile.TemporaryDirectory() as folder:
        again = _step("rescan", folder, known)
    pairs = sorted(zip(alone, ours, strict=True), key=lambda pair: _share(pair, "seconds"))
    middle = pairs[len(pairs) // 2]
    return {
        "files": files,
        "mutagen_per_s": round(files / middle[0]["seconds"], 1),
        "taken_in_per_s": round(files / middle[1]["seconds"], 1),
        "share": round(_share(middle, "seconds"), 3),
        "cpu_share": round(_share(middle, "cpu"), 3),
        "load": round(os.getloadavg()[1], 1),
        "half_mb": middle[1]["half_mb"],
        "end_mb": middle[1]["end_mb"],
        "rescan_files": known,
        "rescan_s": round(again["seconds"], 2),
    }


def _share(pair: tuple[dict[str, float], dict[str, float]], of: str) -> float:
    """How much of mutagen's speed a taking-in had."""
    return pair[0][of] / pair[1][of]


def _step(what: str, folder: str, count: int) -> dict[str, float]:
    command = [sys.executable, "-m", "tests.benchmarks.taking_in", "--step", what, folder]
    done = subprocess.run([*command, str(count)], capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"The step {what} failed:\n{done.stderr}")
    told: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return told


if __name__ == "__main__":
    main()
