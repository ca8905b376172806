"""The folder in which things are kept: the user's own, never a repository's.

What is kept is data with a seal, never code. It is written under another name and then put in its
place in one step, so two runs at once cannot disturb each other. Whatever cannot be read, is not
the user's own or does not bear its seal is as if it were not there; what cannot be kept is not.
"""

from __future__ import annotations

import hashlib
import os
import stat
import sys
import time

TYPE_CHECKING = False  # typing itself would be loaded otherwise, for nothing
if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

ANEW = "DIETCHECK_ANEW"
"""Set this in the environment to keep nothing and to use nothing that was kept."""

KEPT_SECONDS = 30 * 86_400
MOST_BYTES = 64 * 1024 * 1024
MOST_FILES = 500
LARGEST = 16 * 1024 * 1024
"""Bytes of one thing that may be kept."""

_UNFINISHED = ".new"
_GIVEN_UP_SECONDS = 3_600
"""After so long whoever was writing a file is no longer at it."""
_MARK, _SEAL = b"dietcheck 1\n", 32


class Store:
    """The user's folder of kept things, or none where nothing may be kept."""

    def __init__(self) -> None:
        self.folder = _folder()

    def load(self, key: str) -> list[bytes] | None:
        """The parts kept under a key; None if there are none, or not as they were written."""
        if self.folder is None:
            return None
        try:
            path = os.path.join(self.folder, key)
            raw = _read(path)
            os.utime(path)  # what is used is thrown away last
        except OSError:
            return None
        end = len(raw) - _SEAL
        seal = _seal_of(key)
        seal.update(memoryview(raw)[: max(end, 0)])
        if not raw.startswith(_MARK) or raw[end:] != seal.digest():
            return None
        try:
            return parted(raw, len(_MARK), end)
        except ValueError:
            return None

    def save(self, key: str, parts: Iterable[bytes]) -> None:
        """Keep parts under a key, and throw away what is old. Failing at it is no fault."""
        if self.folder is None or not _own(self.folder, make=True):
            return
        path = os.path.join(self.folder, key)
        beside = f"{path}-{os.getpid()}-{time.monotonic_ns():x}{_UNFINISHED}"
        try:
            try:
                _write(beside, _sealed(key, parts))
                os.replace(beside, path)
            except BaseException:
                os.unlink(beside)
                raise
            _tidy(self.folder)
        except OSError:
            return


def joined(parts: Iterable[bytes]) -> bytes:
    """Several parts as one, in which no part can pass for the end of another."""
    return b"".join(b"%d:%s" % (len(part), part) for part in parts)


def parted(whole: bytes, start: int = 0, end: int | None = None) -> list[bytes]:
    """The parts again. ValueError."""
    found = []
    end = len(whole) if end is None else end
    while start < end:
        colon = whole.index(b":", start)
        if not whole[start:colon].isdigit():
            raise ValueError("a part does not say how long it is")
        start = colon + 1 + int(whole[start:colon])
        found.append(whole[colon + 1 : start])
    if start != end:
        raise ValueError("the last part is not whole")
    return found


def digest(parts: Iterable[bytes]) -> str:
    """One digest of several parts."""
    whole = hashlib.sha256()
    for part in parts:
        whole.update(b"%d:" % len(part))
        whole.update(part)
    return whole.hexdigest()


def encoded(text: str) -> bytes:
    """A text, a file's name or an argument as bytes, each different one differently."""
    return text.encode("utf-8", "surrogatepass")


def decoded(part: bytes) -> str:
    """The text again. ValueError."""
    return part.decode("utf-8", "surrogatepass")


def _sealed(key: str, parts: Iterable[bytes]) -> Iterator[bytes]:
    """The content of a file, piece by piece, its seal last. OSError for one that is too large."""
    seal, size = _seal_of(key), 0
    for piece in _pieces(parts):
        seal.update(piece)
        size += len(piece)
        if size > LARGEST:
            raise OSError("too large to be kept")
        yield piece
    yield seal.digest()


def _pieces(parts: Iterable[bytes]) -> Iterator[bytes]:
    yield _MARK
    for part in parts:
        yield b"%d:" % len(part)
        yield part


def _seal_of(key: str) -> hashlib._Hash:
    return hashlib.sha256(joined((encoded(key),)))


def _folder() -> str | None:
    """Where things may be kept; it need not be there yet."""
    if os.environ.get(ANEW) or os.environ.get("CI"):
        return None
    home = os.environ.get("XDG_CACHE_HOME", "")
    if not os.path.isabs(home):
        home = _usual()
    folder = os.path.join(home, "dietcheck")
    return folder if os.path.isabs(home) and _own(folder) and not _in_git(folder) else None


def _usual() -> str:
    if sys.platform == "win32":
        return os.environ.get("LOCALAPPDATA", "")
    return os.path.expanduser("~/Library/Caches" if sys.platform == "darwin" else "~/.cache")


def _own(folder: str, make: bool = False) -> bool:
    """Whether a folder is the user's alone, as far as it is there; it may be made."""
    above = os.path.dirname(folder)
    try:
        if make:
            os.makedirs(above, 0o700, exist_ok=True)
        if _is_open(above):
            return False
        if make and not os.path.lexists(folder):
            os.mkdir(folder, 0o700)
        return _is_own(os.lstat(folder))
    except FileNotFoundError:
        return not make
    except (OSError, ValueError):
        return False


def _is_own(found: os.stat_result) -> bool:
    if not hasattr(os, "getuid"):  # Windows: the place itself is the user's
        return stat.S_ISDIR(found.st_mode)
    mine = found.st_uid == os.getuid() and not found.st_mode & 0o077
    return mine and stat.S_ISDIR(found.st_mode)


def _is_open(folder: str) -> bool:
    """Whether everybody may write there."""
    return hasattr(os, "getuid") and bool(os.stat(folder).st_mode & 0o002)


def _in_git(folder: str) -> bool:
    """Whether a folder lies in a repository, whichever it is."""
    above = os.path.realpath(folder)
    while above != (above := os.path.dirname(above)):
        if os.path.lexists(os.path.join(above, ".git")):
            return True
    return False


def _read(path: str) -> bytes:
    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)
    with open(os.open(path, flags | getattr(os, "O_BINARY", 0)), "rb") as file:
        found = os.fstat(file.fileno())
        if not stat.S_ISREG(found.st_mode) or found.st_size > 2 * LARGEST:
            raise OSError("not a file of ours")
        if hasattr(os, "getuid") and found.st_uid != os.getuid():
            raise OSError("not a file of ours")
        return file.read()


def _write(path: str, content: Iterable[bytes]) -> None:
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    with open(os.open(path, flags, 0o600), "wb") as file:
        file.writelines(content)


def _tidy(folder: str) -> None:
    """Throw away what is a month old, the oldest of too much, and what was never finished."""
    with os.scandir(folder) as entries:
        kept = sorted(
            ((entry.stat(follow_symlinks=False), entry.path) for entry in entries),
            key=lambda one: -one[0].st_mtime,
        )
    now, left = time.time(), MOST_BYTES
    for number, (found, path) in enumerate(kept):
        left -= found.st_size
        age = now - found.st_mtime
        unfinished = path.endswith(_UNFINISHED) and age > _GIVEN_UP_SECONDS
        if left < 0 or number >= MOST_FILES or age > KEPT_SECONDS or unfinished:
            os.unlink(path)
