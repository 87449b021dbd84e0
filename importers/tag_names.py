"""Which tag of which format means what, in order: the first that says something counts.

Sources: ID3v2.4 frames, id3.org; Vorbis comment field names, xiph.org, with the names in common
use beside them; MP4 atoms and ASF attributes from memory, as they are commonly written.
"""

from __future__ import annotations

PICTURES = frozenset({"metadata_block_picture", "coverart", "coverartmime"})
"""Vorbis comments that are pictures written as text: some 80,000 letters that say nothing."""

ID3: dict[str, tuple[str, ...]] = {
    "title": ("TIT2",),
    "version": ("TIT3", "TXXX:VERSION"),
    "artist": ("TPE1", "TXXX:ARTISTS"),
    "album_artist": ("TPE2", "TXXX:ALBUMARTIST", "TXXX:ALBUM ARTIST"),
    "album": ("TALB",),
    "track": ("TRCK",),
    "disc": ("TPOS",),
    "first_year": ("TDOR", "TXXX:ORIGINALDATE", "TXXX:ORIGINALYEAR", "TXXX:ORIGINAL YEAR"),
    "year": ("TDRC", "TDRL", "TXXX:DATE", "TXXX:YEAR"),
    "genre": ("TCON",),
    "composer": ("TCOM", "TXXX:COMPOSER"),
    "work": ("TXXX:WORK", "TXXX:WORKNAME", "TIT1"),
    "movement": ("MVNM", "TXXX:MOVEMENT", "TXXX:MOVEMENTNAME"),
    "conductor": ("TPE3", "TXXX:CONDUCTOR"),
    "soloist": ("TXXX:SOLOIST", "TXXX:SOLOISTS", "TMCL:soloist"),
    "label": ("TPUB", "TXXX:LABEL"),
    "isrc": ("TSRC",),
    "language": ("TLAN", "TXXX:LANGUAGE"),
    "voice": ("TXXX:VOICE",),
    "tempo": ("TBPM", "TXXX:BPM", "TXXX:TEMPO"),
    "compilation": ("TCMP", "TXXX:COMPILATION"),
    "barcode": ("TXXX:BARCODE", "TXXX:EAN", "TXXX:UPC"),
}

COMMENTS: dict[str, tuple[str, ...]] = {
    "title": ("title",),
    "version": ("version", "subtitle"),
    "artist": ("artist", "artists"),
    "album_artist": ("albumartist", "album artist", "album_artist"),
    "album": ("album",),
    "track": ("tracknumber", "track"),
    "disc": ("discnumber", "disc"),
    "first_year": ("originaldate", "originalyear", "original year", "original date"),
    "year": ("date", "year", "releasedate"),
    "genre": ("genre",),
    "composer": ("composer",),
    "work": ("work", "workname"),
    "movement": ("movement", "movementname"),
    "conductor": ("conductor",),
    "soloist": ("soloist", "soloists", "performer:soloist"),
    "performer": ("performer",),
    "label": ("label", "organization", "publisher"),
    "isrc": ("isrc",),
    "language": ("language",),
    "voice": ("voice",),
    "tempo": ("bpm", "tempo"),
    "compilation": ("compilation",),
    "barcode": ("barcode", "ean", "upc", "ean/upn"),
}
"""Vorbis comments (FLAC, Ogg, Opus); APE tags bear the same names."""

_FREEFORM = "----:com.apple.itunes:"

MP4: dict[str, tuple[str, ...]] = {
    "title": ("©nam",),
    "version": (f"{_FREEFORM}subtitle", f"{_FREEFORM}version"),
    "artist": ("©art", f"{_FREEFORM}artists"),
    "album_artist": ("aart",),
    "album": ("©alb",),
    "track": ("trkn",),
    "disc": ("disk",),
    "first_year": (f"{_FREEFORM}originaldate", f"{_FREEFORM}originalyear"),
    "year": ("©day",),
    "genre": ("©gen",),
    "composer": ("©wrt", f"{_FREEFORM}composer"),
    "work": ("©wrk", f"{_FREEFORM}work"),
    "movement": ("©mvn", f"{_FREEFORM}movement"),
    "conductor": (f"{_FREEFORM}conductor",),
    "soloist": (f"{_FREEFORM}soloist",),
    "label": (f"{_FREEFORM}label", f"{_FREEFORM}publisher"),
    "isrc": (f"{_FREEFORM}isrc",),
    "language": (f"{_FREEFORM}language",),
    "voice": (f"{_FREEFORM}voice",),
    "tempo": ("tmpo", f"{_FREEFORM}bpm"),
    "compilation": ("cpil",),
    "barcode": (f"{_FREEFORM}barcode", f"{_FREEFORM}upc"),
}

ASF: dict[str, tuple[str, ...]] = {
    "title": ("title",),
    "version": ("wm/subtitle",),
    "artist": ("author", "wm/artists"),
    "album_artist": ("wm/albumartist",),
    "album": ("wm/albumtitle",),
    "track": ("wm/tracknumber", "wm/track"),
    "disc": ("wm/partofset",),
    "first_year": ("wm/originalreleaseyear", "wm/originalreleasetime"),
    "year": ("wm/year",),
    "genre": ("wm/genre",),
    "composer": ("wm/composer",),
    "work": ("wm/work",),
    "movement": ("wm/movementname",),
    "conductor": ("wm/conductor",),
    "soloist": ("wm/soloist",),
    "label": ("wm/publisher", "wm/label"),
    "isrc": ("wm/isrc",),
    "language": ("wm/language",),
    "voice": ("wm/voice",),
    "tempo": ("wm/beatsperminute",),
    "compilation": ("wm/iscompilation",),
    "barcode": ("wm/barcode",),
}

RIFF_INFO: dict[str, tuple[str, ...]] = {
    "title": ("INAM",),
    "artist": ("IART",),
    "album": ("IPRD",),
    "track": ("ITRK", "IPRT"),
    "year": ("ICRD",),
    "genre": ("IGNR",),
    "composer": ("IMUS",),
    "language": ("ILNG",),
}
"""The INFO list of a WAV file, used where it has no ID3 tag."""
