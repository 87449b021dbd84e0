"""Was die Durchsicht des Senders sagt (`catalogue/health.py`), auf Deutsch."""

from __future__ import annotations

HEALTH = {
    "Python {}, SQLite {}.":
    "Python {0}, SQLite {1}.",
    "Only {} GB are free on the station's drive. Make room soon: copies need it.":
    "Nur noch {0} GB sind auf dem Laufwerk des Senders frei. Bald Platz schaffen: Die Kopien "
    "brauchen ihn.",
    "{} GB are free on the station's drive.":
    "{0} GB sind auf dem Laufwerk des Senders frei.",
    "The database opens, and what is asked of it comes back.":
    "Die Datenbank öffnet sich und antwortet.",
    "The database is whole, and its entries fit together.":
    "Die Datenbank ist heil, und ihre Einträge passen zusammen.",
    "The database cannot be used: {}. Stop the station and put a copy back with “asheard "
    "restore”.":
    "Die Datenbank ist nicht zu gebrauchen. Den Sender anhalten und mit „asheard restore“ "
    "eine Kopie zurückspielen. ({0})",
    "There is no daily copy. Make one with “asheard copy”.":
    "Es gibt keine Tageskopie. Mit „asheard copy“ eine machen.",
    "The last copy is {} days old. Make one with “asheard copy”; a running station makes one "
    "every day.":
    "Die letzte Kopie ist {0} Tage alt. Mit „asheard copy“ eine machen; ein laufender Sender "
    "macht täglich eine.",
    "There is one copy; the last of the day was made today.":
    "Es gibt eine Kopie, von heute.",
    "There are {} copies; the last of the day was made today.":
    "Es gibt {0} Kopien; die letzte Tageskopie ist von heute.",
    "There are {} copies; the last of the day was made yesterday.":
    "Es gibt {0} Kopien; die letzte Tageskopie ist von gestern.",
    "There are {} copies; the last of the day was made {} days ago.":
    "Es gibt {0} Kopien; die letzte Tageskopie ist {1} Tage alt.",
    "The copy {} is of no use: {}. Remove it, and look at the drive it is on.":
    "Die Kopie {0} ist nicht zu gebrauchen. Entfernen, und das Laufwerk prüfen, auf dem sie "
    "liegt. ({1})",
    "The clock says {}.":
    "Die Uhr sagt {0}.",
    "This PC's clock says {}, but the newest entry is of {}. Set the clock right: until then "
    "callers' details are erased late.":
    "Die Uhr dieses Rechners sagt {0}, aber der neueste Eintrag ist von {1}. Die Uhr "
    "stellen: Bis dahin werden Anrufer zu spät gelöscht.",
    "Overdue to be erased: {}. Start the station: it erases them first.":
    "Zu löschen und überfällig: {0}. Den Sender starten: Er löscht zuerst.",
    "Nothing is overdue; details are kept {} days.":
    "Nichts ist überfällig; Angaben bleiben {0} Tage.",
    "The sound index agrees.": "Das Klangverzeichnis stimmt.",
    "The sound index was made anew.": "Das Klangverzeichnis ist neu gemacht.",
    "The sound index took in {} changes.": "Das Klangverzeichnis hat {0} Änderungen aufgenommen.",
    "The sound index agrees; every recording can be found.":
    "Das Klangverzeichnis stimmt; jede Aufnahme ist zu finden.",
    "The sound index was made anew; every recording can be found.":
    "Das Klangverzeichnis ist neu gemacht; jede Aufnahme ist zu finden.",
    "The sound index took in {} changes; every recording can be found.":
    "Das Klangverzeichnis hat {0} Änderungen aufgenommen; jede Aufnahme ist zu finden.",
    "The sound index does not agree with the catalogue. Stop the station, remove the folder "
    "{}, and start it: the index is made anew.":
    "Das Klangverzeichnis stimmt nicht mit dem Katalog überein. Den Sender anhalten, den "
    "Ordner {0} entfernen und starten: Es wird neu gemacht.",
    "The library folders are there.":
    "Die Musikordner sind da.",
    "These library folders are not there: {}. Plug the drive in, or say where they are now.":
    "Diese Musikordner sind nicht da: {0}. Das Laufwerk anstecken, oder sagen, wo sie jetzt "
    "sind.",
    "{} files are where they should be.":
    "{0} Dateien sind, wo sie sein sollen.",
    "{} of {} files are not where they were, such as {}. Take the folder in again with "
    "“asheard add-files”: what moved is found.":
    "{0} von {1} Dateien sind nicht mehr, wo sie waren, etwa {2}. Den Ordner mit „asheard "
    "add-files“ neu aufnehmen: Was umgezogen ist, wird gefunden.",
    "on a slip":
    "auf einem Zettel",
    "in a copy":
    "in einer Kopie",
    "on the list of people":
    "auf der Liste der Leute",
    "as who did what":
    "als wer was getan hat",
    "as who judged duplicates":
    "als wer über Doppeltes geurteilt hat",
    "on a loan":
    "bei einer Ausleihe",
    "as a presenter":
    "als Moderator",
    "as who noted a consent":
    "als wer eine Zustimmung notiert hat",
}  # fmt: skip
