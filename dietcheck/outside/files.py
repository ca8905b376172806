"""The files of a folder as they lie, looked at once, so that all who ask see the same.

Only ordinary files with `.yaml` or `.yml` names count, no link is followed, and a file's size is
looked at before it is read.
"""

from __future__ import annotations

import os
import stat

from dietcheck.errors import JobError, show

FILE_LIMIT = 20_000
"""Records in one repository."""

SIZE_LIMIT = 1024 * 1024
"""Bytes a record file may have: some eighty times a large diet sheet."""

RECORD, LINK, LINK_TO_FOLDER, SPECIAL, SHUT = "record", "link", "link to folder", "special", "shut"

_FLAGS = os.O_RDONLY
for _name in ("O_NOFOLLOW", "O_NONBLOCK", "O_BINARY", "O_CLOEXEC"):
    _FLAGS |= getattr(os, _name, 0)


class Unreadable(Exception):
    """One file cannot be read; becomes a problem of that file."""

    def __init__(self, message: str, remedy: str) -> None:
        super().__init__(message)
        self.message = message
        self.remedy = remedy


def is_record_name(name: str) -> bool:
    """Whether a file of this name has to be a record. Capitals count: `X.YAML` is no way out."""
    return name.lower().endswith((".yaml", ".yml"))


def too_large(size: int) -> tuple[str, str] | None:
    """Message and remedy for a file of `size` bytes, or None if it may be read."""
    if size <= SIZE_LIMIT:
        return None
    return (
        f"this file has {size:,} bytes; a record may have at most {SIZE_LIMIT:,}.",
        "Split it into several records, or list it under leave_out in dietcheck.yaml.",
    )


def too_many() -> JobError:
    """The refusal of a place with more files than any collection has."""
    return JobError(
        f"there are more than {FILE_LIMIT:,} records here.",
        "Name the folder that holds the diet records, not one above it.",
    )


def read_plain_file(path: str | os.PathLike[str]) -> bytes:
    """Bytes of an ordinary file. Opened without following a link and without waiting for a pipe,
    then looked at through the open file, so that nothing can be swapped in between."""
    file = os.open(path, _FLAGS)
    try:
        facts = os.fstat(file)
        if not stat.S_ISREG(facts.st_mode):
            raise Unreadable("this is not an ordinary file.", "Remove it or rename it.")
        if refusal := too_large(facts.st_size):
            raise Unreadable(*refusal)
        return _all_of(file, facts.st_size)
    finally:
        os.close(file)


def _all_of(file: int, size: int) -> bytes:
    """All that is in an open file of about that size, as far as a record may go."""
    content = os.read(file, size + 1)
    while size < len(content) <= SIZE_LIMIT:  # it has grown meanwhile
        size = len(content)
        content += os.read(file, SIZE_LIMIT + 1 - size)
    return content


class Lying:
    """What lies in a folder and those below it, hidden ones left out."""

    def __init__(self, root: str | os.PathLike[str]) -> None:
        self.root = os.fspath(root)
        self._things: list[tuple[str, str]] | None = None
        self._read: dict[str, bytes | Unreadable] = {}

    def things(self) -> list[tuple[str, str]]:
        """Kind and name of all that is, or might pass for, a record, sorted. JobError: no folder.

        `SHUT` is a folder that cannot be looked into.
        """
        if self._things is None:
            self._things = sorted(self._walk())
        return self._things

    def read(self, name: str) -> bytes:
        """The bytes of a record, the same ones each time; Unreadable if that cannot be done."""
        found = self._read.get(name)
        if found is None:
            found = self._read[name] = self._read_now(name)
        if isinstance(found, Unreadable):
            raise found
        return found

    def _read_now(self, name: str) -> bytes | Unreadable:
        try:
            return read_plain_file(os.path.join(self.root, name))
        except Unreadable as error:
            return error
        except OSError as error:
            reason = error.strerror or "unknown reason"
            return Unreadable(
                f"this file cannot be opened ({reason}).", "Check that you may read it."
            )

    def _walk(self) -> list[tuple[str, str]]:
        found: list[tuple[str, str]] = []
        folders = [""]
        while folders:
            folder = folders.pop()
            for entry in self._entries(folder, found):
                if entry.name.startswith("."):
                    continue
                name = folder + entry.name
                if entry.is_dir(follow_symlinks=False):
                    folders.append(name + "/")
                elif kind := _kind(entry):
                    found.append((kind, name))
            if len(found) > FILE_LIMIT:
                raise too_many()
        return found

    def _entries(self, folder: str, found: list[tuple[str, str]]) -> list[os.DirEntry[str]]:
        try:
            with os.scandir(os.path.join(self.root, folder)) as entries:
                return list(entries)
        except OSError as error:
            if not folder:
                raise JobError(
                    f"the folder {show(self.root)} cannot be looked into.",
                    "Check that you may read it.",
                ) from error
            found.append((SHUT, folder.rstrip("/")))
            return []


def _kind(entry: os.DirEntry[str]) -> str | None:
    """What a thing that is no folder is to a reader of records; None: nothing."""
    named = is_record_name(entry.name)
    if entry.is_symlink():
        return LINK_TO_FOLDER if entry.is_dir() else LINK if named else None
    if not named:
        return None
    return RECORD if entry.is_file(follow_symlinks=False) else SPECIAL
