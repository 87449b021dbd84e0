"""In German: what taking in says of files, rows and lists, for the table of sentences."""

from __future__ import annotations

TAKEN_IN = {
    # Why a file or a row was not taken in
    "{} is not audio that can be played, or it is damaged. Copy it again.": "{0} ist kein Ton, "
    "der sich abspielen lässt, oder beschädigt. Kopieren Sie es noch einmal.",
    "{} is empty. Copy it again from where it came.": "{0} ist leer. Kopieren Sie es noch einmal "
    "von dort, woher es kam.",
    "{} has no sound in it. Copy it again from where it came.": "In {0} ist kein Ton. Kopieren Sie "
    "es noch einmal von dort, woher es kam.",
    "{} is cut short: some {} % of it is missing. Copy it again from where it came.": "{0} ist "
    "abgeschnitten: Etwa {1} % davon fehlen. Kopieren Sie es noch einmal von dort, woher es kam.",
    "{} is not audio, whatever its name says: it looks like {}.": "{0} ist kein Ton, was auch der "
    "Name sagt: Es sieht aus wie {1:said}.",
    "{} is no file that can be played. Take it away.": "{0} ist keine Datei, die sich abspielen "
    "lässt. Nehmen Sie sie weg.",
    "{} may not be read by this user. Give the right to read it.": "{0} darf von diesem Benutzer "
    "nicht gelesen werden. Geben Sie das Recht dazu.",
    "{} cannot be read ({}). Copy it again.": "{0} lässt sich nicht lesen ({1}). Kopieren Sie es "
    "noch einmal.",
    "{} cannot be read ({}).": "{0} lässt sich nicht lesen ({1}).",
    "Its name has letters that this computer cannot read. Rename it.": "Der Name hat Buchstaben, "
    "die dieser Rechner nicht lesen kann. Benennen Sie es um.",
    "There is no title. Write what is on the label, or “Untitled”.": "Es gibt keinen Titel. "
    "Schreiben Sie, was auf dem Etikett steht, oder „Ohne Titel“.",
    "It has no title. Write what is on the label.": "Es hat keinen Titel. Schreiben Sie, was auf "
    "dem Etikett steht.",
    "It has no title. Write one.": "Es hat keinen Titel. Schreiben Sie einen.",
    "It has no shelf mark, so nobody could find the disc. Write one and take the list in again.": (
        "Es hat keine Signatur, also fände niemand die Platte. Schreiben Sie eine und geben Sie "
        "die Liste noch einmal."
    ),
    "It is a file, not a disc. Take files in with add-files.": "Es ist eine Datei, keine Platte. "
    "Nehmen Sie den Ordner auf, in dem sie liegt.",
    "It is no file of this computer. Only files that are there can be taken in.": "Es ist keine "
    "Datei dieses Rechners. Nur Dateien, die da sind, lassen sich aufnehmen.",
    "That file lies in no library folder. Take its folder in first.": "Diese Datei liegt in keinem "
    "Ordner der Sammlung. Nehmen Sie erst ihren Ordner auf.",
    "{} has too many parts for a list. Save it as CSV.": "{0} hat zu viele Teile für eine Liste. "
    "Speichern Sie sie als CSV.",
    "There is no file {}. Mend the path, or plug the drive in.": "Es gibt keine Datei {0}. "
    "Berichtigen Sie den Pfad, oder stecken Sie das Laufwerk an.",
    "{} is no audio file by its name.": "{0} ist dem Namen nach keine Tondatei.",
    "This record is damaged and cannot be read. Export it anew.": "Dieser Satz ist beschädigt und "
    "lässt sich nicht lesen. Geben Sie ihn neu aus.",
    "a PDF": "ein PDF",
    "a picture": "ein Bild",
    "a program": "ein Programm",
    "a text": "ein Text",
    "a web page": "eine Webseite",
    "a database": "eine Datenbank",
    "a ZIP archive or an office document": "ein ZIP-Archiv oder ein Office-Dokument",
    "nothing but zeros": "lauter Nullen",
    # What needs a look
    "the title is only the file’s name; write the true one": "der Titel ist nur der Name der "
    "Datei; schreiben Sie den richtigen",
    "the title is only “{}”; listen, and write the true one": "der Titel ist nur „{0}“; hören Sie "
    "hinein und schreiben Sie den richtigen",
    "the name says {}, but the file is {}; rename it": "der Name sagt {0}, aber die Datei ist {1}; "
    "benennen Sie sie um",
    "the {} may be cut off after 30 letters": "{0:said} ist vielleicht nach 30 Buchstaben "
    "abgeschnitten",
    "title": "der Titel",
    "artist": "der Interpret",
    "artist and the title": "Interpret und Titel",
    "it sounds exactly as {} does, which is called “{}” by {}": "es klingt genau wie {0}, das "
    "„{1}“ von {2} heißt",
    "{} is “{}” here, but “{}” there; one shelf mark is for one disc": "{0} ist hier „{1}“, dort "
    "aber „{2}“; eine Signatur ist für eine Platte",
    "the {} stays “{}”, as was written before; this says “{}”": "{0:said} bleibt „{1}“, wie vorher "
    "geschrieben; hier steht „{2}“",
    "another recording has this file’s name now": "eine andere Aufnahme hat jetzt den Namen dieser "
    "Datei",
    "“{}” is no tempo in beats a minute; left out": "„{0}“ ist kein Tempo in Schlägen in der "
    "Minute; weggelassen",
    "“{}” is no length; left out": "„{0}“ ist keine Länge; weggelassen",
    "“{}” is no year; left out": "„{0}“ ist kein Jahr; weggelassen",
    "no artist is given; write who sings or plays": "es ist kein Interpret angegeben; schreiben "
    "Sie, wer singt oder spielt",
    "letters are lost in the {}; write them anew": "Buchstaben sind verloren ({0:said}); schreiben "
    "Sie sie neu",
    "a letter may be lost in the {} (“?”)": "vielleicht ist ein Buchstabe verloren, „?“ ({0:said})",
    "“{}” is no EAN or UPC; read it again from the sleeve": "„{0}“ ist keine EAN und kein UPC; "
    "lesen Sie noch einmal auf der Hülle nach",
    "the check digit of the barcode {} is wrong: it should be {}; read it again from the sleeve": (
        "die Prüfziffer des Strichcodes {0} ist falsch: Es müsste {1} sein; lesen Sie noch einmal "
        "auf der Hülle nach"
    ),
    "“{}” is no ISRC (two letters, then ten signs)": "„{0}“ ist kein ISRC (zwei Buchstaben, dann "
    "zehn Zeichen)",
    "“{}” is no ISNI: its check sign is wrong, or its length": "„{0}“ ist keine ISNI: Das "
    "Prüfzeichen ist falsch oder die Länge",
    "its folders say “{}”, its tags “{}”: one of them is wrong": "die Ordner sagen „{0}“, die "
    "Angaben „{1}“: eines davon ist falsch",
    "it does not say what it is on (CD, LP, …)": "es steht nicht da, worauf es ist (CD, LP, …)",
    # Lists and folders
    "{} is empty: there is no row in it.": "{0} ist leer: Es steht keine Zeile darin.",
    "{} is empty: there is no record in it.": "{0} ist leer: Es steht kein Satz darin.",
    "{} is empty: there is nothing in this playlist.": "{0} ist leer: In dieser Abspielliste steht "
    "nichts.",
    "{} is no list: it looks like {}.": "{0} ist keine Liste: Es sieht aus wie {1:said}.",
    "{} is no list. Save it from the program that made it as CSV or xlsx.": "{0} ist keine Liste. "
    "Speichern Sie sie in dem Programm, aus dem sie kommt, als CSV oder xlsx.",
    "There is no list {}. Check the name and the folder.": "Es gibt keine Liste {0}. Prüfen Sie "
    "Namen und Ordner.",
    "{} is a folder. Give one list at a time.": "{0} ist ein Ordner. Geben Sie eine Liste nach der "
    "anderen.",
    "{} is no sheet that can be read; it may be damaged or locked by a password. Save it anew as "
    "xlsx or CSV.": "{0} ist keine lesbare Tabelle; vielleicht ist sie beschädigt oder durch ein "
    "Kennwort gesperrt. Speichern Sie sie neu als xlsx oder CSV.",
    "{} is no sheet as programs write it. Save it as CSV.": "{0} ist keine Tabelle, wie Programme "
    "sie schreiben. Speichern Sie sie als CSV.",
    "This PC cannot start the program that reads sheets ({}). Close other programs, or save the "
    "list as CSV.": "Dieser PC kann das Programm, das Tabellen liest, nicht starten ({0}). Beenden "
    "Sie andere Programme, oder speichern Sie die Liste als CSV.",
    "{} has a row of {} cells: no list is as wide. Delete what stands far to the right, or look "
    "whether line ends were lost, and save it anew.": "{0} hat eine Zeile mit {1} Zellen: So breit "
    "ist keine Liste. Löschen Sie, was weit rechts steht, oder sehen Sie nach, ob Zeilenenden "
    "verloren gingen, und speichern Sie sie neu.",
    "Its {} is {} letters long. Look whether line ends or quotes were lost, and mend it.": "Ein "
    "Feld („{0}“) hat {1} Zeichen. Sehen Sie nach, ob Zeilenenden oder Anführungszeichen verloren "
    "gingen, und verbessern Sie es.",
    "{} unpacks to more than a list can hold. Save it as CSV.": "{0} wird entpackt größer, als "
    "eine Liste sein kann. Speichern Sie sie als CSV.",
    "{} reaches over {} cells, most of them empty. Delete what stands far below the list or far to "
    "its right, or save it as CSV.": "{0} reicht über {1} Zellen, die meisten leer. Löschen Sie, "
    "was weit unter der Liste oder weit rechts davon steht, oder speichern Sie sie als CSV.",
    "{} has no column that can be told to be a title; it was left out.": "In {0} ist keine Spalte "
    "als Titel zu erkennen; es wurde ausgelassen.",
    "{} was left out, as you said.": "{0} wurde ausgelassen, wie Sie sagten.",
    "In {} no column can be told to be a title. Write headings over the columns, such as Shelf "
    "mark, Carrier, Artist, Title, or say what they are with --columns.": "In {0} ist keine Spalte "
    "als Titel zu erkennen. Schreiben Sie Überschriften über die Spalten, etwa Signatur, "
    "Tonträger, Interpret, Titel.",
    "In {} no column can be told to hold shelf marks. Write “Shelf mark” over it. A list of what "
    "is only known of is taken in with add-known.": "In {0} ist keine Spalte als Signatur zu "
    "erkennen. Schreiben Sie „Signatur“ darüber, oder geben Sie die Liste als eine von nur "
    "Bekanntem.",
    "In {} these headings mean nothing here: {}. What stands under them is only kept beside the "
    "record.": "In {0} sagen diese Überschriften hier nichts: {1}. Was darunter steht, wird nur "
    "beim Eintrag aufgehoben.",
    "{} has no headings. By what is in them, columns were read: {}.": "{0} hat keine "
    "Überschriften. Nach ihrem Inhalt wurden Spalten gelesen: {1}.",
    "The headings of {} mean nothing here. By what is in the columns, they were read: {}.": "Die "
    "Überschriften von {0} sagen hier nichts. Nach ihrem Inhalt wurden Spalten gelesen: {1}.",
    "1 record is of no sound recording; it was left out.": "1 Satz ist von keiner Tonaufnahme; er "
    "wurde ausgelassen.",
    "{} records are of no sound recordings; they were left out.": "{0} Sätze sind von keiner "
    "Tonaufnahme; sie wurden ausgelassen.",
    "{} is no MARCXML of the usual kind. Export it anew.": "{0} ist kein gewöhnliches MARCXML. "
    "Geben Sie es neu aus.",
    "{} cannot be read as MARCXML ({}). Export it anew.": "{0} lässt sich nicht als MARCXML lesen "
    "({1}). Geben Sie es neu aus.",
    "{} is no playlist of the usual kind. Save it anew as XSPF.": "{0} ist keine gewöhnliche "
    "Abspielliste. Speichern Sie sie neu als XSPF.",
    "{} is no playlist. Save it anew as M3U or XSPF.": "{0} ist keine Abspielliste. Speichern Sie "
    "sie neu als M3U oder XSPF.",
    "{} cannot be read as XSPF ({}). Save it anew.": "{0} lässt sich nicht als XSPF lesen ({1}). "
    "Speichern Sie es neu.",
    "“{}” is nothing that a column can hold. It can be: {}, or -.": "„{0}“ ist nichts, was eine "
    "Spalte enthalten kann. Möglich sind: {1}, oder -.",
    "Two columns cannot both be {}.": "Zwei Spalten können nicht beide {0} sein.",
    "No column would be the title. Say which one it is.": "Keine Spalte wäre der Titel. Sagen Sie, "
    "welche es ist.",
    "Give the folder that the files are in.": "Geben Sie den Ordner an, in dem die Dateien liegen.",
    "{} is a file. Give the folder that it is in.": "{0} ist eine Datei. Geben Sie den Ordner an, "
    "in dem sie liegt.",
    "There is no folder {}. Check the name, or plug the drive in.": "Es gibt keinen Ordner {0}. "
    "Prüfen Sie den Namen, oder stecken Sie das Laufwerk an.",
    "{} cannot be opened ({}).": "{0} lässt sich nicht öffnen ({1}).",
    "The folder {} could not be read.": "Der Ordner {0} ließ sich nicht lesen.",
    "{} files known from {} are not there, all at once. If it is a drive, plug it in and run this "
    "again. If they are gone for good, run it with --gone. Nothing was changed for them.": "{0} "
    "bekannte Dateien aus {1} sind alle auf einmal nicht da. Ist es ein Laufwerk, stecken Sie es "
    "an und nehmen Sie noch einmal auf. Sind sie für immer weg, sagen Sie das unter „Selten "
    "gebraucht“. Für sie wurde nichts geändert.",
    "{} known files are in folders that could not be read, such as {}. They stay as they were.": (
        "{0} bekannte Dateien liegen in Ordnern, die sich nicht lesen ließen, etwa {1}. Sie "
        "bleiben, wie sie waren."
    ),
    # Jobs, taking back, measuring
    "Stopped. What is counted here is kept; run it again to go on.": "Angehalten. Was hier gezählt "
    "ist, bleibt; zum Weitermachen noch einmal beginnen.",
    "{} What is counted here was kept before that.": "{0:said} Was hier gezählt ist, blieb davor "
    "erhalten.",
    "Files or lists are being taken in or measured just now. Wait until that is done, or stop it "
    "on the page “Taking in”.": "Es werden gerade Dateien oder Listen aufgenommen oder gemessen. "
    "Warten Sie, bis das fertig ist, oder halten Sie es auf der Seite „Aufnehmen“ an.",
    "There is no taking-in number {}.": "Es gibt keine Aufnahme Nummer {0}.",
    "There is no “{}” to take back; it may have been taken back already.": "Es gibt kein „{0:said}“"
    " zurückzunehmen; vielleicht ist es schon zurückgenommen.",
    "“{}” cannot be taken back: later entries rest on its records{}. Take those back first.": (
        "„{0:said}“ lässt sich nicht zurücknehmen: Spätere Einträge bauen darauf auf{1}. Nehmen "
        "Sie zuerst diese zurück."
    ),
    "“{}” cannot be taken back, because somebody has since worked on its records{}. Take that back "
    "first.": "„{0:said}“ lässt sich nicht zurücknehmen, weil seither jemand an diesen Einträgen "
    "gearbeitet hat{1}. Nehmen Sie das zuerst zurück.",
    "That is on the list no more.": "Das steht nicht mehr auf der Liste.",
    "{} has no sound in it, so it cannot be measured.": "In {0} ist kein Ton, also lässt es sich "
    "nicht messen.",
    "{} cannot be decoded here, so it cannot be measured.": "{0} lässt sich hier nicht "
    "entschlüsseln, also auch nicht messen.",
    "{} cannot be measured ({}); it may be damaged.": "{0} lässt sich nicht messen ({1}); "
    "vielleicht ist es beschädigt.",
    "Measuring needs libraries that are not installed here. Install them with: pip install "
    "'asheard[audio]'": "Zum Messen fehlen hier Bibliotheken. Richten Sie sie ein mit: pip install "
    "'asheard[audio]'",
    "took in files from {} (no. {})": "nahm Dateien aus {0} auf (Nr. {1})",
    "took in the list {} (no. {})": "nahm die Liste {0} auf (Nr. {1})",
    "took in what is known, from {} (no. {})": "nahm Bekanntes aus {0} auf (Nr. {1})",
    "looked at {}": "sah nach: {0}",
    "filled {} tempos by measuring": "füllte {0} Tempi durch Messen",
    "at the terminal": "am Terminal",
}
