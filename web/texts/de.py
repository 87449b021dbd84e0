"""The words of the interface in German, by desk, as `en.py` has them in English."""

from __future__ import annotations

from web.texts.de_by_hand import BY_HAND
from web.texts.de_catalogue import CATALOGUE
from web.texts.de_desks import DESKS
from web.texts.de_doubles import DOUBLES
from web.texts.de_fetching import FETCHING
from web.texts.de_gaps import GAPS
from web.texts.de_keeper import KEEPER
from web.texts.de_keeping import KEEPING
from web.texts.de_others import OTHERS
from web.texts.de_programme import PROGRAMME
from web.texts.de_records import RECORDS
from web.texts.de_round import ROUND
from web.texts.de_sentences import SENTENCES
from web.texts.de_shelf_work import SHELF_WORK
from web.texts.de_shelves import SHELVES
from web.texts.de_sign_in import SIGN_IN
from web.texts.de_stand_ins import STAND_INS
from web.texts.de_station import STATION
from web.texts.de_stock_take import STOCK_TAKE
from web.texts.de_taking_in import TAKING_IN

__all__ = ["SENTENCES", "WORDS"]

_PAGE = {
    "page.demo": "Dies ist eine Vorführung. Nicht für echte Anrufer verwenden.",
    "page.skip": "Zur Arbeit springen",
    "page.desks": "Plätze",
    "page.to_day": "Helle Ansicht",
    "page.to_studio": "Dunkle Ansicht",
    "page.sign_out": "Abmelden",
    "page.lost": "Nicht auf dem neuesten Stand seit {at}: Der Rechner des Senders antwortet "
    "nicht. Diese Seite versucht es von selbst weiter.",
    "desk.phone": "Telefon",
    "desk.studio": "Studio",
    "desk.shelves": "Regale",
    "role.searcher": "Sucher",
    "role.presenter": "Moderator",
    "role.librarian": "Archivar",
    "role.keeper": "Betreuer",
}

_REFUSAL = {
    "refusal.title": "Das hat nicht geklappt",
    "refusal.home": "Zurück zu Ihrem Platz",
    "refusal.no_rule": "Für diese Seite ist nicht festgelegt, wer sie benutzen darf. Also darf es "
    "niemand.",
    "refusal.role": "Das darf die Rolle „{role}“ nicht. Bitte fragen, wer die Liste der Leute "
    "führt.",
    "refusal.no_desk": "Ihre Rolle hat keinen Platz. Bitte fragen, wer die Liste der Leute führt.",
    "refusal.token": "Diese Seite ist zu alt, oder das Formular war nicht unseres. Es wurde "
    "nichts geändert: Seite neu laden und noch einmal versuchen.",
    "refusal.number": "Die Seite hat eine Zahl geschickt, die keine ist. Es wurde nichts "
    "geändert: Seite neu laden und noch einmal versuchen.",
    "refusal.400": "Die Seite hat etwas Unbrauchbares geschickt. Es wurde nichts geändert: Seite "
    "neu laden und noch einmal versuchen.",
    "refusal.403": "Das dürfen Sie nicht.",
    "refusal.404": "Diese Seite gibt es nicht. Vielleicht wurde sie verlegt oder falsch getippt.",
    "refusal.405": "So geht das nicht. Bitte an Ihren Platz zurückgehen und dort die Tasten "
    "benutzen.",
    "refusal.413": "Das ist zu groß. Bitte kürzen und noch einmal versuchen.",
    "refusal.500": "Im Programm ist etwas schiefgegangen. Das Letzte ist vielleicht nicht "
    "gesichert: nachsehen und noch einmal machen. Geschieht es zweimal, bitte dem sagen, der den "
    "Rechner des Senders betreut.",
    "refusal.other": "Das ging nicht. Bitte an Ihren Platz zurückgehen und noch einmal versuchen.",
}

_HEARD = {
    "heard.label": "Was zu hören war",
    "heard.artist": "Interpret, falls einzeln gehört",
    "heard.keys": "Enter: zur Liste, dann auf den Zettel. Esc: hierher. F6: zum Anrufer.",
    "heard.waiting": "Schreiben Sie, was Sie hören, wie es klingt. Ein paar Wörter genügen.",
    "heard.go_on": "Weiter: noch ein paar Buchstaben.",
    "heard.no_letters": "Darin sind keine Buchstaben. Schreiben Sie, was zu hören ist, wie es "
    "klingt.",
    "answer.say": "Sagen:",
    "answer.matches": "Gefunden",
    "answer.stand_ins": "Oder eins von diesen anbieten",
    "answer.ask_next": "Oder den Anrufer fragen",
    "answer.none": "Nichts gefunden.",
    "answer.one": "1 gefunden, {band}.",
    "answer.count": "{count} gefunden, das erste ist {band}.",
    "answer.stand_ins_count": "{count} als Ersatz anzubieten.",
    "answer.other_copy": "{place} ({state})",
    "answer.also": "Auch auf {copies}.",
    "answer.read_as": "Gelesen als",
    "answer.reading_both": "„{title}“ von {artist}",
    "answer.reading_title": "der Titel „{title}“",
    "answer.reading_artist": "irgendetwas von {artist}",
    "answer.not_now": "Nicht auf den Zettel gesetzt: {state}. Mit ↓ kommt das nächste.",
    "answer.not_now_all_the_same": "Noch nicht auf den Zettel gesetzt: {state}. Mit ↓ kommt das "
    "nächste; mit Tab und Enter kommt es trotzdem auf den Zettel.",
    "answer.not_now_wanted": "Nicht auf den Zettel gesetzt: {state}. Mit ↓ kommt, was sich "
    "stattdessen anbieten lässt; mit Tab und Enter wird es für das Archiv notiert.",
    "answer.moved": "Die Liste hat sich eben erst geändert. Hinsehen, dann noch einmal drücken.",
    "answer.all_the_same": "Trotzdem auf den Zettel setzen",
    "want.offer": "Nicht zu finden? Notieren Sie es, damit der Archivar danach suchen kann. Nur "
    "Titel und Interpret, nichts über den Anrufer.",
    "want.add": "Auf die Wunschliste setzen",
    "want.added": "Auf der Wunschliste: {what}",
    "want.empty": "Schreiben Sie einen Titel oder einen Interpreten, damit es etwas zu suchen "
    "gibt.",
}

_SLIP = {
    "slip.fresh": "Neuer Zettel",
    "slip.number": "Zettel {number}",
    "slip.started": "seit {at}",
    "slip.kept": "Gesichert {at}",
    "slip.purpose": "Wofür",
    "slip.caller_name": "Anrufer, wie genannt werden soll",
    "slip.say_name": "Wie man ihn spricht",
    "slip.place_id": "Wo",
    "slip.place_open": "noch nicht gefragt",
    "slip.place_detail": "Wo genau",
    "slip.for_whom": "Für wen, einen oder mehrere",
    "slip.occasion": "Anlass",
    "slip.occasion_open": "noch nicht gefragt",
    "slip.why": "Warum gerade das",
    "slip.talk_about": "Spricht gern über",
    "slip.on_air": "Gesendet",
    "slip.line": "Auf Leitung",
    "slip.ring_back": "Rückruf unter",
    "slip.consent": "Name senden?",
    "slip.consent_noted": "{at}, {by}: {what}.",
    "slip.place_consent": "Ort senden?",
    "slip.place_short": "Ort?",
    "noted.consent": "Name",
    "noted.place_consent": "Ort",
    "noted.adult_consent": "Erwachsener",
    "clash.wrote": "Ein anderer Platz hat inzwischen „{theirs}“ unter „{field}“ geschrieben. Ihres "
    "steht noch da.",
    "clash.emptied": "Ein anderer Platz hat „{field}“ inzwischen geleert. Ihres steht noch da.",
    "clash.heard": "Ein anderer Platz hat „{theirs}“ als Gehörtes geschrieben. Das steht auf dem "
    "Zettel; Ihres steht nur auf dieser Seite.",
    "clash.heard_emptied": "Ein anderer Platz hat das Gehörte geleert. Ihres steht nur auf dieser "
    "Seite.",
    "clash.mine": "Meines behalten",
    "clash.theirs": "Das andere nehmen",
    "clash.first": "Wählen Sie erst, welches von beiden bleibt.",
    "slip.not_kept": "Noch nicht gesichert, weil der PC des Senders nicht antwortet. Bleiben Sie "
    "auf dieser Seite: Sie versucht es von selbst wieder.",
    "hand_over.nothing": "Auf diesem Zettel steht nichts: keine Aufnahme und nichts zum Anrufer. "
    "Übergeben Sie ihn noch einmal, wenn das so sein soll.",
    "hand_over.no_record": "Dieser Zettel nennt keine Aufnahme, und es wurde nichts verstanden. "
    "Übergeben Sie ihn noch einmal, wenn in der Sendung gewählt werden soll.",
    "slip.under_sixteen": "unter 16",
    "slip.adult_consent": "Welcher Erwachsene zustimmt",
    "slip.studio": "An",
    "slip.hand_over": "Übergeben",
    "slip.withdraw": "Verwerfen",
    "slip.call_back": "Zurückholen",
    "slip.no_record": "Noch keine Aufnahme auf dem Zettel.",
    "slip.no_record_needed": "Dieser Anruf braucht keine Aufnahme; eine kann trotzdem hierher.",
    "slip.unchoose": "Wieder herunternehmen",
    "slip.instead_of": "anstelle von „{title}“",
    "strip.heard": "„{words}“",
    "slip.no_name": "noch kein Name",
    "slip.nothing_on_it": "Auf diesem Zettel steht noch nichts.",
    "slip.with_studio": "Zettel {number} ist seit {at} bei {studio}.",
    "slip.was_played": "Zettel {number} wurde {at} gespielt.",
    "slip.was_not_used": "Zettel {number} wurde nicht gesendet, {at}: {why}.",
    "slip.was_withdrawn": "Zettel {number} wurde verworfen, {at}.",
    "strip.title": "Zettel",
    "strip.fresh": "Neuer Zettel",
    "strip.written": "{number}: {who}",
    "strip.with_studio": "{number}: bei {studio}",
    "strip.more": "und {count} weitere",
    "purpose.request": "Wunsch",
    "purpose.dedication": "Gruß",
    "purpose.competition": "Rätsel",
    "purpose.conversation": "Gespräch",
    "on_air.live": "Live",
    "on_air.recorded": "Vorab",
    "on_air.read out": "Vorgelesen",
    "consent.yes": "Ja",
    "consent.first name only": "Nur Vorname",
    "consent.no": "Nein",
}

_STUDIO = {
    "studio.others": "Andere Studios",
    "studio.queue": "Wartende Zettel",
    "studio.none": "Kein Zettel wartet. Der nächste erscheint hier von selbst.",
    "studio.one": "1 Zettel wartet.",
    "studio.count": "{count} Zettel warten.",
    "studio.checklist": "Bevor ein Anruf live geht",
    "studio.checklist_first": "Einweisung und Regeln Ihres Senders gehen vor.",
    "studio.no_record": "Auf diesem Zettel steht keine Aufnahme",
    "studio.no_name": "Kein Name genannt",
    "studio.say_name": "sprich „{say}“",
    "studio.on_air": "Darf gesagt werden",
    "studio.consent_yes": "Ja, der Name: „{name}“.",
    "studio.consent_first_name_only": "Nur der Vorname: „{name}“.",
    "studio.consent_no": "Nein. Nicht sagen, wer es ist.",
    "studio.consent_open": "Nicht gefragt. Nicht sagen, wer es ist.",
    "studio.consent_nameless": "Einverstanden, aber es wurde kein Name genannt.",
    "studio.consent_young": "Kein Name, nicht auf Sendung: unter 16, und kein Erwachsener hat "
    "zugestimmt.",
    "studio.young_with_adult": "Unter 16; zugestimmt hat {adult}.",
    "studio.erased": "Die Angaben des Anrufers wurden fristgerecht gelöscht.",
    "studio.where": "Wo",
    "studio.where_private": "Den Ort nicht auf Sendung nennen.",
    "studio.where_no_consent": "Den Ort nicht nennen: Der Anrufer hat nicht zugestimmt.",
    "studio.where_not_asked": "Nicht gefragt. Den Ort nicht nennen.",
    "studio.where_open": "Sie dürfen „{place}“ sagen.",
    "studio.where_open_not_detail": "Sie dürfen „{place}“ sagen, und nicht mehr.",
    "studio.how": "Wie",
    "studio.line": "Leitung {line}",
    "studio.length": "{length} lang",
    "studio.copy": "Kopieren",
    "studio.copied": "Kopiert",
    "studio.copy_by_hand": "Markiert: Strg C drücken",
    "studio.played": "Gespielt",
    "studio.went_out": "Gesendet",
    "studio.no_record_yet": "Am Telefon zurückholen, um eine Aufnahme daraufzusetzen.",
    "studio.why_not": "Nicht gesendet, weil",
    "studio.not_used": "Nicht gesendet",
    "studio.slip": "Zettel {number}, hier seit {at}",
    "studio.noted_played": "Zettel {number}: gespielt {at}.",
    "studio.noted_not_used": "Zettel {number}: nicht gesendet.",
    "studio.take_back": "Zurücknehmen",
    "studio.taken_back": "Zettel {number} wartet wieder.",
    "studio.waits_already": "Zettel {number} ist nicht als erledigt vermerkt; es gibt nichts "
    "zurückzunehmen.",
    "studio.played_today": "Heute erledigt",
    "studio.nothing_played": "Noch nichts.",
    "studio.done_no_record": "keine Aufnahme",
    "studio.done_not_used": "nicht gesendet: {why}",
    "studio.done_withdrawn": "verworfen",
    "studio.unknown": "Ein Studio dieses Namens gibt es nicht. Wählen Sie eins aus der Liste.",
    "why.no time": "keine Zeit",
    "why.not found in its place": "nicht an seinem Platz",
    "why.would not play": "ließ sich nicht abspielen",
    "why.played lately": "kürzlich gespielt",
    "why.not suitable here": "passt hier nicht",
    "why.caller gone": "Anrufer nicht mehr da",
    "why.nothing agreed": "nichts vereinbart",
}

WORDS: dict[str, str] = {
    **_PAGE,
    **SIGN_IN,
    **_REFUSAL,
    **_HEARD,
    **_SLIP,
    **_STUDIO,
    **CATALOGUE,
    **SHELVES,
    **SHELF_WORK,
    **STOCK_TAKE,
    **BY_HAND,
    **DESKS,
    **KEEPING,
    **KEEPER,
    **PROGRAMME,
    **STATION,
    **STAND_INS,
    **ROUND,
    **FETCHING,
    **RECORDS,
    **TAKING_IN,
    **DOUBLES,
    **GAPS,
    **OTHERS,
}
