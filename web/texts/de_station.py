"""The German words of the keeper's pages and of paper, as `en_station.py` has them in English."""

from __future__ import annotations

STATION = {
    "desk.station": "Sender",
    "desk.this": "Dieser Platz",
    "desk.name": "Name dieses Platzes",
    "desk.output": "Kopfhörer",
    "desk.output_usual": "wohin der Ton dieses PCs sonst geht",
    "desk.output_names": "Die Ausgänge mit Namen zeigen",
    "desk.output_able": "Wählen Sie, wo „Anhören“ an diesem Platz zu hören ist, und probieren Sie "
    "es. Der Browser fragt vielleicht nach dem Mikrofon, bevor er die Ausgänge nennt; "
    "aufgenommen wird nichts.",
    "desk.output_unable": "Dieser Browser kann keinen Ausgang wählen: Dazu muss die Adresse mit "
    "https beginnen. „Anhören“ geht dorthin, wohin der Ton dieses PCs geht. Sorgen Sie dafür, dass "
    "das der Kopfhörer ist, probieren Sie es, und sagen Sie es unten.",
    "desk.output_refused": "Der Browser darf die Ausgänge nicht nennen. „Anhören“ geht dorthin, "
    "wohin der Ton dieses PCs geht: Sorgen Sie dafür, dass das der Kopfhörer ist.",
    "desk.output_gone": "Der hier gewählte Kopfhörer ist nicht da. Stecken Sie ihn ein, oder "
    "wählen Sie neu.",
    "desk.tone": "Probieren: ein leiser Ton",
    "desk.headphones": "Anhören",
    "desk.headphones_yes": "an: Der Ton ist im Kopfhörer",
    "desk.headphones_no": "aus an diesem Platz",
    "desk.keep": "Speichern",
    "desk.kept": "Für diesen Platz gespeichert.",
    "desk.how": "Der Name sagt dem Programm, wie dieser Platz die Dateien sieht: Ein Platz im "
    "Studio heißt am besten wie das Studio. Anhören ist aus, bis der Ton in Kopfhörer geht, damit "
    "kein Anrufer es in der Leitung hört. Erst einstecken.",
    "desk.folders": "Wo dieser Platz die Dateien sieht",
    "desk.folders_how": "Derselbe Ordner kann hier einen anderen Pfad haben. Geben Sie dem Platz "
    "einen Namen, dann den Pfad, wie dieser Platz ihn hat; leer lassen, wenn er gleich ist.",
    "desk.folder_seen": "{root}, von hier gesehen als",
    "desk.folder_keep": "Diesen Pfad speichern",
    "desk.folder_kept": "Gespeichert. Die Liste des Studios hat jetzt diesen Pfad.",
    "station.parts": "Sender",
    "station.rules": "Regeln",
    "station.programmes": "Sendungen",
    "station.places": "Orte",
    "station.people": "Leute",
    "station.keep": "Regeln speichern",
    "station.secret_kept": "Eins ist gespeichert und wird nicht gezeigt. Ein anderes tritt an "
    "seine Stelle; bleibt das Feld leer, bleibt es.",
    "station.secret_done": "Gespeichert. Was vorher galt, ist nirgends aufgehoben und lässt sich "
    "nicht zurückholen.",
    "station.secret_none": "Noch keins ist gespeichert.",
    "station.secret_remove": "Das gespeicherte löschen",
    "station.token_of_another": "Das gespeicherte Schlüsselwort gehört zur bisherigen Adresse. "
    "Schreiben Sie zu einer anderen auch deren Schlüsselwort, oder löschen Sie das alte. Nichts "
    "wurde geändert.",
    "station.kept": "Gespeichert. Neben dem Formular lässt es sich zurücknehmen.",
    "station.done": "Zuletzt geändert",
    "station.programme_added": "Die Sendung ist eingetragen.",
    "station.no_time": "Geben Sie den Tag an und beide Zeiten in Stunden und Minuten, etwa 19:30.",
    "station.place_added": "Der Ort steht auf der Liste.",
    "station.place_changed": "Der Ort ist geändert.",
    "did.settings": "Regeln geändert: {names}",
    "programme.name": "Name",
    "programme.presenter": "Moderation",
    "programme.day": "Tag",
    "programme.from": "Von",
    "programme.to": "Bis",
    "programme.add": "Eintragen",
    "programme.times": "{starts} bis {ends}",
    "programme.none": "Noch keine Sendung eingetragen. Ist eine da, erfährt das Studio, wie lange "
    "es noch ist.",
    "place.how": "Stationen, Heime, Schiffe: die Auswahl unter „Wo“ auf dem Zettel. Sagen Sie von "
    "jedem, ob er auf Sendung genannt werden darf; eine Station in der Regel nicht.",
    "place.name": "Ort",
    "place.say": "Wie man ihn spricht",
    "place.on_air": "Auf Sendung?",
    "place.add": "Auf die Liste setzen",
    "place.change": "Änderung speichern",
    "place.may_be_said": "darf auf Sendung genannt werden",
    "place.not_said": "nicht auf Sendung nennen",
    "place.not_in_use": "nicht mehr angeboten",
    "place.drop": "Nicht mehr anbieten",
    "place.use_again": "Wieder anbieten",
    "people.how": "Das Programm macht einen Kennsatz für die erste Anmeldung; dann wählen sie "
    "ihren eigenen. Ebenso für einen, der vergessen wurde. "
    "Wer geht, wird nicht mehr eingelassen; der Name bleibt an dem, was er tat.",
    "people.name": "Name",
    "people.role": "Was er oder sie tut",
    "people.add": "Auf die Liste setzen",
    "people.made": "Der Kennsatz von {name}, für eine Anmeldung:",
    "people.made_once": "Jetzt aufschreiben. Er wird nur dies eine Mal gezeigt, lässt {name} "
    "binnen zwei Wochen einmal ein, und dann gilt ein eigener.",
    "people.may_not": "nicht mehr eingelassen",
    "people.new_passphrase": "Einmaliger Kennsatz",
    "people.new_passphrase_for": "Einmaliger Kennsatz für {name}",
    "people.let_out": "Nicht mehr einlassen",
    "people.let_out_which": "Nicht mehr einlassen: {name}",
    "people.let_in": "Wieder einlassen",
    "people.let_in_which": "Wieder einlassen: {name}",
    "people.out": "{name} wird nicht mehr eingelassen.",
    "people.in_again": "{name} wird wieder eingelassen.",
    "people.role_of": "Was {name} tut",
    "people.change_role": "Rolle ändern",
    "people.change_role_of": "Rolle von {name} ändern",
    "people.role_changed": "{name}: von jetzt an {role}.",
    "people.nobody": "Mit dieser Nummer steht niemand auf der Liste.",
    "shelves.lessons": "Gelernt",
    "lessons.how": "Was Anrufer sagten, wie es gehört wurde, und welche Aufnahme gemeint war. "
    "Dieselben Wörter finden sie das nächste Mal sofort. Nur Wörter aus Titel und Interpret "
    "werden behalten.",
    "lessons.none": "Noch nichts gelernt. Gelernt wird, wenn ein verhörter Wunsch gespielt wird.",
    "lessons.of_this": "Wofür diese verhört wurde",
    "lessons.unlearn": "Verlernen",
    "lessons.unlearn_which": "Verlernen: {heard}",
    "lessons.unlearnt": "Verlernt. Unter „Zuletzt getan“ lässt es sich zurücknehmen.",
    "shelves.paper": "Auf Papier",
    "paper.title": "Auf Papier, falls der Rechner ausfällt",
    "paper.how": "Beide Listen entstehen jede Nacht neu. Drucken Sie ab und zu eine, oder legen "
    "Sie sie auf einen Stick; jeder Browser öffnet sie.",
    "paper.by_title": "A bis Z nach Titel",
    "paper.by_artist": "A bis Z nach Interpret",
    "paper.as_of": "vom {at}",
    "paper.not_yet": "noch nicht gemacht",
    "paper.slip": "Ein leerer Zettel",
    "paper.folder": "Sie liegen auf dem Rechner des Senders in",
    "paper.refresh": "Beide Listen jetzt machen",
    "paper.refreshed": "Beide Listen sind neu.",
    "paper.not_made": "Diese Liste gibt es noch nicht. Machen Sie sie unter „Auf Papier“.",
    "paper.made": "Stand {day}, {at}. Was fehlt, ist weggelassen.",
    "paper.nothing": "In den Regalen ist noch nichts.",
    "paper.day": "Tag und Uhrzeit",
    "paper.taken_by": "Angenommen von",
    "paper.place_of_record": "Ort der Aufnahme",
    "paper.shred": "Eintippen, wenn der Rechner wieder läuft, dann schreddern, spätestens nach "
    "{days} Tagen.",
    "paper.places": "Orte auf der Liste:",
    "number.thousands": ".",
    "time.date": "{day}. {month}",
    "time.date_and_year": "{day}. {month} {year}",
    "setting.station_name": "Name des Senders",
    "setting_what.station_name": "Er steht über jeder Seite.",
    "setting.caller_days": "Tage, die Angaben von Anrufern bleiben",
    "setting_what.caller_days": "Nach der Sendung, oder nach dem Tag des Aufschreibens, wenn es "
    "keine Sendung gibt. Dann werden sie endgültig gelöscht, Aufzeichnungen auch. Ihre eigenen "
    "Regeln und das Gesetz gehen vor.",
    "setting.staff_days": "Tage, die der Name eines Helfers bleibt",
    "setting_what.staff_days": "Nachdem jemand nicht mehr eingelassen wird. Dann verschwindet der "
    "Name von der Liste und von dem, was getan wurde; die Arbeit bleibt.",
    "setting.repeat_hours": "Stunden, bis eine Aufnahme wieder angeboten wird",
    "setting_what.repeat_hours": "Nachdem sie gespielt wurde. 0 schaltet es ab.",
    "setting.artist_minutes": "Minuten, bis ein Interpret wieder angeboten wird",
    "setting_what.artist_minutes": "Als Ersatz, nach einer anderen Aufnahme von ihm. 0 schaltet es "
    "ab.",
    "setting.studios": "Studios",
    "setting_what.studios": "An jedes kann ein Zettel übergeben werden. Eins je Zeile.",
    "setting.occasions": "Anlässe",
    "setting_what.occasions": "Warum Leute sich etwas wünschen: die Auswahl auf dem Zettel. Einer "
    "je Zeile.",
    "setting.carriers_played": "Was das Studio abspielen kann",
    "setting_what.carriers_played": "Eines je Zeile. Aufnahmen nur auf anderem gelten als Lücke.",
    "setting.warning_words": "Wörter zum zweimal Hinsehen",
    "setting_what.warning_words": "In einem Titel. Nichts wird verboten: Es wird gesagt, und ein "
    "Mensch entscheidet. Eins je Zeile. "
    "Eine Datei „words_to_look_at_twice.txt“ im Ordner des Senders gilt stattdessen.",
    "setting.strong_language": "Derbe Sprache beim Ersatz",
    "setting_what.strong_language": "„yes“ schreiben, wenn Aufnahmen mit derber Sprache angeboten "
    "werden dürfen. Was jemand mit Namen wünscht, wird trotzdem gefunden.",
    "setting.strong_words": "Wörter derber Sprache",
    "setting_what.strong_words": "In Titel oder Fassung: Solche Aufnahmen werden nicht als Ersatz "
    "angeboten, außer die Regel darüber erlaubt es. Eins je Zeile.",
    "setting.live_checklist": "Bevor ein Anruf live geht",
    "setting_what.live_checklist": "Worauf die Moderation achtet. Ihre eigene Einweisung und Ihre "
    "Regeln gehen vor. Eins je Zeile.",
    "setting.own_kinds": "Eigene Arten von Anrufen",
    "setting_what.own_kinds": "Neben Wunsch, Gruß, Rätsel und Gespräch. Sie brauchen keine Musik. "
    "Eine je Zeile.",
    "setting.blank_minutes": "Minuten, bis der Bildschirm im Studio dunkel wird",
    "setting_what.blank_minutes": "Wenn ihn niemand anrührt, denn Studios haben Fenster. Jede "
    "Taste holt ihn zurück. 0 schaltet es ab.",
    "setting.territory": "Gebiet der Nutzungsmeldung",
    "setting_what.territory": "Land oder Gegend, wie das Formular der Meldung es verlangt. Darf "
    "leer bleiben.",
    "setting.network_place": "Ort, für andere Sender",
    "setting_what.network_place": "Wird nur geteilt, wenn der Sender veröffentlicht, was er hat.",
    "setting.network_position": "Breite und Länge des Ortes",
    "setting_what.network_position": "In Grad, etwa 51.95, 1.29, damit andere sehen, welcher "
    "Sender am nächsten ist. Darf leer bleiben.",
    "setting.network_loan": "Wie andere Sender um eine Ausleihe bitten",
    "setting_what.network_loan": "Wem man schreibt oder wen man anruft, und wann. Wird Wort für "
    "Wort geteilt.",
    "setting.network_lends": "Was an andere Sender verliehen wird",
    "setting_what.network_lends": "Arten von Tonträgern, eine je Zeile. Wer eine Datei verleiht, "
    "kopiert sie.",
    "setting.network_ask": "Vom Telefontisch aus andere Sender fragen",
    "setting_what.network_ask": "Schreiben Sie „yes“, und der Telefontisch fragt sie nach dem, was "
    "dieser Sender nicht hat. Dann verlassen die Wörter in „Was zu hören war“ und „Interpret“ den "
    "Sender, wie sie getippt wurden, und sonst nichts: kein Anrufer, kein Ort, kein Anlass. "
    "Schreiben Sie also keine Namen von Anrufern in diese zwei Felder. Ist es leer, verlässt "
    "nichts den Sender.",
    "setting.network_address": "Adresse des Katalogs der anderen Sender",
    "setting_what.network_address": "Etwa http://192.168.1.20:8038. Die Wörter gehen dorthin und "
    "sonst nirgends hin, und wer ihn betreibt, kann sie sehen. Außerhalb eines privaten Netzes "
    "muss sie mit https beginnen.",
    "setting.network_token": "Schlüsselwort für diese Adresse",
    "setting_what.network_token": "Eine Zeile Buchstaben, mit der dieser Sender fragen darf. Sie "
    "bekommen sie von dem, der den Katalog betreibt.",
    "setting.language": "Sprache",
    "setting_what.language": "Aller Seiten und ihrer Daten.",
}
