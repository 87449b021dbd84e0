"""Steps about titles: versions, guests, placeholders, the artist written into the title."""

from __future__ import annotations

import re

from importers.cleaning_steps import Step, step
from importers.entries import Draft
from importers.words import plain

_FEATURED = re.compile(
    r"\s*[(\[]\s*(?:feat|ft|featuring)\b\.?\s*([^)\]]+)[)\]]|\s+(?:feat|ft|featuring)\b\.?\s+(.+)$",
    re.IGNORECASE,
)
_VERSION_WORDS = (
    r"live|remix|remixed|mix|mono|stereo|acoustic|unplugged|instrumental|karaoke|demo|edit|"
    r"extended|remaster|remastered|reprise|version|versión|fassung|rehearsal|outtake|take|"
    r"alternate|alternative|radio|single|session|sessions|a\s*cappella|medley|re-?recorded|"
    r"re-?recording|12\"|7\"|12\s?inch|7\s?inch|bonus track|original cast"
)
_BRACKETED = re.compile(
    rf"\s*[(\[]([^)\]]*\b(?:{_VERSION_WORDS})(?!\w)[^)\]]*)[)\]]", re.IGNORECASE
)
_DASHED = re.compile(
    r"\s+[-–—]\s+((?:[^-–—]*\s)?(?:version|remaster(?:ed)?|remix|mix|live(?:\s+(?:at|in|from|on)\s"
    r"[^-–—]*)?|edit|mono|stereo|acoustic|instrumental|demo|reprise)(?:\s+\d{4})?)$",
    re.IGNORECASE,
)
_LEADS_A_SENTENCE = re.compile(r"^\s*(?:i|we|you|to|don't|live and|let|long)\b", re.IGNORECASE)
"""Brackets such as "(I'd Live for You)" hold words of the song, not the name of a version."""

PLACEHOLDER = re.compile(
    r"(?:audio\s*)?(?:track|titel|piste|spur|titre|pista|song|untitled|unknown(?: title)?|unnamed|"
    r"new recording|recording|audio|no title)[\s_#.-]*\d*(?:\s*\(\d+\))?|\d{1,3}",
    re.IGNORECASE,
)
"""What programs and hurried people write where no title is known."""

_COPIED = re.compile(
    r"(?:\s*(?:[(\[]\s*(?:h[qd]|\d{2,4}\s?k(?:bps)?|official (?:video|audio|music video)|lyrics?|"
    r"lyric video|audio|clean|copy|\d)\s*[)\]]|\s-\scopy"
    r"|\.(?:mp3|wav|flac|ogg|wma|m4a)))+$",
    re.IGNORECASE,
)

_EXPLICIT = re.compile(
    r"\s*[(\[]\s*(?:explicit|dirty|parental advisory)(?:\s+(?:lyrics|content|album))?\s*[)\]]"
    r"|\s+[-–—]\s+explicit$",
    re.IGNORECASE,
)
"""How labels and shops mark strong language (common practice, no source)."""

_MOVEMENT = re.compile(r"(.{4,}?):\s+((?:[IVX]+\.|No\.\s?\d+\b|\d+\.|Act\s)\s*\S.*)")

_NUMBERED = re.compile(
    r"(?:(?:track|tr)\s*)?(\d{1,3})\s*(?:[.)\]:]|\s[-–—]|[-–—]\s)\s*(\D.*)", re.I
)


@step({"title": "my_lantern_light", "artist": "ada_sluice"},
      {"title": "My Lantern Light", "artist": "Ada Sluice"})  # fmt: skip
def underscores_for_spaces(draft: Draft) -> Draft:
    """Puts spaces where somebody had to write underscores, and capitals where none are left."""

    def spaced(text: str) -> str:
        if " " in text or not re.search(r"[^\W_]_[^\W_]", text):
            return text
        words = text.replace("_", " ").split()
        if text.lower() == text:
            words = [word[:1].upper() + word[1:] for word in words]
        return " ".join(words)

    return draft.put(**{name: spaced(draft.get(name)) for name in ("title", "artist", "album")})


@step({"title": "My Lantern [HQ] (2)"}, {"title": "My Lantern"})
def marks_of_copying(draft: Draft) -> Draft:
    """Takes away what copying and downloading left behind a title."""
    title = _COPIED.sub("", draft.get("title"))
    return draft.put(title=title) if title else draft


@step({"title": "Tide [Explicit]"}, {"title": "Tide", "version": "explicit"})
def strong_language(draft: Draft) -> Draft:
    """Keeps the label "explicit" as the version, by which such records can be left out."""
    title = draft.get("title")
    match = _EXPLICIT.search(title)
    bare = " ".join(f"{title[: match.start()]} {title[match.end() :]}".split()) if match else ""
    if not bare:
        return draft
    said = draft.get("version")
    if "explicit" not in plain(said).split():
        said = f"{said}, explicit" if said else "explicit"
    return draft.put(title=bare, version=said)


@step({"title": "Tide (feat. Ann Oke)", "artist": "Ada Sluice"},
      {"title": "Tide", "artist": "Ada Sluice feat. Ann Oke"})  # fmt: skip
def guest_in_title(draft: Draft) -> Draft:
    """Moves a guest from the title to the artist, so that both spellings are one recording."""
    match = _FEATURED.search(draft.get("title"))
    if not match or not draft.get("artist"):
        return draft
    guest = (match.group(1) or match.group(2)).strip(" -,")
    title = (draft.get("title")[: match.start()] + draft.get("title")[match.end() :]).strip()
    if not guest or not title:
        return draft
    artist = draft.get("artist")
    if plain(guest) in plain(artist):
        return draft.put(title=title)
    return draft.put(title=title, artist=f"{artist} feat. {guest}")


@step({"artist": "Ada Sluice (Ft. Ann Oke)"}, {"artist": "Ada Sluice feat. Ann Oke"})
def guest_in_artist(draft: Draft) -> Draft:
    """Writes the guest in the artist's field in one way."""
    match = _FEATURED.search(draft.get("artist"))
    if not match or match.start() == 0:
        return draft
    guest = (match.group(1) or match.group(2)).strip(" -,")
    main = draft.get("artist")[: match.start()].rstrip(" -,;(")
    return draft.put(artist=f"{main} feat. {guest}") if main and guest else draft


@step({"title": "Ada Sluice - My Lantern", "artist": "Ada Sluice"},
      {"title": "My Lantern", "artist": "Ada Sluice"})  # fmt: skip
def artist_again_in_title(draft: Draft) -> Draft:
    """Takes the artist out of the title, where it stands before or behind a dash."""
    sides = re.split(r"\s+[-–—/]\s+", draft.get("title"))
    artist = plain(draft.get("artist"))
    if len(sides) < 2 or not artist:
        return draft
    rest = [side for side in sides if plain(side) != artist]
    return draft.put(title=" - ".join(rest)) if rest and len(rest) < len(sides) else draft


@step({"title": "Ada Sluice - My Lantern", "artist": "Various Artists"},
      {"title": "My Lantern", "artist": "Ada Sluice"})  # fmt: skip
def artist_only_in_title(draft: Draft) -> Draft:
    """Splits "artist - title" where no artist is given, and marks both as guessed."""
    sides = re.split(r"\s+[-–—/]\s+", draft.get("title"), maxsplit=1)
    if draft.get("artist") and not is_various(draft.get("artist")):
        return draft
    if len(sides) != 2 or not all(sides) or _DASHED.search(draft.get("title")):
        return draft
    return draft.guess(artist=sides[0], title=sides[1])


@step({"title": "07. My Lantern", "track": "7"}, {"title": "My Lantern", "track": "7"})
def number_before_title(draft: Draft) -> Draft:
    """Takes the track's number out of the title, where it is the track's number."""
    match = _NUMBERED.fullmatch(draft.get("title"))
    if not match or not draft.get("track"):
        return draft
    number = re.match(r"\d+", draft.get("track"))
    if not number or int(number.group()) != int(match.group(1)):
        return draft
    return draft.put(title=match.group(2))


@step({"title": "My Lantern (Live at the Quay) [2009 Remaster]"},
      {"title": "My Lantern", "version": "Live at the Quay, 2009 Remaster"})  # fmt: skip
def version_in_title(draft: Draft) -> Draft:
    """Moves the name of a version from the title into its own field."""
    title, found = draft.get("title"), []
    for match in list(_BRACKETED.finditer(title)):
        words = match.group(1).strip()
        if match.start() > 0 and words and not _LEADS_A_SENTENCE.match(words):
            found.append(words)
            title = title.replace(match.group(), "", 1)
    if match_dash := _DASHED.search(title):
        found.append(match_dash.group(1).strip())
        title = title[: match_dash.start()]
    title = " ".join(title.split())
    if not found or not title:
        return draft
    said = [draft.get("version")] if draft.get("version") else []
    new = [words for words in found if plain(words) not in {plain(w) for w in said}]
    return draft.put(title=title, version=", ".join(said + new))


@step({"title": "Track 01", "artist": "Ada Sluice"}, {"title": "Track 01", "artist": "Ada Sluice"})
def placeholder_title(draft: Draft) -> Draft:
    """Notes a title that says nothing, such as "Track 01", so that somebody writes the true one."""
    title = draft.get("title")
    if not title or not PLACEHOLDER.fullmatch(title) or plain(title) == plain(draft.get("work")):
        return draft
    if title.isdigit() and draft.get("track").split("/")[0].lstrip("0") != title.lstrip("0"):
        return draft  # A song may well be called "1999".
    return draft.note(f"the title is only “{title}”; listen, and write the true one")


@step({"work": "Tidal Suite", "movement": "Ebb"},
      {"title": "Tidal Suite: Ebb", "work": "Tidal Suite", "movement": "Ebb"})  # fmt: skip
def title_of_work(draft: Draft) -> Draft:
    """Makes a title of the work and its movement, where there is none."""
    if draft.get("title") or not draft.get("work"):
        return draft
    parts = [draft.get("work"), draft.get("movement")]
    return draft.put(title=": ".join(part for part in parts if part))


@step({"title": "Tidal Suite, Op. 3: II. Ebb", "composer": "Edmund Reedmace"},
      {"title": "Tidal Suite, Op. 3: II. Ebb", "composer": "Edmund Reedmace",
       "work": "Tidal Suite, Op. 3", "movement": "II. Ebb"})  # fmt: skip
def work_and_movement_in_title(draft: Draft) -> Draft:
    """Reads a work and its numbered movement out of the title, where a composer is named."""
    match = _MOVEMENT.fullmatch(draft.get("title"))
    if not match or not draft.get("composer") or draft.get("work") or draft.get("movement"):
        return draft
    return draft.put(work=match.group(1), movement=match.group(2))


def is_various(name: str) -> bool:
    """Whether a name stands for several artists and is nobody's own.

    >>> is_various("Various Artists"), is_various("V.A."), is_various("The Various")
    (True, True, False)
    """
    return plain(name) in {
        "various", "various artists", "va", "v a", "verschiedene", "verschiedene interpreten",
        "artistes varies", "artistes divers", "diverse", "compilation", "compilations",
        "soundtrack",
        "original soundtrack", "various artist", "varios artistas", "artisti vari", "sampler",
    }  # fmt: skip


TITLE_STEPS: tuple[Step, ...] = (
    title_of_work,
    underscores_for_spaces,
    strong_language,
    marks_of_copying,
    guest_in_artist,
    artist_again_in_title,
    artist_only_in_title,
    number_before_title,
    guest_in_title,
    version_in_title,
    work_and_movement_in_title,
    placeholder_title,
)
