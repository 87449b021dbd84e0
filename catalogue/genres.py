"""Sorts of music: which belong to one family, and which words in them tell the mood.

A small table of our own (common practice, no source): labels and tags name sorts of music freely,
so a sort is known by the words in it, the last of them first, since "jazz rock" is rock.
"""

from __future__ import annotations

from functools import lru_cache

from catalogue.spelling import plain

_FAMILIES: dict[str, str] = {
    "pop": (
        "pop, beat, chart, bubblegum, europop, power pop, synthpop, synth pop, indie pop, "
        "girl group, boy band, schlager, chanson, brill building, adult contemporary"
    ),
    "rock": (
        "rock, metal, punk, grunge, indie, alternative, new wave, britpop, garage, prog, "
        "glam, psychedelic, surf, hard rock, rock and roll, rock n roll, rockabilly, skiffle, "
        "aor"
    ),
    "soul": ("soul, r and b, rnb, randb, rhythm and blues, motown, funk, new jack swing, neo soul"),
    "hip hop": ("hip hop, hiphop, rap, trap, grime, drill, crunk"),
    "dance": (
        "dance, disco, house, techno, trance, electronic, electronica, edm, drum and bass, "
        "jungle, dubstep, eurodance, ambient, garage house, big beat"
    ),
    "jazz": (
        "jazz, swing, bebop, bop, dixieland, ragtime, trad jazz, big band, blues, boogie "
        "woogie, vocal jazz"
    ),
    "country": ("country, country and western, western, bluegrass, americana, honky tonk, cowboy"),
    "folk": (
        "folk, traditional, celtic, irish, scottish, welsh, shanty, shanties, ceilidh, "
        "ballads, singer songwriter, acoustic, gaelic, morris"
    ),
    "easy listening": (
        "easy listening, crooner, crooners, lounge, light music, standards, standard, middle "
        "of the road, mor, vocal, traditional pop, mantovani, light orchestral"
    ),
    "dance band": (
        "dance band, dance bands, ballroom, foxtrot, quickstep, waltz, waltzes, tango, old "
        "time, strict tempo, polka, palais"
    ),
    "classical": (
        "classical, orchestral, symphony, opera, operetta, chamber, concerto, baroque, "
        "choral, ballet, light classical, piano, romantic, lieder"
    ),
    "stage and screen": (
        "film, films, soundtrack, musical, musicals, show, shows, show tunes, stage, screen, "
        "theme, themes, television, tv, music hall, variety, disney"
    ),
    "religious": (
        "hymn, hymns, gospel, religious, sacred, christian, worship, spiritual, spirituals, "
        "carol, carols, church, praise"
    ),
    "world": (
        "world, reggae, ska, calypso, latin, salsa, samba, bossa nova, african, afrobeat, "
        "dub, dancehall, bhangra, indian, bollywood, flamenco, fado, klezmer, hawaiian, "
        "caribbean, soca"
    ),
    "brass and military": (
        "brass, brass band, brass bands, military, march, marches, pipes, pipe band, "
        "bagpipes, silver band"
    ),
    "children": (
        "children, childrens, children's, nursery, nursery rhymes, kids, lullaby, lullabies"
    ),
    "comedy": ("comedy, novelty, humour, humor, funny, parody"),
    "christmas": ("christmas, xmas, festive"),
    "spoken": ("spoken, spoken word, poetry, drama, story, reading"),
}
"""Families of sorts, each with the words that belong to it."""

_FAMILY_OF = {
    plain(word): family for family, words in _FAMILIES.items() for word in words.split(",")
}

GENTLE, LIVELY = "gentle", "lively"
_MOODS: dict[str, str] = {
    GENTLE: (
        "gentle, ballad, ballads, lullaby, lullabies, easy listening, slow, ambient, hymn, "
        "hymns, waltz, chill, acoustic, quiet, calm, crooner, love songs, light music"
    ),
    LIVELY: (
        "lively, dance, disco, rock and roll, rock n roll, polka, march, marches, quickstep, "
        "jive, boogie, boogie woogie, ska, punk, samba, salsa, swing, funk, party, upbeat, "
        "ceilidh, techno, skiffle, ragtime, happy"
    ),
}
"""Moods in plain words, each with the sorts that say so by themselves."""

_MOOD_OF = {plain(word): mood for mood, words in _MOODS.items() for word in words.split(",")}

SAME, SAME_FAMILY = 1.0, 0.5
"""How alike one sort and two of one family are; the half is by judgement."""

FAMILIES = tuple(_FAMILIES)


@lru_cache(maxsize=2048)
def family(genre: str) -> str:
    """The family of a sort of music; its own plain words if it is in no family we know.

    >>> family("Rock & Roll"), family("Welsh Male Voice Hymns"), family("Zydeco"), family("")
    ('rock', 'religious', 'zydeco', '')
    """
    words = plain(genre)
    return next((_FAMILY_OF[part] for part in _parts(words) if part in _FAMILY_OF), words)


def is_sort(words: str) -> bool:
    """Whether these very words are a sort of music that the table knows.

    >>> is_sort("Hymn"), is_sort("hymn to the sea")
    (True, False)
    """
    return plain(words) in _FAMILY_OF


@lru_cache(maxsize=64)
def words_of(family_name: str) -> tuple[str, ...]:
    """The sorts of a family, as they may be written; the name itself for a family unknown to us."""
    words = _FAMILIES.get(family_name, family_name)
    return tuple(dict.fromkeys(word.strip() for word in words.split(",")))


@lru_cache(maxsize=2048)
def mood(genre: str) -> str:
    """What the sort of music says of the mood, in a plain word: gentle, lively, or "" for nothing.

    >>> mood("Disco"), mood("Folk ballads"), mood("Rock")
    ('lively', 'gentle', '')
    """
    return next((_MOOD_OF[part] for part in _parts(plain(genre)) if part in _MOOD_OF), "")


def genres_alike(a: str, b: str) -> float:
    """1 for one sort of music, a half for one family, 0 for others and for the unknown.

    >>> genres_alike("Jazz", "jazz"), genres_alike("Swing", "Big Band"), genres_alike("", "")
    (1.0, 0.5, 0.0)
    """
    if not a or not b:
        return 0.0
    if a == b or _words(a) == _words(b):
        return SAME
    return SAME_FAMILY if family(a) == family(b) else 0.0


_words = lru_cache(maxsize=2048)(plain)


def _parts(words: str) -> list[str]:
    """Runs of words, longest first, and of one length the last first."""
    split = words.split()
    return [
        " ".join(split[start : start + size])
        for size in range(len(split), 0, -1)
        for start in range(len(split) - size, -1, -1)
    ]
