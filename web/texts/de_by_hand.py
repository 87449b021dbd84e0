"""Die Worte für Platten, die von Hand getippt werden, und für geschenkte Kisten."""

from __future__ import annotations

BY_HAND = {
    "sheet.title": "Platte eintippen",
    "sheet.how": "Die Eingabetaste führt ins nächste Feld, von einem Titel zum nächsten; ein "
    "Barcode-Leser geht in jedem Feld. Behalten wird erst mit Strg Eingabe.",
    "sheet.artist": "Interpret",
    "sheet.disc_title": "Titel der Platte",
    "sheet.number": "Barcode oder Nummer",
    "sheet.year": "Jahr",
    "sheet.catalogue_number": "Bestellnummer",
    "sheet.barcode": "Barcode",
    "sheet.note": "Vermerk",
    "sheet.donor": "Geschenkt von",
    "sheet.donor_how": "Der Name eines Spenders bleibt {days} Tage nach der letzten getippten "
    "Platte, zum Danken, und wird dann gelöscht, auch in den Kopien. Er steht in keinem Verlauf. "
    "Lassen Sie ihn weg, wenn ihn niemand braucht.",
    "sheet.donor_until": "Der Name löscht sich am {day} von selbst, auch in den Kopien. Leeren "
    "Sie das Feld, um ihn jetzt zu löschen.",
    "sheet.no_mark": "Ohne Signatur wird sie als „noch einzuordnen“ geführt, mit einer "
    "vorläufigen.",
    "sheet.new_mark": "Neu",
    "sheet.to_be_shelved": "noch einzuordnen",
    "sheet.tracks": "Titel",
    "sheet.tracks_how": "Eingabe: nächster Titel. F2: Dieser Titel ist auf der nächsten Seite. "
    "Mehrere Zeilen lassen sich auf einmal einfügen. Ohne Titel findet man die Platte unter "
    "ihrem eigenen.",
    "sheet.track_artist": "Interpret, wenn ein anderer",
    "sheet.length": "Länge",
    "sheet.more_rows": "Mehr Zeilen",
    "sheet.save": "Platte behalten",
    "sheet.save_tracks": "Titel behalten",
    "sheet.filed": "„{title}“ steht als {mark} im Verzeichnis. Zurücknehmen lässt es sich unter "
    "„Zuletzt getan“.",
    "sheet.tracks_kept": "Titel behalten: {count}.",
    "sheet.no_title": "Titel {number} hat keinen Namen. Schreiben Sie ihn, oder leeren Sie die "
    "Zeile.",
    "sheet.too_long": "„{text}…“ ist zu lang: höchstens {most} Zeichen.",
    "sheet.source": "von Hand getippt",
    "sheet.tracks_title": "Titel von „{title}“",
    "sheet.back_to_disc": "Zurück zur Platte",
    "sheet.the_disc": "Die Platte",
    "sheet.untitled": "Eine Platte ohne Titel",
    "sheet.no_tracks": "Es sind keine Titel bekannt.",
    "sheet.as_a_whole": "Die Platte ist als Ganzes verzeichnet. Sind ihre Titel getippt, lässt "
    "sich jeder finden.",
    "sheet.type_tracks": "Ihre Titel tippen",
    "sheet.more_tracks": "Titel hinzufügen",
    "sheet.from_box": "Kiste {box}, Nummer {number}",
    "sheet.print_label": "Ihr Etikett drucken",
    "sheet.to_take_back": "Etwas zurücknehmen",
    "did.disc_typed": "„{title}“ ({mark}) eingetippt, mit Titeln: {count}",
    "did.disc_typed_whole": "„{title}“ ({mark}) eingetippt",
    "did.disc_corrected": "Platte {mark} berichtigt",
    "standing.held better": "Schon da: Unsere ist in besserem Zustand.",
    "standing.held same": "Schon da, in gleichem Zustand.",
    "standing.held worse": "Schon da: Unsere ist in schlechterem Zustand.",
    "standing.held": "Schon da; eine von beiden ist nicht angesehen.",
    "standing.held gone": "War einmal da und fehlt jetzt.",
    "standing.held file": "Schon da, als Datei.",
    "standing.wanted": "Gesucht, nicht da.",
    "standing.not held": "Nicht da.",
    "sleeve.wanted": "{times} gewünscht.",
    "sleeve.wanted_track": "„{title}“ darauf wurde {times} gewünscht.",
    "sleeve.perhaps": "Von diesem Interpreten wurde „{title}“ {times} gewünscht.",
    "sleeve.is_on_it": "Ist darauf",
    "sleeve.is_on_it_which": "„{title}“ ist auf dieser Platte",
    "sleeve.song": "Eine Aufnahme dieses Namens ist hier: {name}, {where}.",
    "sleeve.of_ours": "unsere",
    "sleeve.not_ours": "bekannt, nicht da",
    "sleeve.take_over": "{count} Titel übernehmen von {name} ({where})",
    "sleeve.take_over_one": "Den Titel übernehmen von {name} ({where})",
    "box.page": "Geschenkte Kisten",
    "box.how": "Jemand bringt eine Kiste Platten. Jede wird von der Hülle abgetippt; sogleich "
    "steht da, ob sie schon da oder gesucht ist, und eine Taste behält sie oder lehnt sie ab. "
    "Eine Kiste lässt sich bei jeder Platte abbrechen und von jedem fortsetzen.",
    "box.none": "Noch wurde keine Kiste begonnen.",
    "box.begin": "Eine Kiste beginnen",
    "box.number": "Ihre Nummer, wie sie auf der Kiste steht",
    "box.begin_do": "Beginnen",
    "box.title": "Kiste {number}",
    "box.word": "Kiste",
    "box.from": "geschenkt von {donor}",
    "box.donor_of": "Wer diese Kiste geschenkt hat",
    "box.donor_keep": "Behalten",
    "box.donor_noted": "Der Spender ist notiert.",
    "box.donor_gone": "Der Name des Spenders ist gelöscht.",
    "box.donor_on_paper": "Vernichten Sie diese Liste bis zum {day}, oder schneiden Sie den "
    "Namen ab.",
    "box.count": "{rows} Platten: {kept} behalten, {declined} abgelehnt.",
    "box.count_one": "Eine Platte: {kept} behalten, {declined} abgelehnt.",
    "box.count_later": "{later} für später.",
    "box.begun_on": "begonnen am {day}",
    "box.done_on": "erledigt am {day}",
    "box.all": "Alle Kisten",
    "box.print": "Die Liste zum Drucken",
    "box.back": "Zurück zur Kiste",
    "box.done": "Die Kiste ist erledigt",
    "box.go_on": "Mit dieser Kiste fortfahren",
    "box.is_done": "Kiste {number} ist erledigt.",
    "box.goes_on": "Mit Kiste {number} geht es weiter.",
    "box.tracks": "Titel, jetzt oder später",
    "box.tracks_how": "Ein Titel je Zeile; ein eigener Interpret nach einem Schrägstrich: A1 Low "
    "Water / Bo Quay 3:42. Nur der Titel muss sein.",
    "box.keep": "Behalten",
    "box.keep_which": "„{title}“ behalten",
    "box.decline": "Ablehnen",
    "box.decline_which": "„{title}“ ablehnen",
    "box.later": "Später",
    "box.stays": "Art und Zustand bleiben für die nächste Platte.",
    "box.which": "Sagen Sie, was aus ihr wird: behalten, ablehnen oder später.",
    "box.needs_title": "Schreiben Sie den Titel der Platte, wie er auf der Hülle steht.",
    "box.not_sent": "Noch nicht behalten: Der PC des Senders antwortet nicht. Es bleibt hier "
    "stehen; drücken Sie die Taste gleich noch einmal.",
    "box.press_again": "Sehen Sie erst hin: Die Antwort kam eben erst. Drücken Sie noch einmal, "
    "wenn es dabei bleibt.",
    "box.empty": "Noch wurde keine Platte getippt.",
    "box.more": "{count} weitere in der Liste zum Drucken",
    "box.mark": "Signatur",
    "box.shelve": "Einordnen",
    "box.take_back": "Zurücknehmen",
    "box.take_back_which": "Zurücknehmen, was über „{title}“ entschieden wurde",
    "box.taken_back": "Zurückgenommen.",
    "box.decision_kept": "Behalten.",
    "box.decision_declined": "Abgelehnt.",
    "box.decision_later": "Für später.",
    "box.part_kept": "Behalten",
    "box.part_declined": "Abgelehnt",
    "box.part_later": "Für später",
    "box.told": "Nummer {number}, „{title}“: {decision}",
    "box.told_kept": "Nummer {number}, „{title}“: {decision} Sie ist {where}.",
    "setting.donor_days": "Tage, die der Name eines Spenders bleibt",
    "setting_what.donor_days": "Nachdem die letzte Platte einer Kiste getippt wurde: lang genug "
    "zum Danken. Dann wird er endgültig gelöscht; das Geschenkte bleibt.",
    "table.donated_boxes": "geschenkte Kiste",
    "table.box_rows": "Platte einer Kiste",
}

BY_HAND_SENTENCES = {
    "That is too long for a name. Write the donor's name only, or nothing.": "Das ist zu lang "
    "für einen Namen. Schreiben Sie nur den Namen des Spenders, oder nichts.",
    "Write the box's number, as it stands on the box: 20 signs at most.": "Schreiben Sie die "
    "Nummer der Kiste, wie sie darauf steht: höchstens 20 Zeichen.",
    "There is a box {} already. Go on with that one, or write another number.": "Eine Kiste {0} "
    "gibt es schon. Fahren Sie mit ihr fort, oder schreiben Sie eine andere Nummer.",
    "There is no such box. Look at the list of boxes.": "Diese Kiste gibt es nicht. Sehen Sie "
    "auf die Liste der Kisten.",
    "That row is not there any more. Look at the box's list again.": "Diese Zeile gibt es nicht "
    "mehr. Sehen Sie die Liste der Kiste noch einmal an.",
    "Box {} is done. Go on with it first.": "Kiste {0} ist erledigt. Fahren Sie zuerst mit ihr "
    "fort.",
    "{} has decided on “{}” meanwhile. Nothing was changed; look at it as it is now.": "{0} hat "
    "inzwischen über „{1}“ entschieden. Es wurde nichts geändert; sehen Sie nach, wie es jetzt "
    "ist.",
    "Write the title of the disc, as it stands on the sleeve.": "Schreiben Sie den Titel der "
    "Platte, wie er auf der Hülle steht.",
    "That is too long for a title, an artist or a number. Nothing was kept.": "Das ist zu lang "
    "für einen Titel, einen Interpreten oder eine Nummer. Es wurde nichts behalten.",
    "That is too long for the tracks of one disc. Nothing was kept.": "Das ist zu lang für die "
    "Titel einer Platte. Es wurde nichts behalten.",
    "This row was not sent as the page sends it. Load the page again.": "Diese Zeile kam nicht "
    "so, wie die Seite sie schickt. Laden Sie die Seite neu.",
    "At {} stands “{}” already. Give this disc another mark.": "Bei {0} steht schon „{1}“. Geben "
    "Sie dieser Platte eine andere Signatur.",
    "There are no tracks to keep. Write a title at least.": "Es gibt keine Titel zu behalten. "
    "Schreiben Sie wenigstens einen Namen.",
    "That is more than {} tracks. Is it one disc?": "Das sind mehr als {0} Titel. Ist es eine "
    "einzige Platte?",
    "“{}…” is too long: {} characters at most.": "„{0}…“ ist zu lang: höchstens {1} Zeichen.",
    "Track {} has no title. Write one, or clear its line.": "Titel {0} hat keinen Namen. "
    "Schreiben Sie ihn, oder leeren Sie die Zeile.",
    "Track {}{} is “{}” already. Correct it on its own page, or give this one another place.": ""
    "Titel {0}{1} ist schon „{2}“. Berichtigen Sie ihn auf seiner eigenen Seite, oder geben Sie "
    "diesem einen anderen Platz.",
    "There is nothing to take back in this row.": "In dieser Zeile ist nichts zurückzunehmen.",
    "This disc was not kept, so it has no place.": "Diese Platte wurde nicht behalten und hat "
    "keinen Platz.",
    "began the box {}": "Kiste {0} begonnen",
    "kept “{}” of a box": "„{0}“ aus einer Kiste behalten",
    "declined “{}” of a box": "„{0}“ aus einer Kiste abgelehnt",
    "later “{}” of a box": "„{0}“ aus einer Kiste für später",
    "the box {} is done": "Kiste {0} ist erledigt",
    "goes on with the box {}": "mit Kiste {0} fortgefahren",
    "typed the tracks of {} {}": "Titel von {0} {1} getippt",
    "shelved “{}” at {}": "„{0}“ bei {1} eingeordnet",
    "want {} is recording {}": "Gesuchtes {0} ist Aufnahme {1}",
    "as a donor": "als Spender",
}
