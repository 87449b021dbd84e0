"""Die Wörter der Befehle für Betreuer, auf Deutsch."""

KEEPING = {
    "copy.made": "Die Kopie ist gemacht und geprüft: {path}",
    "copy.with_callers": "Sie enthält Angaben von Anrufern, und dort löscht sie niemand: Bewahren "
    "Sie sie auf wie den Sender selbst, und entfernen Sie sie, wenn die Zeit um ist.",
    "copy.without_callers": "Angaben von Anrufern sind nicht darin.",
    "copy_kind.daily": "vom Tag",
    "copy_kind.weekly": "der Woche, ohne Anrufer",
    "copy_kind.monthly": "des Monats, ohne Anrufer",
    "copy_kind.upgrade": "vor einer Erneuerung",
    "copy_kind.replaced": "bevor eine Kopie zurückgespielt wurde",
    "restore.none": "Es gibt noch keine Kopien. Ein laufender Sender macht täglich eine, und "
    "„asheard copy“ macht jetzt eine.",
    "restore.how": "Zurückspielen mit „asheard restore NAME“. Es sagt zuerst, was verloren ginge.",
    "restore.unknown": "Es gibt keine Kopie „{name}“. „asheard restore“ zählt sie auf; auch die "
    "Datei einer Kopie von anderswo kann angegeben werden.",
    "restore.itself": "Das ist die Datenbank des Senders selbst, keine Kopie davon.",
    "restore.unsound": "{name} kann nicht zurückgespielt werden: {wrong}. Wählen Sie eine andere.",
    "restore.unreadable": "Die jetzige Datenbank ist nicht lesbar; niemand kann zählen, was in "
    "ihr ist und nicht in der Kopie.",
    "restore.nothing_lost": "Nichts ginge verloren: Alles von hier ist in der Kopie.",
    "restore.lost": "Das ist jetzt hier und nicht in der Kopie. Es ginge verloren:",
    "restore.callers": "Auch die Anruferangaben von {count} Zetteln sind nicht in der Kopie.",
    "restore.sure": "{name} an die Stelle der Datenbank setzen?",
    "restore.left": "Nichts wurde geändert.",
    "restore.done": "{name} ist zurückgespielt, und was von Anrufern fällig war, ist gelöscht.",
    "restore.kept": "Die Datenbank von vorher ist aufgehoben: {path}",
    "pack.done": "Der Sender ist gepackt, ohne die Musik selbst: {path}",
    "pack.next": "Auf dem neuen Rechner: „asheard unpack DATEI“.",
    "pack.callers": "Es enthält Angaben von Anrufern und das, womit man sich anmeldet. Tragen Sie "
    "es sicher, und entfernen Sie es, wenn der neue Rechner läuft.",
    "unpack.done": "Der Sender ist ausgepackt: {path}",
    "unpack.next": "Sehen Sie mit „asheard check“ nach, ob die Dateien da sind, und starten "
    "Sie mit „asheard serve“. Alle melden sich neu an. Benutzen Sie den alten nicht mehr.",
    "forget.sure": "Die Anruferangaben von Zettel {number} endgültig löschen?",
    "forget.left": "Nichts wurde gelöscht.",
    "forget.done": "Die Anruferangaben von Zettel {number} sind gelöscht, auch in den Kopien hier.",
    "forget.nothing": "Vom Anrufer des Zettels {number} war nichts mehr da.",
    "forget.elsewhere": "Papier und Kopien, die anderswo liegen, müssen Sie selbst vernichten.",
    "held.head": "Gespeichert über „{name}“:",
    "held.nothing": "Über „{name}“ ist hier nichts gespeichert. Sehen Sie auf Papier und in Kopien "
    "anderswo nach.",
    "held.where": "{where}:",
    "held.forget": "Die Angaben eines Zettels löscht „asheard forget ZETTEL“ sofort.",
    "check.files": "Sehe die Dateien durch",
    "check.well": "gut",
    "check.do": "zu tun",
    "check.log": "Das Protokoll enthält nichts über Personen und kann so verschickt werden: {path}",
    "papers.unknown": "Dieses Papier gibt es nicht. Es gibt: {names}.",
    "papers.how": "Lesen mit „asheard papers NAME“, oder alle zum Ausfüllen in einen Ordner "
    "schreiben mit --to.",
    "papers.written": "Geschrieben: {path}",
    "papers.there": "{path} gibt es schon und wurde nicht überschrieben. Geben Sie einen anderen "
    "Ordner an.",
    "papers.cannot": "{path} ist nicht zu schreiben ({why}). Geben Sie einen anderen Ordner an.",
}
