"""The words of the keeper's commands, in English."""

KEEPING = {
    "copy.made": "The copy was made and checked: {path}",
    "copy.with_callers": "It holds callers' details, and nothing erases them there: keep it as "
    "you keep the station, and remove it when their time is over.",
    "copy.without_callers": "Callers' details are not in it.",
    "copy_kind.daily": "of the day",
    "copy_kind.weekly": "of the week, without callers",
    "copy_kind.monthly": "of the month, without callers",
    "copy_kind.upgrade": "before an upgrade",
    "copy_kind.replaced": "before a copy was put back",
    "restore.none": "There are no copies yet. A running station makes one every day, and "
    "“asheard copy” makes one now.",
    "restore.how": "Put one back with “asheard restore NAME”. It says first what would be lost.",
    "restore.unknown": "There is no copy “{name}”. “asheard restore” lists them; the file of a "
    "copy elsewhere may be given too.",
    "restore.itself": "That is the station's database itself, not a copy of it.",
    "restore.unsound": "{name} cannot be put back: {wrong}. Choose another copy.",
    "restore.unreadable": "The database as it is now cannot be read, so nobody can count what is "
    "in it and not in the copy.",
    "restore.nothing_lost": "Nothing would be lost: all that is here is in the copy.",
    "restore.lost": "This is here now and not in the copy. It would be lost:",
    "restore.callers": "The callers' details of {count} slips are not in the copy either.",
    "restore.sure": "Put {name} in the place of the database?",
    "restore.left": "Nothing was changed.",
    "restore.done": "{name} was put back, and what was overdue of callers was erased.",
    "restore.kept": "The database that was there before is kept: {path}",
    "pack.done": "The station is packed, without the music itself: {path}",
    "pack.next": "On the new PC: “asheard unpack FILE”.",
    "pack.callers": "It holds callers' details and what people sign in with. Carry it safely, and "
    "remove it when the new PC runs.",
    "unpack.done": "The station is unpacked: {path}",
    "unpack.next": "Look whether its files are found with “asheard check”, and start it with "
    "“asheard serve”. People sign in again. Do not use the one on the old PC any more.",
    "forget.sure": "Erase the caller's details of slip {number} for good?",
    "forget.left": "Nothing was erased.",
    "forget.done": "The caller's details of slip {number} are erased, from the copies here too.",
    "forget.nothing": "Nothing was held of the caller of slip {number} any more.",
    "forget.elsewhere": "Paper, and copies that were carried elsewhere, are yours to destroy.",
    "held.head": "Held about “{name}”:",
    "held.nothing": "Nothing is held about “{name}” here. Look at paper and at copies elsewhere.",
    "held.where": "{where}:",
    "held.forget": "A slip's details are erased at once with “asheard forget SLIP”.",
    "check.files": "Looking at the files",
    "check.well": "well",
    "check.do": "to do",
    "check.log": "The log holds nothing of anybody and can be sent as it is: {path}",
    "papers.unknown": "There is no such paper. There are: {names}.",
    "papers.how": "Read one with “asheard papers NAME”, or write them all into a folder, to fill "
    "them in, with --to.",
    "papers.written": "Written: {path}",
    "papers.there": "{path} is there already, and was not written over. Give another folder.",
    "papers.cannot": "{path} cannot be written ({why}). Give another folder.",
}
