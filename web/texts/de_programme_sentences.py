"""Die Sätze des Katalogs über Runde, Sendeliste und Gespieltes, auf Deutsch."""

PROGRAMME_SENTENCES = {
    "The last day is before the first. Look at the two days again.": "Der letzte Tag liegt vor "
    "dem ersten. Sehen Sie sich beide Tage noch einmal an.",
    "A return covers a year at most. Choose days nearer to each other.": "Eine Meldung umfasst "
    "höchstens ein Jahr. Wählen Sie Tage, die näher beieinander liegen.",
    "A play lasts longer than nothing and less than a day. Look at it again.": "Gespieltes dauert "
    "länger als nichts und weniger als einen Tag. Sehen Sie noch einmal nach.",
    "A programme has at most {} lines. Take some out first.": "Eine Sendung hat höchstens {0} "
    "Zeilen. Nehmen Sie erst welche heraus.",
    "A round has at most {} slips. Hand these over, and begin another.": "Eine Runde hat "
    "höchstens {0} Zettel. Geben Sie diese weiter, und beginnen Sie eine neue.",
    "Choose from the lists how the request came and who asked.": "Wählen Sie aus den Listen, wie "
    "der Wunsch kam und wer ihn aussprach.",
    "Choose the programme or the day it is carried over to.": "Wählen Sie die Sendung oder den "
    "Tag, auf den er verschoben wird.",
    "Slip {} is for another record. Nothing was logged.": "Zettel {0} ist für eine andere "
    "Aufnahme. Nichts wurde vermerkt.",
    "That line is a slip, or was played already. Nothing was logged.": "Diese Zeile ist ein "
    "Zettel oder wurde schon gespielt. Nichts wurde vermerkt.",
    "That line is not in the list any more. Look at the list as it is now.": "Diese Zeile steht "
    "nicht mehr in der Liste. Sehen Sie sie an, wie sie jetzt ist.",
    "That time is still to come. Write when it was played.": "Diese Zeit kommt erst noch. "
    "Schreiben Sie, wann gespielt wurde.",
    "There is no programme number {}.": "Eine Sendung Nummer {0} gibt es nicht.",
    "There is no round number {}.": "Eine Runde Nummer {0} gibt es nicht.",
    "This play met a request. Take back “played” in the studio: then the request waits again.": (
        "Damit wurde ein Wunsch erfüllt. Nehmen Sie „gespielt“ im Studio zurück: Dann wartet der "
        "Wunsch wieder."
    ),
    "This row has no key of its own. Load the page again.": "Diese Zeile hat keine eigene "
    "Kennung. Laden Sie die Seite neu.",
    "{} is on loan to {}. Bring it back first.": "{0} ist an {1} verliehen. Bringen Sie es erst "
    "zurück.",
    "{} is over. Choose today or a day to come.": "{0} ist vorbei. Wählen Sie heute oder einen "
    "kommenden Tag.",
    "“{}” is over. Choose a programme that is still to come.": "„{0}“ ist vorbei. Wählen Sie eine "
    "Sendung, die noch kommt.",
}
