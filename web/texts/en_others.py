"""Words about what other stations hold, in English."""

from __future__ import annotations

OTHERS = {
    "others.asked_soon": "The other stations are asked when you pause.",
    "others.title": "At other stations",
    "others.held_by": "Held by {count} stations, nearest {station}.",
    "others.held_by_one": "Held by one station: {station}.",
    "others.held_among": "Held by {count} stations, among them {station}.",
    "others.at": "{station}, {place}",
    "others.far": "{station}, about {km} km away",
    "others.loan": "Ask for a loan, their number {number}: {loan}",
    "others.loan_plain": "Ask for a loan; their number is {number}.",
    "others.not_lent": "They do not lend it.",
    "others.on": "On {carriers}.",
    "others.stand_ins": "What they hold instead",
    "others.kind.same song": "same song",
    "others.kind.same artist": "same artist",
    "others.none": "No other station holds it, as far as they say.",
    "others.part": "About {percent} in a hundred of their recordings could not be asked.",
    "others.silent": "The other stations do not answer. Go on without them.",
    "others.not_let_in": "The other stations’ catalogue does not know this station’s token. Go on "
    "without it, and tell the keeper: the token is under Station, Rules.",
    "others.asked": "Asked with: “{words}”",
    "others.found_said": "Other stations hold it.",
    "others.stand_ins_said": "Other stations hold something like it.",
}
