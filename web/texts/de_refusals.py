"""What the catalogue says when something did not work, in German: see `sentences.py`."""

from __future__ import annotations

_ALREADY = "Es wurde nichts geändert; sehen Sie nach, wie er jetzt ist."

REFUSALS = {
    "“{}” is a name of it already. Nothing was changed.": "„{0}“ ist schon ein Name davon. Es "
    "wurde nichts geändert.",
    "That name is not there any more; perhaps it was taken out already.": "Diesen Namen gibt es "
    "nicht mehr; vielleicht wurde er schon herausgenommen.",
    "A name has {} letters at most. Nothing was changed.": "Ein Name hat höchstens {0} Buchstaben. "
    "Es wurde nichts geändert.",
    "Choose from the list what kind of name it is. Nothing was changed.": "Wählen Sie aus der "
    "Liste, was für ein Name es ist. Es wurde nichts geändert.",
    "The address of the other stations' catalogue begins with http:// or https://, such as "
    "http://192.168.1.20:8038. Nothing was changed.": "Die Adresse des Katalogs der anderen Sender "
    "beginnt mit http:// oder https://, etwa http://192.168.1.20:8038. Es wurde nichts geändert.",
    "The token is one line of letters and digits. Nothing was changed.": "Das Schlüsselwort ist "
    "eine Zeile aus Buchstaben und Ziffern. Es wurde nichts geändert.",
    "Latitude and longitude are two numbers in degrees with a comma between, such as “51.95, "
    "1.29”. Nothing was changed.": "Breite und Länge sind zwei Zahlen in Grad mit einem Komma "
    "dazwischen, etwa „51.95, 1.29“. Es wurde nichts geändert.",
    "Say what is to be changed. Nothing was changed.": "Sagen Sie, was sich ändern soll. Es "
    "wurde nichts geändert.",
    "{} cannot be set for many records at once.": "{0} lässt sich nicht für viele Aufnahmen "
    "auf einmal setzen.",
    "An artist needs a name. Nothing was changed.": "Ein Interpret braucht einen Namen. Es "
    "wurde nichts geändert.",
    "Write the wording that is to be replaced. Nothing was changed.": "Schreiben Sie den "
    "Wortlaut, der ersetzt werden soll. Es wurde nichts geändert.",
    "A field can be set, or its wording replaced, not both at once.": "Ein Feld lässt sich "
    "setzen, oder sein Wortlaut ersetzen, nicht beides auf einmal.",
    "Choose the records that are to be changed. Nothing was changed.": "Wählen Sie die "
    "Aufnahmen, die sich ändern sollen. Es wurde nichts geändert.",
    "{} records can be changed at once. Choose fewer of them.": "Auf einmal lassen sich {0} "
    "Aufnahmen ändern. Wählen Sie weniger.",
    "It was stopped: {} of {} parts are as they were before. Take it back again to go on.": "Es "
    "wurde angehalten: {0} von {1} Teilen sind wie vorher. Nehmen Sie es noch einmal "
    "zurück, um weiterzumachen.",
    "The list can be ordered by title, artist or shelf mark.": "Die Liste lässt sich nach Titel, "
    "Interpret oder Signatur ordnen.",
    "The list is by title or by artist.": "Die Liste ist nach Titel oder nach Interpret.",
    "The recording is not there any more; perhaps its time was over.": "Die Aufzeichnung ist nicht "
    "mehr da; vielleicht war ihre Zeit um.",
    "That recording is larger than {} MB. Shorten it first.": "Diese Aufzeichnung ist größer als "
    "{0} MB. Bitte erst kürzen.",
    "The recording did not arrive whole. Give it again.": "Die Aufzeichnung kam nicht ganz an. "
    "Bitte noch einmal.",
    "The recording cannot be written ({}). Make room on the drive, or give this user the right to "
    "write there.": "Die Aufzeichnung kann nicht geschrieben werden ({0}). Platz schaffen, oder "
    "diesem Benutzer das Schreiben erlauben.",
    "{} cannot be written ({}). Give this user the right to write there.": "{0} kann nicht "
    "geschrieben werden ({1}). Diesem Benutzer dort das Schreiben erlauben.",
    "Only what is written on a slip can be copied.": "Nur was auf einem Zettel steht, lässt sich "
    "übertragen.",
    "A slip has no field “{}” for the caller's details.": "Ein Zettel hat kein Feld „{0}“ für "
    "Angaben des Anrufers.",
    "Whether the place may be said is “yes” or “no”, or blank: not asked yet.": "Ob der Ort "
    "genannt werden darf, ist „Ja“ oder „Nein“ oder leer: noch nicht gefragt.",
    "Consent is “yes”, “first name only” or “no”, or blank: not asked yet.": "Die Zustimmung ist "
    "„Ja“, „Nur Vorname“ oder „Nein“, oder leer: noch nicht gefragt.",
    "Choose from the list who may hear the recording.": "Wählen Sie aus der Liste, wer die "
    "Aufzeichnung hören darf.",
    "That is too long for a slip. Keep it under {} characters.": "Das ist zu lang für einen "
    "Zettel. Bitte unter {0} Zeichen bleiben.",
    "The caller's details of slip {} are not there any more: their time was over and they were "
    "erased. Start a new slip.": "Die Angaben des Anrufers von Zettel {0} sind nicht mehr da: Ihre "
    "Zeit war um, und sie wurden gelöscht. Bitte einen neuen Zettel anfangen.",
    "That place is not on the list. Choose one, or leave it blank.": "Dieser Ort steht nicht auf "
    "der Liste. Wählen Sie einen, oder lassen Sie es leer.",
    "Somebody else changed these details meanwhile. Nothing was overwritten: look at the slip as "
    "it is now, and write yours again.": "Jemand anders hat diese Angaben inzwischen geändert. Es "
    "wurde nichts überschrieben: Sehen Sie den Zettel an, wie er jetzt ist, und schreiben Sie "
    "Ihres noch einmal.",
    "That studio is not on the station's list. Choose one of the studios.": "Dieses Studio steht "
    "nicht auf der Liste. Wählen Sie eins der Studios.",
    "One call has at most {} slips. Hand these over first.": "Ein Anruf hat höchstens {0} Zettel. "
    "Bitte erst diese übergeben.",
    "Slip {} is on air, so it cannot be called back.": "Zettel {0} ist auf Sendung und kann nicht "
    "zurückgeholt werden.",
    "Slip {} is on air, so it stays where it is.": "Zettel {0} ist auf Sendung und bleibt, wo er "
    "ist.",
    "A recording needs a title. Write what is on the label, or “Untitled”.": "Eine Aufnahme "
    "braucht einen Titel. Schreiben Sie, was auf dem Etikett steht, oder „Ohne Titel“.",
    "A recording has no field {}.": "Eine Aufnahme hat kein Feld {0}.",
    "There is no recording number {}.": "Eine Aufnahme Nummer {0} gibt es nicht.",
    "There is no recording number {}; nothing was logged.": "Eine Aufnahme Nummer {0} gibt es "
    "nicht; nichts wurde vermerkt.",
    "There is no recording number {}; the slip is as it was.": "Eine Aufnahme Nummer {0} gibt es "
    "nicht; der Zettel ist, wie er war.",
    "There is no recording number {}; nothing was noted.": "Eine Aufnahme Nummer {0} gibt es "
    "nicht; nichts wurde notiert.",
    "A disc needs a shelf mark, so that somebody can find it.": "Eine Platte braucht eine "
    "Signatur, damit man sie findet.",
    "A disc has no field {}.": "Eine Platte hat kein Feld {0}.",
    "Another {} stands at {} already. Give this one another mark.": "Bei {1} steht schon etwas "
    "anderes ({0}). Geben Sie dieser eine andere Signatur.",
    "There is no disc number {}.": "Eine Platte Nummer {0} gibt es nicht.",
    "A copy is either a file or on a disc: give one of the two.": "Ein Exemplar ist entweder eine "
    "Datei oder auf einer Platte: eins von beiden angeben.",
    "A copy has no field {}.": "Ein Exemplar hat kein Feld {0}.",
    "There is no copy number {}.": "Ein Exemplar Nummer {0} gibt es nicht.",
    "Another name must not be blank.": "Ein anderer Name darf nicht leer sein.",
    "Another name is either an artist's or a recording's.": "Ein anderer Name gehört entweder zu "
    "einem Interpreten oder zu einer Aufnahme.",
    "“{}” is no {}. It must be one of: {}.": "„{0}“ geht hier nicht ({1}). Möglich sind: {2}.",
    "This browser keeps no cookie, so the desk cannot be remembered.": "Dieser Browser behält kein "
    "Cookie, also lässt sich der Platz nicht merken.",
    "That is too long for a desk's name. Keep it under {} letters.": "Das ist zu lang für den "
    "Namen eines Platzes. Bitte unter {0} Buchstaben bleiben.",
    "A judgement is “same”, “different” or “cannot tell”.": "Ein Urteil ist „dieselbe“, "
    "„verschieden“ oder „nicht zu sagen“.",
    "A search goes on already. Wait for it to end.": "Eine Suche läuft schon. Warten Sie, bis sie "
    "zu Ende ist.",
    "Action {} judged nothing.": "Vorgang {0} hat nichts beurteilt.",
    "That is gone already. Look at the list again.": "Das ist schon weg. Sehen Sie noch einmal in "
    "die Liste.",
    "That is one recording, not two.": "Das ist eine Aufnahme, nicht zwei.",
    "There is no such lesson; perhaps it was unlearnt already.": "Das wurde nicht gelernt; "
    "vielleicht ist es schon verlernt.",
    "Write who has the disc, so that somebody can ask for it back.": "Schreiben Sie, wer die "
    "Platte hat, damit man danach fragen kann.",
    "{} is on loan to {} already. Bring it back first.": "{0} ist schon an {1} verliehen. Erst "
    "zurückbringen.",
    "{} is not on loan. Perhaps it was brought back already.": "{0} ist nicht verliehen. "
    "Vielleicht ist es schon zurück.",
    "That is not a date. Write it as year, month, day, such as 2026-12-24.": "Das ist kein "
    "Datum. Schreiben Sie Jahr, Monat, Tag, etwa 2026-12-24.",
    "There is no place number {} on the list.": "Einen Ort Nummer {0} gibt es auf der Liste nicht.",
    "A place needs a name.": "Ein Ort braucht einen Namen.",
    "“{}” is on the list already.": "„{0}“ steht schon auf der Liste.",
    "There is no play number {} in the log.": "Einen Eintrag Nummer {0} gibt es im Sendebuch "
    "nicht.",
    "That copy is not of this recording. Choose the copy again.": "Dieses Exemplar gehört nicht zu "
    "dieser Aufnahme. Bitte das Exemplar noch einmal wählen.",
    "{} changed this meanwhile ({}, {}). Nothing was overwritten: look at it as it is now, and "
    "write yours again.": "{0} hat dies inzwischen geändert ({1}, {2}). Nichts wurde "
    "überschrieben: Sehen Sie nach, wie es jetzt ist, und schreiben Sie Ihres noch einmal.",
    "That is one disc, not two.": "Das ist ein Tonträger, nicht zwei.",
    "A {} and a {} are not one disc.": "{0} und {1} sind nicht ein Tonträger.",
    "A programme needs a name.": "Eine Sendung braucht einen Namen.",
    "A programme ends after it starts. Look at the two times again.": "Eine Sendung endet, nachdem "
    "sie anfängt. Bitte beide Zeiten noch einmal ansehen.",
    "That occasion is not on the station's list. Choose one, or leave it blank.": "Dieser Anlass "
    "steht nicht auf der Liste. Wählen Sie einen, oder lassen Sie es leer.",
    "Say why it was not used: {}": "Sagen Sie, warum er nicht gesendet wurde: aus der Liste "
    "wählen.",
    "Say why it comes back: {}": "Sagen Sie, warum er zurückkommt: aus der Liste wählen.",
    "Slip {} was not sent back, so there is nothing to take back.": "Zettel {0} kam nicht zurück; "
    "es gibt nichts zurückzunehmen.",
    "Say what the call is for: {}": "Sagen Sie, wofür der Anruf ist: {0}",
    "Say first what the call is for: {}": "Sagen Sie erst, wofür der Anruf ist: {0}",
    "This slip names no record. Choose what you played, then say it again.": "Auf diesem Zettel "
    "steht keine Aufnahme. Wählen Sie, was gespielt wurde, dann noch einmal.",
    "No folder {} was taken in. Those that were: {}.": "Ein Ordner {0} wurde nicht aufgenommen. "
    "Aufgenommen sind: {1}.",
    "Give the desk a name, such as “Studio 1”.": "Geben Sie dem Platz einen Namen, etwa „Studio "
    "1“.",
    "No folder {} was taken in, so it cannot have moved.": "Ein Ordner {0} wurde nicht "
    "aufgenommen, also kann er nicht umgezogen sein.",
    "There is no setting “{}”. There are: {}.": "Eine Regel „{0}“ gibt es nicht. Es gibt: {1}.",
    "“{}” is too long. Keep it under {} characters.": "„{0}“ ist zu lang. Bitte unter {1} Zeichen "
    "bleiben.",
    "“{}” is one of: {}. Nothing was changed.": "„{0}“ ist eins von: {1}. Es wurde nichts "
    "geändert.",
    "The station needs a name. Nothing was changed.": "Der Sender braucht einen Namen. Es wurde "
    "nichts geändert.",
    "These words are kept in the file {} in the station's folder. Change them there; nothing was "
    "changed here.": "Diese Wörter stehen in der Datei {0} im Ordner des Senders. Bitte dort "
    "ändern; hier wurde nichts geändert.",
    "“{}” is a whole number. “{}” is not; nothing was changed.": "„{0}“ ist eine ganze Zahl. „{1}“ "
    "ist keine; es wurde nichts geändert.",
    "“{}” lies between {} and {}. Nothing was changed.": "„{0}“ liegt zwischen {1} und {2}. Es "
    "wurde nichts geändert.",
    "“{}” needs one line at least. Nothing was changed.": "„{0}“ braucht mindestens eine Zeile. Es "
    "wurde nichts geändert.",
    "There is no slip number {}.": "Einen Zettel Nummer {0} gibt es nicht.",
    "Slip {} {}. Nothing was changed; look at it as it is now.": "Zettel {0} {1:said}. " + _ALREADY,
    "is with the phone desk, still being written": "ist am Telefon und wird noch geschrieben",
    "was handed over already": "wurde schon übergeben",
    "was played already": "wurde schon gespielt",
    "was put aside as not used": "wurde als nicht gesendet abgelegt",
    "was withdrawn": "wurde verworfen",
    "Somebody else changed slip {} meanwhile. Nothing was overwritten: look at it as it is now, "
    "and do it again.": "Jemand anders hat Zettel {0} inzwischen geändert. Es wurde nichts "
    "überschrieben: Ansehen, wie er jetzt ist, und noch einmal machen.",
    "The station is being stopped. Start it again.": "Der Sender wird gerade beendet. Bitte neu "
    "starten.",
    "This is the last keeper. Put another keeper on the list first.": "Das ist der letzte "
    "Betreuer. Setzen Sie erst einen anderen auf die Liste.",
    "Write the person's name.": "Schreiben Sie den Namen der Person.",
    "A role is one of: {}": "Eine Rolle ist eine von: {0}",
    "There is no act “{}”. There are: {}.": "Ein Recht „{0}“ gibt es nicht. Es gibt: {1}.",
    "A passphrase needs {} characters or more: four plain words do.": "Ein Kennsatz braucht {0} "
    "Zeichen oder mehr: Vier einfache Wörter genügen.",
    "A passphrase may have {} characters and no more.": "Ein Kennsatz darf {0} Zeichen haben und "
    "nicht mehr.",
    "That passphrase is among the first to be guessed. Take four plain words that have "
    "nothing to do with one another.": "Dieser Kennsatz gehört zu denen, die zuerst geraten "
    "werden. Nehmen Sie vier einfache Wörter, die nichts miteinander zu tun haben.",
    "A PIN is {} to {} digits.": "Eine PIN hat {0} bis {1} Ziffern.",
    "That PIN is among the first to be guessed: a row of digits, one digit again and "
    "again, a pattern, or a date. Take another.": "Diese PIN gehört zu denen, die zuerst geraten "
    "werden: eine Reihe von Ziffern, immer dieselbe, ein Muster oder ein Datum. Nehmen Sie eine "
    "andere.",
    "A PIN works at shared desks only, and this is none yet.": "Eine PIN gilt nur an gemeinsamen "
    "Plätzen, und dies ist noch keiner.",
    "There is no such desk any more.": "Diesen Platz gibt es nicht mehr.",
    "This browser could not be remembered. Sign in again.": "Dieser Browser konnte nicht gemerkt "
    "werden. Melden Sie sich noch einmal an.",
    "“{}” is on the list already. Add something to tell them apart.": "„{0}“ steht schon auf der "
    "Liste. Fügen Sie etwas hinzu, um sie zu unterscheiden.",
    "There is nobody with the number {}.": "Mit der Nummer {0} gibt es niemanden.",
    "That line is gone already. Look at the list again.": "Diese Zeile ist schon weg. Bitte die "
    "Liste noch einmal ansehen.",
    "There is no action number {} to take back.": "Eine Handlung Nummer {0} gibt es nicht.",
    "A taking back cannot itself be taken back; do the work again.": "Ein Zurücknehmen lässt sich "
    "nicht zurücknehmen; bitte noch einmal machen.",
    "“{}” was taken back already.": "„{0:said}“ wurde schon zurückgenommen.",
    "“{}” cannot be taken back, because of later work on the same records{}. Take that back "
    "first.": "„{0:said}“ lässt sich nicht zurücknehmen, weil später daran weitergearbeitet "
    "wurde{1}. Bitte erst das zurücknehmen.",
    "“{}” cannot be taken back, because later entries rest on its records{}. Take that back "
    "first.": "„{0:said}“ lässt sich nicht zurücknehmen, weil spätere Einträge darauf beruhen{1}. "
    "Bitte erst das zurücknehmen.",
    "There is nothing to look for. Write a title, or an artist.": "Es gibt nichts zu suchen. "
    "Schreiben Sie einen Titel oder einen Interpreten.",
    "That is too long for a title or an artist. Write the record's name only.": "Das ist zu lang "
    "für Titel oder Interpret. Schreiben Sie nur den Namen der Aufnahme.",
    "There is no want number {}.": "Einen Wunsch Nummer {0} gibt es nicht.",
    "That want was closed already.": "Dieser Wunsch ist schon geschlossen.",
}
