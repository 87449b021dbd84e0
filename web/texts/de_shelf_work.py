"""German words of how the shelves are filed, of loans and of labels."""

from __future__ import annotations

SHELF_WORK = {
    "filing.title": "Einordnung",
    "filing.how": "Wie Titel und Interpreten geordnet werden, in der Liste und in jedem Regal. "
    "Akzente, Bindestriche und Apostrophe zählen nicht. Der Artikel im Namen einer Person oder "
    "eines Ortes bleibt: El Paso steht unter E.",
    "filing.everywhere": "Die ganze Liste, und jedes Regal, das unten nicht genannt ist",
    "filing.of_mark": "Die Signaturen, die mit {name} beginnen",
    "filing.of_room": "Der Raum {name}",
    "filing.another": "Ein Regal, das anders geordnet ist",
    "filing.by": "Man erkennt es",
    "filing.by_mark": "am Anfang seiner Signaturen",
    "filing.by_room": "am Raum",
    "filing.name": "Dieser Anfang, oder der Raum",
    "filing.articles": "Am Anfang eines Titels übergangen",
    "filing.articles_english": "The, A, An",
    "filing.articles_german": "Der, Die, Das, Ein, Eine",
    "filing.articles_both": "beides",
    "filing.articles_kept": "nichts: wie geschrieben",
    "filing.mac": "Mc und M’",
    "filing.mac_written": "wie geschrieben: MacDonald, Marsh, McGrath",
    "filing.mac_full": "als Mac: McGrath unter den Macs",
    "filing.saint": "St",
    "filing.saint_written": "wie geschrieben",
    "filing.saint_full": "als Saint",
    "filing.numerals": "Zahlen",
    "filing.numerals_digits": "vor dem Buchstaben A, nach ihrer Größe",
    "filing.numerals_spoken": "wie auf Englisch gesprochen: 99 unter N",
    "filing.keep": "Das behalten",
    "filing.keep_of": "Das behalten: {name}",
    "filing.forget": "Wie das Übrige ordnen",
    "filing.forget_of": "Wie das Übrige ordnen: {name}",
    "filing.add": "Dieses Regal aufnehmen",
    "filing.kept": "Behalten. Die Liste hat jetzt diese Ordnung; unter „Zuletzt getan“ lässt es "
    "sich zurücknehmen.",
    "filing.forgotten": "Es ist wieder wie das Übrige geordnet.",
    "filing.which": "Schreiben Sie, wie die Signaturen des Regals beginnen, oder den Raum.",
    "shelves.shelf": "In",
    "shelves.all_shelves": "allen Regalen",
    "loans.title": "Ausleihe",
    "loans.home_box": "Eine Platte ist zurück: Signatur eintippen oder scannen",
    "loans.home_how": "Ein Lesegerät für Strichcodes tippt die Signatur und drückt selbst Enter.",
    "loans.is_home": "Sie ist zurück",
    "loans.is_home_which": "Sie ist zurück: {disc}",
    "loans.home": "{disc} ist wieder da, war bei: {who}. Stellen Sie sie an ihren Platz.",
    "loans.home_in": "{disc} ist wieder da, war bei: {who}. Sie gehört nach: {room}.",
    "loans.none": "Keine Platte ist verliehen.",
    "loans.had": "verliehen an {who}, seit: {day}",
    "loans.due": "fällig: {day}",
    "loans.no_due": "kein Tag vereinbart",
    "loans.overdue": "seit {days} Tagen überfällig",
    "loans.overdue_one": "seit einem Tag überfällig",
    "loans.to": "An welchen Platz, welche Sendung oder wen",
    "loans.lent": "{disc} ist verliehen an {who}.",
    "loans.lend": "Eine Platte verleihen",
    "loans.away": "Für eine Sendung geholt, nicht zurückgestellt",
    "labels.title": "Etiketten",
    "labels.how": "Signaturen in großen Buchstaben, mit einem Code, den ein Lesegerät in jedes "
    "Feld für eine Signatur tippt. Drucken Sie den Bogen in wahrer Größe, ohne „An Seite "
    "anpassen“.",
    "labels.marks": "Signaturen, eine je Zeile",
    "labels.beginning": "Oder alle Signaturen, die beginnen mit",
    "labels.sheet": "Etikettenbogen",
    "labels.sheet_is": "{count} auf A4, {width} × {height} mm",
    "labels.decimal": ",",
    "labels.code": "Code",
    "labels.code_code128": "Striche (Code 128): jedes Lesegerät",
    "labels.code_qr": "Quadrat (QR): Lesegeräte mit Kamera, und Telefone",
    "labels.first": "Anfangen bei Etikett Nummer",
    "labels.make": "PDF erzeugen",
    "labels.none": "Nennen Sie die Platten: eine Signatur je Zeile, oder wie die Signaturen "
    "beginnen.",
    "labels.first_wrong": "Dieser Bogen hat {count} Etiketten. Fangen Sie bei einer Nummer von 1 "
    "bis {count} an.",
    "labels.too_many": "Das sind {count} Etiketten; {most} auf einmal genügen. Nennen Sie ein "
    "kürzeres Stück des Regals.",
    "labels.too_long": "{mark} ist zu lang für Striche auf einem Etikett dieser Größe. Nehmen Sie "
    "ein breiteres Etikett oder den quadratischen Code.",
    "labels.not_ascii": "{mark} hat einen Buchstaben, den Striche nicht fassen. Nehmen Sie den "
    "quadratischen Code.",
    "table.filing_rules": "Regel der Einordnung",
}

SHELF_WORK_SENTENCES = {
    "There is no shelf number {} with filing rules of its own.": "Ein Regal Nummer {0} mit eigener "
    "Einordnung gibt es nicht.",
    "A shelf’s name has {} letters at most. Nothing was changed.": "Der Name eines Regals hat "
    "höchstens {0} Buchstaben. Es wurde nichts geändert.",
    "Choose each filing rule from the list. Nothing was changed.": "Wählen Sie jede Regel der "
    "Einordnung aus der Liste. Es wurde nichts geändert.",
    "Type or scan the disc’s shelf mark.": "Tippen oder scannen Sie die Signatur der Platte.",
    "No disc has the shelf mark “{}”. Look at its label again.": "Keine Platte hat die Signatur "
    "„{0}“. Sehen Sie noch einmal auf ihr Etikett.",
    "No disc has a shelf mark that begins with “{}”.": "Keine Platte hat eine Signatur, die mit "
    "„{0}“ beginnt.",
    "{} was fetched for {}. Put it away first.": "{0} wurde für {1} geholt. Stellen Sie sie zuerst "
    "zurück.",
    "{} is not noted as out. Put it in its place; there is nothing to note.": "{0} ist nicht als "
    "verliehen vermerkt. Stellen Sie sie an ihren Platz; zu vermerken ist nichts.",
    "Several discs have the mark {}: {}. Write which before the mark.": "Mehrere Platten haben die "
    "Signatur {0}: {1}. Schreiben Sie vor die Signatur, welche es ist.",
    "set the filing of “{}”": "Einordnung von „{0}“ festgelegt",
    "set how the list is filed": "Einordnung der Liste festgelegt",
    "filed “{}” as the rest again": "„{0}“ wieder wie das Übrige geordnet",
}
