"""What kind of band plays what kind of music."""

from __future__ import annotations

from dataclasses import dataclass, replace

from sample_library.recipe.instruments import Beat
from sample_library.recipe.songbook import Track

# A pattern has a sign for each half beat of a bar of four; x sounds, . is silent.
Pattern = str


@dataclass(frozen=True)
class Style:
    """Lead, chords, bass and beats of a band.

    ``swing`` is how late the second half of each beat comes, in parts of a beat beyond
    one half. ``lead`` may be "voice": then the track's own singer leads.
    """

    lead: str
    chords: str
    chord_pattern: Pattern
    bass: str
    bass_pattern: Pattern
    beats: tuple[tuple[Beat, Pattern], ...]
    swing: float = 0.0


_SWING_BEATS: tuple[tuple[Beat, Pattern], ...] = (("brush", "..x...x."), ("hat", "x.xxx.xx"))
_ROCK_BEATS: tuple[tuple[Beat, Pattern], ...] = (
    ("kick", "x...xx.."), ("snare", "..x...x."), ("hat", "xxxxxxxx"),
)  # fmt: skip
_MARCH_BEATS: tuple[tuple[Beat, Pattern], ...] = (("kick", "x...x..."), ("snare", "..x...xx"))
_FOUR_BEATS: tuple[tuple[Beat, Pattern], ...] = (
    ("kick", "x.x.x.x."), ("clap", "..x...x."), ("hat", ".x.x.x.x"),
)  # fmt: skip

_POP = Style("voice", "guitar", "x.x.x.x.", "plucked bass", "x..xx...", _ROCK_BEATS)
_FOLK = Style("voice", "guitar", "xxxxxxxx", "plucked bass", "x...x...", ())
_STRING_BAND = Style("voice", "piano", "..x...x.", "plucked bass", "x...x...", _SWING_BEATS, 0.14)

STYLES = {
    "music hall": Style("voice", "piano", "..x...x.", "tuba", "x...x...", (("block", "..x...x."),)),
    "dance band": replace(_STRING_BAND, lead="clarinet", bass="tuba"),
    "close harmony": replace(_STRING_BAND, lead="choir"),
    "crooner": replace(_STRING_BAND, chords="strings", chord_pattern="x...x..."),
    "jazz": replace(_STRING_BAND, lead="saxophone", bass_pattern="x.x.x.x."),
    "blues": Style(
        "voice", "guitar", "x.xxx.xx", "plucked bass", "x.......", (("stomp", "x...x..."),), 0.16
    ),
    "calypso": Style(
        "steel pan",
        "guitar",
        "..x.x.x.",
        "plucked bass",
        "x..x..x.",
        (("shaker", "xxxxxxxx"), ("block", "x..x..x.")),
    ),
    "rock and roll": Style(
        "voice", "electric guitar", "x.xxx.xx", "plucked bass", "x.x.x.x.", _ROCK_BEATS, 0.1
    ),
    "country": Style(
        "voice",
        "guitar",
        "..x...x.",
        "plucked bass",
        "x...x...",
        (("brush", "..x...x."), ("kick", "x...x...")),
    ),
    "pop": _POP,
    "soul": replace(
        _POP, chords="electric piano", chord_pattern="x..x..x.", bass_pattern="x.xx..xx"
    ),
    "folk": _FOLK,
    "shanty": Style("choir", "accordion", "x...x...", "tuba", "x...x...", (("stomp", "x...x..."),)),
    "ceilidh": Style(
        "fiddle",
        "accordion",
        "..x...x.",
        "plucked bass",
        "x...x...",
        (("stomp", "x...x..."), ("block", "..x...x.")),
    ),
    "reggae": Style(
        "voice",
        "organ",
        "..x...x.",
        "bass synthesiser",
        "x..x.xx.",
        (("kick", "....x..."), ("hat", "x.x.x.x.")),
    ),
    "rock": replace(
        _POP, chords="electric guitar", chord_pattern="x.xxx.x.", bass="bass synthesiser"
    ),
    "disco": Style("voice", "strings", "x.....x.", "bass synthesiser", "x.xxx.xx", _FOUR_BEATS),
    "punk": replace(
        _POP, chords="electric guitar", chord_pattern="xxxxxxxx", bass_pattern="xxxxxxxx"
    ),
    "electronic": Style(
        "synthesiser", "glass", "x..x..x.", "bass synthesiser", "x.xxx.xx", _FOUR_BEATS
    ),
    "hip hop": replace(_POP, lead="glass", chords="electric piano", chord_pattern="x......."),
    "hymn": Style("choir", "organ", "x.x.x.x.", "organ", "x.x.x.x.", ()),
    "choir": Style("choir", "strings", "x...x...", "cello", "x.......", ()),
    "brass band": Style("cornet", "euphonium", "..x...x.", "tuba", "x...x...", _MARCH_BEATS),
    "comedy": Style("whistle", "banjo", "..x...x.", "tuba", "x...x...", (("block", "x.x.x.xx"),)),
    "children": Style(
        "voice", "music box", "x.x.x.x.", "plucked bass", "x...x...", (("bell", "x..."),)
    ),
    "lullaby": Style("voice", "music box", "x.x.x.x.", "harp", "x.......", ()),
    "musical": Style("voice", "strings", "x...x...", "plucked bass", "x...x...", _MARCH_BEATS),
    "film theme": Style(
        "strings", "harp", "xxxxxxxx", "cello", "x...x...", (("kick", "x......."),)
    ),
    "light music": Style(
        "strings", "reed organ", "..x...x.", "plucked bass", "x...x...", (("brush", "..x...x."),)
    ),
    "concert music": Style("fiddle", "strings", "x...x...", "cello", "x...x...", ()),
    "chanson": Style("voice", "accordion", "..x...x.", "plucked bass", "x...x...", ()),
    "fado": Style("voice", "guitar", "x.xxx.xx", "plucked bass", "x...x...", ()),
}

SINGERS = {"man": "singing man", "woman": "singing woman", "group": "choir"}
# Where nobody sings, this plays the tune.
LEAD_WITHOUT_SINGER = "flute"
LEADS_OF_LANGUAGES = {"Japanese": "koto", "Hindi": "sitar", "Greek": "accordion"}
SOLO_INSTRUMENTS = {"cello": "cello", "piano": "piano", "violin": "fiddle"}


def style_of(track: Track) -> Style:
    """The band for a track, with its own singer or soloist in front."""
    style = STYLES[track.genre]
    if track.language in LEADS_OF_LANGUAGES:
        style = replace(style, chords=LEADS_OF_LANGUAGES[track.language])
    if style.lead == "voice":
        style = replace(style, lead=SINGERS.get(track.voice, LEAD_WITHOUT_SINGER))
    if track.genre == "concert music":
        if track.voice in SINGERS:
            style = replace(style, lead=SINGERS[track.voice])
        for word, instrument in SOLO_INSTRUMENTS.items():
            if f"({word})" in track.soloist:
                style = replace(style, lead=instrument)
    return style
