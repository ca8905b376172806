"""The whole answer of a screen, remembered under all that it was made of.

That is: what was written after the command, the program, the day, every record's name and bytes,
every draft, and what git answered to each question that was put to it. What the run itself read
counts, not what lies there before or after it. Only a run that was whole is remembered.

Two things are kept for each way of asking: its meaning (which folder, which questions to git), so
that nothing need be loaded to find out; and, under the digest of all the above, the answer.
"""

from __future__ import annotations

import os
import time

from dietcheck.errors import JobError
from dietcheck.outside.files import RECORD, Lying, Unreadable, read_plain_file
from dietcheck.outside.git import Again
from dietcheck.remembering.program import is_as_it_was, of_program
from dietcheck.remembering.store import Store, decoded, digest, encoded, joined, parted

TYPE_CHECKING = False  # typing itself would be loaded otherwise, for nothing
if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from dietcheck.outside.git import Question

MOST_BYTES = 64 * 1024 * 1024
"""Bytes of all records together, as the reader allows: above, nothing is remembered."""
WHOLE = (0, 1)
"""The statuses of a run that could judge everything."""


class Answer:
    """What a run said, and how it ended."""

    def __init__(self, text: str, status: int) -> None:
        self.text = text
        self.status = status


class Meaning:
    """What a way of asking comes down to: what is read, as at which day, what git is asked."""

    def __init__(
        self,
        folder: str,
        staged: bool = False,
        day: str = "",  # none: today
        drafts: Sequence[str] = (),
        questions: Iterable[Question] = (),
    ) -> None:
        self.folder = folder
        self.staged = staged
        self.day = day
        self.drafts = tuple(drafts)
        self.questions = tuple(questions)

    def parts(self) -> list[bytes]:
        """As it is kept."""
        asked = (
            joined((encoded(root), _words(arguments), given, _words(unset)))
            for root, arguments, given, unset in self.questions
        )
        staged = "staged" if self.staged else ""
        return [*map(encoded, (self.folder, staged, self.day)), _words(self.drafts), *asked]

    @classmethod
    def of(cls, parts: Sequence[bytes]) -> Meaning:
        """From what was kept. ValueError."""
        folder, staged, day = map(decoded, parts[:3])
        questions = []
        for part in parts[4:]:
            root, arguments, given, unset = parted(part)
            questions.append((decoded(root), _of_words(arguments), given, _of_words(unset)))
        return cls(folder, bool(staged), day, _of_words(parts[3]), questions)


class Memory:
    """What is known of one way of asking: before the run to spare it, after it to spare the next.

    `files` are the records as they were looked at to find an answer; a run that has to be made
    after all goes on with them.
    """

    def __init__(self, arguments: Sequence[str], colour: bool = False) -> None:
        self.files: Lying | None = None
        self._store = Store()
        self._asked = tuple(arguments)
        self._colour = colour
        self._program = of_program() if self._store.folder else None

    def recall(self) -> Answer | None:
        """The answer, where nothing that it was made of has changed."""
        if self._program is None or (kept := self._store.load(self._place())) is None:
            return None
        try:
            key = self._key_now(Meaning.of(kept))
            text, status = map(decoded, self._store.load(key) or ())
            return Answer(text, int(status))
        except (JobError, OSError, Unreadable, ValueError):
            return None  # whatever it is, the run itself tells

    def keep(
        self,
        meaning: Meaning,
        on: str,
        files: Lying | None,
        drafts: Iterable[tuple[str, bytes]],
        answers: Mapping[Question, str],
        answer: Answer,
    ) -> None:
        """Remember what a run came to that was made of just these. Failing at it is no fault.

        `files` are None where they were read through git.
        """
        if self._program is None or answer.status not in WHOLE or not is_as_it_was():
            return
        try:
            key = self._key(meaning, on, files, drafts, answers)
            self._store.save(self._place(), meaning.parts())
            self._store.save(key, map(encoded, (answer.text, str(answer.status))))
        except (JobError, OSError, ValueError):
            return

    def _place(self) -> str:
        return f"meaning-{digest(self._way())}"

    def _way(self) -> Iterator[bytes]:
        yield from map(encoded, (self._program or "", os.getcwd(), str(self._colour)))
        yield _words(self._asked)

    def _key_now(self, meaning: Meaning) -> str:
        """The key as everything stands now; git answers while the files are read."""
        again = Again(meaning.questions)
        try:
            if not meaning.staged:
                self.files = Lying(meaning.folder)
                _hold(self.files)
            drafts = {
                draft_name(meaning.folder, file): read_plain_file(os.path.realpath(file))
                for file in meaning.drafts
            }
        finally:
            answers = again.answers()
        on = meaning.day or time.strftime("%Y-%m-%d")
        return self._key(meaning, on, self.files, drafts.items(), answers)

    def _key(
        self,
        meaning: Meaning,
        on: str,
        files: Lying | None,
        drafts: Iterable[tuple[str, bytes]],
        answers: Mapping[Question, str],
    ) -> str:
        where = os.path.realpath(meaning.folder)
        named = (part for name, raw in drafts for part in (encoded(name), raw))
        heard = (answers[question] for question in meaning.questions)
        known = (*meaning.parts(), encoded(where), encoded(on), joined(named), _words(heard))
        held = () if files is None else _held(files)
        return f"answer-{digest((*self._way(), joined(known), *held))}"


def draft_name(folder: str, file: str) -> str:
    """The name of a draft counted from the root of the collection."""
    path = os.path.realpath(file)
    try:
        return os.path.relpath(path, os.path.realpath(folder)).replace(os.sep, "/")
    except ValueError:  # another drive
        return path.replace(os.sep, "/")


def _hold(files: Lying) -> None:
    """Read everything once. ValueError where that is more than may be."""
    total = 0
    for part in _held(files):
        total += len(part)
        if total > MOST_BYTES:
            raise ValueError("more than is ever read")


def _held(files: Lying) -> Iterator[bytes]:
    """All that lies there: kind, name and, of a record, the bytes or why there are none."""
    for kind, name in files.things():
        yield encoded(kind)
        yield encoded(name)
        if kind == RECORD:
            try:
                raw = files.read(name)
            except Unreadable as error:
                yield from (b"refused", encoded(error.message))
            else:
                yield from (b"read", raw)


def _words(words: Iterable[str]) -> bytes:
    return joined(map(encoded, words))


def _of_words(part: bytes) -> tuple[str, ...]:
    return tuple(map(decoded, parted(part)))
