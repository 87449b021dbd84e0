"""Words about what other stations hold, in German."""

from __future__ import annotations

OTHERS = {
    "others.asked_soon": "Die anderen Sender werden gefragt, sobald Sie innehalten.",
    "others.title": "Bei anderen Sendern",
    "others.held_by": "{count} Sender haben es, am nächsten {station}.",
    "others.held_by_one": "Ein Sender hat es: {station}.",
    "others.held_among": "{count} Sender haben es, darunter {station}.",
    "others.at": "{station}, {place}",
    "others.far": "{station}, etwa {km} km entfernt",
    "others.loan": "Um Ausleihe bitten, dort Nummer {number}: {loan}",
    "others.loan_plain": "Um Ausleihe bitten; dort ist es Nummer {number}.",
    "others.not_lent": "Es wird nicht verliehen.",
    "others.on": "Auf {carriers}.",
    "others.stand_ins": "Was sie stattdessen haben",
    "others.kind.same song": "gleicher Titel",
    "others.kind.same artist": "gleicher Interpret",
    "others.none": "Kein anderer Sender hat es, soweit sie sagen.",
    "others.part": "Etwa {percent} von hundert ihrer Aufnahmen ließen sich nicht abfragen.",
    "others.silent": "Die anderen Sender antworten nicht. Machen Sie ohne sie weiter.",
    "others.not_let_in": "Der Katalog der anderen Sender kennt das Schlüsselwort dieses Senders "
    "nicht. Machen Sie ohne ihn weiter, und sagen Sie es dem Betreuer: Es steht unter Sender, "
    "Regeln.",
    "others.asked": "Gefragt mit: „{words}“",
    "others.found_said": "Andere Sender haben es.",
    "others.stand_ins_said": "Andere Sender haben etwas Ähnliches.",
}
