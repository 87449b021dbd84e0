"""Die Wörter dessen, was aus den Regalen geholt wird, und der Zettel, die zurückkommen."""

from __future__ import annotations

FETCHING = {
    "back.from": "Zettel {number}, {who}, kam {at} von {whence} zurück: {why}.",
    "back.shelves": "den Regalen",
    "back.find": "Etwas anderes finden, dann neu übergeben.",
    "back.not_used": "Zettel {number}, {who}, wurde bei {whence} nicht gesendet, {at}: {why}.",
    "back.open": "Zettel {number} öffnen",
    "back.take_up": "Wieder aufnehmen",
    "back.not found in its place": "„{title}“ war nicht an seinem Platz",
    "back.would not play": "„{title}“ ließ sich nicht abspielen",
    "back.played lately": "„{title}“ lief erst kürzlich",
    "back.not suitable here": "„{title}“ passt hier nicht",
    "fetch.title": "Zu holen",
    "fetch.how": "Was die Zettel aus den Regalen brauchen, in der Reihenfolge der Studios. Von "
    "einem Anrufer steht hier nichts.",
    "fetch.none": "Nichts ist zu holen. Was als Nächstes kommt, erscheint hier von selbst.",
    "fetch.for_studio": "für {studio}",
    "fetch.being_written": "der Anruf läuft noch",
    "fetch.not_there": "Nicht an seinem Platz",
    "fetch.not_there_which": "Nicht an seinem Platz: {place}, „{title}“",
    "fetch.would_not_play": "Kaputt",
    "fetch.would_not_play_which": "Kaputt: {place}, „{title}“",
    "fetch.sent_back": "Zettel {number} ist wieder am Telefon, und {place} gilt als fehlend.",
    "fetch.sent_back_broken": "Zettel {number} ist wieder am Telefon.",
    "fetch.changed": "Auf diesem Zettel steht inzwischen etwas anderes. Bitte die Liste neu "
    "ansehen.",
    "copies.mark_missing": "Nicht an seinem Platz",
    "copies.marked": "{place} gilt als fehlend.",
    "copies.mark_found": "Wieder da",
    "copies.found": "{place} ist wieder an seinem Platz.",
}
