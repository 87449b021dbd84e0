"""One family of errors.

Each message says what happened and what to do; the web layer and the command line catch
`CatalogueError` and show the message as it is, so it is written for a volunteer.

CatalogueError
├── BadInput            what was given cannot be used
│   ├── UnreadableFile  a file that cannot be read, or is not what its name says
│   ├── UnreadableList  a shelf list that is empty or has no columns we can use
│   └── BadPublication  what a station published is cut short, altered, or not to be trusted
├── NotFound            no such recording, holding, slip, place or person
├── ChangedMeanwhile    somebody else changed it first; nothing was overwritten
├── CannotTakeBack      later work stands on what should be undone
├── NotAllowed          this role may not do that
├── StoreProblem        the database cannot be used as it is
│   ├── NewerDatabase   written by a newer version of this program
│   ├── ReadOnlyStore   the folder or file cannot be written
│   ├── StoreBusy       another program holds the database
│   └── NotADatabase    the file is something else, or damaged
├── CopyProblem         a copy cannot be made, read or put back
├── StationProblem      the station cannot be started (a port in use, no such folder)
└── UnionProblem        the union catalogue cannot be built, read or asked
"""

import sqlite3

SQLITE_TROUBLE = (sqlite3.Error, UnicodeDecodeError)
"""What reading a damaged database raises: SQLite's own message may name what is broken, in bytes
that are no letters."""


class CatalogueError(Exception):
    """Base of all errors that are shown to a person."""

    @property
    def message(self) -> str:
        """The sentence to show."""
        return str(self.args[0]) if self.args else self.__class__.__doc__ or ""


class BadInput(CatalogueError):
    """What was given cannot be used."""


class UnreadableFile(BadInput):
    """A file that cannot be read, or is not what its name says."""


class UnreadableList(BadInput):
    """A shelf list that is empty or has no columns we can use."""


class BadPublication(BadInput):
    """What a station published is cut short, altered, or not to be trusted."""


class NotFound(CatalogueError):
    """No such recording, holding, slip, place or person."""


class ChangedMeanwhile(CatalogueError):
    """Somebody else changed it first; nothing was overwritten."""


class CannotTakeBack(CatalogueError):
    """Later work stands on what should be undone."""


class NotAllowed(CatalogueError):
    """This role may not do that."""


class StoreProblem(CatalogueError):
    """The database cannot be used as it is."""


class NewerDatabase(StoreProblem):
    """Written by a newer version of this program."""


class ReadOnlyStore(StoreProblem):
    """The folder or file cannot be written."""


class StoreBusy(StoreProblem):
    """Another program holds the database."""


class NotADatabase(StoreProblem):
    """The file is something else, or damaged."""


class CopyProblem(CatalogueError):
    """A copy cannot be made, read or put back."""


class StationProblem(CatalogueError):
    """The station cannot be started."""


class UnionProblem(CatalogueError):
    """The union catalogue cannot be built, read or asked."""
