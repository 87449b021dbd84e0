"""What the person at the telephone wrote down, next to what the caller meant.

Some slips are written by hand, for the songs most asked for. The rest are made by small
rules: sounds that fall together on a telephone line (f, s and th; m and n; b and d and p
and t: common practice, no source), words left out, and the order turned about.
"""

from __future__ import annotations

import random
import re

from sample_library.recipe.shelf_list import without_accents
from sample_library.recipe.songbook import Track

# (title, what was written); the artist is added, or not, like any other.
BY_HAND: dict[str, tuple[str, ...]] = {
    "The Last Boat to Samphire": ("the last boat to some fire", "lost boat to San Pier"),
    "Whisper It, Wednesday": ("whisker it Wednesday", "whisper at wednesdays"),
    "Leave a Lamp for Me, Louisa": ("leave the lamb for me Louisa", "leaf a lamp formula visa"),
    "Two Tickets, One Umbrella": ("two crickets one umbrella", "to tick its on a brella"),
    "Mister Moon, You Owe Me Money": ("Mr Moon you only money", "mister moon you own me honey"),
    "Three Pence for a Kiss": ("free pens for a kiss", "3 pens for the kids"),
    "Sugar on the Windowsill": ("sugar on the widow still", "shoulder on the window sill"),
    "Stand Still, Samuel": ("stencil Samuel", "stand stills manual"),
    "Déjà Brume": ("day jar broom", "deja groom"),
    "99 Herons": ("nine tiny herons", "ninety nine errands"),
    "99 Reiher": ("99 riar", "noin un noinsig Reyer, German"),
    "Marigold Monday": ("Mary got Monday", "merry gold Monday"),
    "Pomegranate Street": ("palm granite street", "pommy grannies tree"),
    "Put Your Bicycle Away, Maureen": ("put your bicycle away marine", "foot your bicycle Noreen"),
    "Jukebox Jenny Wants Her Nickel Back": ("juke box Jenny wants a pickle back",),
    "I Never Liked Your Brother Anyway": ("I never liked your mother anyway",),
    "Slow Train to Tuppenny Halt": ("slow train to Tuppence Hall", "slow train to tuppeny salt"),
    "All of It but the Rain": ("all of it but the range", "or love it but the rain"),
    "The Mustard Shore": ("the mustard chore", "the must of sure"),
    "The Maid of Skelder Bridge": ("the maid of skeleton bridge", "made of shoulder bridge"),
    "The Lass wi' the Creel o' Dreams": (
        "the lass with the keel of dreams",
        "lassie cereal dreams",
    ),
    "Hush, Little Sandpiper": ("hush little sound piper", "hush little sand viper"),
    "O Haven of the Harboured Heart": ("oh heaven of the harbour heart", "haven of a hardboard"),
    "Lord of the Ebbing Waters": ("lord of the evening waters", "Lord of the heavy waters"),
    "There Is a Bench Beyond the River": ("there is a wrench beyond the river",),
    "Cwch Bach Gwyn": ("cook bar queen, the Welsh one", "cooch bach win"),
    "La Valse des parapluies perdus": ("lavalse de parachutes perdu", "the French umbrella waltz"),
    "Laterne am Deich": ("lantern on dike", "la turn um dike"),
    "Dimmi ciao dal traghetto": ("Jimmy chow dal get-oh", "dimmy ciao spaghetto"),
    "Ø": ("er, just er, Danish", "O with a line through"),
    "?": ("question mark", "it's called question mark"),
    "!!!": ("three exclamation marks", "bang bang bang"),
    "白鷺橋のワルツ": ("shira saggy bashy waltz", "the Japanese heron bridge waltz"),
    "Αλμυρό φεγγάρι": ("almiro fengary", "the salty moon, Greek"),
    "Лист від чаплі": ("list veed chaply", "letter from the heron, Ukrainian"),
    "Kipper! (The Breakfast Song)": ("kipper the breakfast song", "keep her the breakfast one"),
    "Theme from The Long Causeway": ("team from the long corsway", "film music long cause away"),
    "Pedalling Home on a Puncture": ("peddling home on a punch her",),
    "Home by Seven": ("home by heaven", "homeboy seven"),
    "Neon Vicarage": ("neon vintage", "Leon Vicarage"),
    "Lantern Weather": ("lantern whether", "lan turn feather"),
    "Turn the Collar Up": ("turn the colour up", "burn the collar up"),
    "Slack Water": ("black water", "slackwater, brass"),
    "Το καΐκι της Αργυρώς": ("tow kaiki tis Argiros", "the little boat of Argyro, Greek"),
    "Γράμμα από την ακτή": ("gramma apo tin acty", "grammar a potty nuckty"),
    "Човник із паперу": ("chovnik is paperoo", "the paper boat, Ukrainian"),
    "Лиман уночі": ("lemon oonochee", "lee man at night"),
    "夜の渡し舟": ("yoru no watashi something", "the night ferry, Japanese"),
    "雨のち郵便": ("army no cheer you bin", "ame nochi yubin, rain then the post"),
    "1-2-3": ("one two three", "123"),
    "Form Filled In": ("phone filled in", "farm field in"),
}
ARTISTS_BY_HAND: dict[str, tuple[str, ...]] = {
    "Marsha Herron": ("Marcia Herring", "Martha Heron"),
    "Marsh Herring": ("Marsha Herring", "Mash Herring"),
    "The Marsh Herons": ("Marsha Herrons", "the marsh errands"),
    "Perry Lisle": ("Perry Lyle", "Terry Lisle"),
    "The The Tides": ("the Tides", "the tie dyes"),
    "J.T. Sixty-One": ("JT61", "Katie sixty one"),
    "Hartley Venn and His Pier Pavilion Orchestra": ("Hartley Ben", "Partly Venn"),
    "The Choir of St Ebba's, Oxmere Hard": ("St Ebbers choir", "a choir"),
    "Estelle Vaurienne": ("Estelle Four Year Anne", "Estel Vorian"),
    "Côr Meibion Aber Helyg": ("core my beyond", "the Aber Helyg men"),
    "潮見ハルコ": ("she me a Haruko", "Shiomi Haruko"),
    "Φωτεινή Αρμυρίκη": ("Fotini something", "Fotini Armiriki"),
    "Оксана Верболоз": ("Oksana Verbaloz", "Oksana"),
    "Θανάσης Βαρκάρης": ("Thanasis Varkaris", "Fan Nasty Bacaris"),
    "Павло Причал": ("Pavlo Prichal", "Pablo Pritchell"),
    "渡瀬カモメ": ("Watasay Kamome", "Watase Kamome"),
    "Nkechi Vale": ("Ketchy Vale", "in Ketchy veil"),
    "Otha Lee Granger": ("Arthur Lee Granger", "Other Lee Ranger"),
    "Loralee Cobb-Hanson": ("Laura Lee Cobb Hanson", "Lorelei Cobhamson"),
    "Gwennie Prosser": ("Winnie Prosser", "Gwen E. Prosser"),
}
# Sounds that fall together on the telephone, as (what was said, what was written).
SWAPS = (
    (r"^th", "f"), (r"^f", "th"), (r"^s(?=[aeiou])", "f"), (r"th$", "f"), (r"m", "n"),
    (r"n(?=[aeiou])", "m"), (r"^b", "d"), (r"^d", "b"), (r"^p(?=[aeiou])", "t"),
    (r"^t(?=[aeiou])", "p"), (r"d$", "t"), (r"v", "b"), (r"er$", "a"), (r"ph", "f"),
    (r"^sh", "ch"), (r"^ch", "sh"), (r"ck$", "g"), (r"^w(?=[aeiou])", "r"), (r"s$", ""),
    (r"ing$", "in"), (r"ou", "ow"), (r"y$", "ie"), (r"ll", "l"), (r"^h(?=[aeiou])", ""),
)  # fmt: skip
SMALL_WORDS = frozenset("the a an of to on and in for my your".split())
SHARE_BY_HAND = 0.6
SHARE_CLEAN = 0.3


def written_down(track: Track, rng: random.Random) -> str:
    """What stood on the slip for a track: title and artist in some order, or title alone."""
    title = _heard(track.title, BY_HAND, rng)
    artist = _heard(track.artist, ARTISTS_BY_HAND, rng)
    pattern = rng.choice((
        "{title} by {artist}", "{title} by {artist}", "{title}, {artist}", "{artist} {title}",
        "{artist}, {title}", "{title}", "{title}", "{title}?", "that {artist} one, {title}",
    ))  # fmt: skip
    return pattern.format(title=title, artist=artist)


def _heard(name: str, by_hand: dict[str, tuple[str, ...]], rng: random.Random) -> str:
    if name in by_hand and (rng.random() < SHARE_BY_HAND or not _is_latin(name)):
        return rng.choice(by_hand[name])
    plain = without_accents(re.sub(r" \([^)]*\)$", "", name))
    if ": " in plain and len(plain) > 40:
        plain = rng.choice(plain.split(": "))
    if rng.random() < SHARE_CLEAN:
        return plain
    return garbled(plain, rng)


def garbled(name: str, rng: random.Random) -> str:
    """One or two sounds of a name taken for others; small words may drop out."""
    words = [
        word
        for word in re.sub(r"[,.!?\"“”]", "", name).split()
        if word.lower() not in SMALL_WORDS or rng.random() < 0.7
    ]
    chances = [
        (order, said, written)
        for order, word in enumerate(words)
        for said, written in SWAPS
        if len(word) > 3 and re.search(said, word, re.IGNORECASE)
    ]
    for order, said, written in rng.sample(chances, min(len(chances), rng.randint(1, 2))):
        swapped = re.sub(said, written, words[order], count=1, flags=re.IGNORECASE)
        words[order] = swapped.capitalize() if words[order][0].isupper() else swapped
    return " ".join(words) or name


def _is_latin(name: str) -> bool:
    """Greek, Cyrillic and Japanese are written down by their sound."""
    return all(ord(letter) < 0x370 or 0x2000 <= ord(letter) < 0x2070 for letter in name)
