"""What headings of shelf lists are called: to teach it one, add the plain words here.

Accents, case, signs and units in brackets do not count. English first, then a few neighbours'
(common practice, no source).
"""

from __future__ import annotations

HEADINGS: dict[str, str] = {
    "shelf_mark": (
        "shelf mark, shelfmark, shelf, mark, shelf no, shelf number, call number, location "
        "code, class mark, classmark, spine, spine label, signatur, standnummer, cote, "
        "accession, accession no, accession number, disc no, disc number, record no, record "
        "number, cd no, cd number, lp no, lp number, library no, library number, ref, "
        "reference, tape no, item no, id, code, archivnummer, regal"
    ),
    "carrier": (
        "carrier, format, medium, media, type, kind, carrier type, tontrager, trager, "
        "support, disc type"
    ),
    "artist": (
        "artist, artiste, artists, performer, performers, performed by, singer, interpret, "
        "interpreter, interprete, kunstler, band, act, by, artist s, group, artista, "
        "uitvoerende, artiest"
    ),
    "song": (
        "song, song title, track title, track name, tune, piece, lied, stuck, chanson, "
        "morceau, titre du morceau, recording, item, liedtitel, songtitel, cancion"
    ),
    "title": "title, titel, titre, name, titulo, titolo, track song, song track, title track",
    "disc_title": (
        "album, album title, disc title, disc name, record title, lp title, cd title, "
        "record, albumtitel, on album, from album, release, disque"
    ),
    "album_artist": "album artist, albumartist",
    "side": "side, seite, face, lado, kant, s",
    "track": (
        "track, track no, track number, trk, tr, band no, spur, piste, plage, position, "
        "pos, nr spur, cut, pista"
    ),
    "disc": "disc of set, volume, vol",
    "speed": "speed, rpm, turns, geschwindigkeit, vitesse",
    "year": (
        "year, date, released, release year, year of release, jahr, annee, year released, "
        "ano, anno, jaar"
    ),
    "first_year": (
        "first released, first release, first year, original year, original release, recorded, "
        "year of first release, original date, originaljahr, year recorded, recording year"
    ),
    "tracks": (
        "tracks, track list, tracklist, track listing, tracklisting, contents, songs, tunes, "
        "all tracks, titles, lieder, chansons, titelliste"
    ),
    "label": (
        "label, record label, company, record company, firma, publisher, plattenfirma, "
        "maison de disques"
    ),
    "number": (
        "number, no, nr, cat no, catalogue no, catalogue number, catalog number, catalog "
        "no, label no, label number, matrix, cat, katalognummer, order number, "
        "bestellnummer, numero"
    ),
    "length": (
        "length, duration, time, playing time, dauer, laufzeit, lange, duree, mins, "
        "minutes, running time, spielzeit, duracion, durata, secs, seconds, duur, timing"
    ),
    "genre": "genre, style, category, music type, stil, categorie, kategorie, genero, sort",
    "composer": (
        "composer, composers, written by, writer, writers, songwriter, songwriters, music "
        "by, author, komponist, compositeur, compositor, compositore, composed by, autor, "
        "auteur"
    ),
    "work": "work, werk, oeuvre",
    "movement": "movement, satz, mouvement",
    "soloist": "soloist, soloists, solist, soliste, featuring, solo",
    "conductor": "conductor, conducted by, dirigent, chef d orchestre, chef, director",
    "language": "language, sung in, sprache, langue, lang, idioma, taal",
    "tempo": "tempo, bpm, beats per minute, speed bpm, beats a minute",
    "voice": "voice, vocal, vocals, sung by, sex, voices, stimme, voix, m f",
    "version": "version, mix, edition, take, fassung",
    "isrc": "isrc",
    "barcode": "barcode, bar code, ean, ean 13, upc, ean upc, gtin, strichcode, code barres",
    "isni": "isni, isni of artist, artist isni",
    "matrix": "matrix no, matrix number, mx, mx no, master, master no, stamper",
    "condition": "condition, state, quality, playing condition, zustand, etat, grade, plays",
    "place": (
        "place, where, room, kept at, kept in, store, location, standort, ort, lieu, "
        "stored, whereabouts, cupboard, building"
    ),
    "note": (
        "note, notes, remark, remarks, comment, comments, bemerkung, bemerkungen, "
        "anmerkung, notiz, remarque, observations, info, notas"
    ),
}
"""Our field, and headings that mean it, parted by commas."""
