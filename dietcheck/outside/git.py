"""What git answers, and a way to note it, so that it can be seen later whether it still does.

Content asked for by its full id cannot change, so such a question need not be asked again.
"""

from __future__ import annotations

import hashlib
import os

from dietcheck.errors import JobError, NotARepository, show

TYPE_CHECKING = False  # typing itself would be loaded otherwise, for nothing
if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    Question = tuple[str, tuple[str, ...], bytes, tuple[str, ...]]
    """Where git was asked, the arguments, what it was given, and the settings taken as empty."""

WHERE = ("rev-parse", "--is-inside-work-tree", "--is-shallow-repository", "--show-prefix")
"""Whether the folder is in a work tree, whether older commits are missing, and its place there."""

REFUSED = "refused"

# What git is to do unlike a repository's own settings: no names spelled out, no program started.
_QUIET = [
    word
    for setting in (
        "core.quotePath=off",
        "core.fsmonitor=false",
        f"core.hooksPath={os.devnull}",
        "log.showSignature=false",
    )
    for word in ("-c", setting)
]

_FIXED = (
    ("ls-tree", "-r", "-z"),
    ("show", "--no-patch", "--format=%cI"),
    ("cat-file", "--batch"),
    ("cat-file", "--batch-check"),
)
"""Questions with one answer for ever, where they name only full ids, in one place of one tree."""


class Heard:
    """What git was asked in one job, and a digest of each answer; what is fixed is left out."""

    def __init__(self) -> None:
        self.answers: dict[Question, str] = {}
        self._process = os.getpid()
        self.is_all = False
        self._elsewhere = os.pipe()
        os.set_blocking(self._elsewhere[0], False)

    def note(self, question: Question, answer: bytes | None) -> None:
        """Note a question; one that a forked process asks can only be told of."""
        if answer is None or not self._is_fixed(question, answer):
            self.answers[question] = digest(answer)
            if os.getpid() != self._process:
                os.write(self._elsewhere[1], b"?")

    def close(self) -> None:
        """Note no more; `is_all` then tells whether all questions are noted."""
        try:
            self.is_all = not os.read(self._elsewhere[0], 1)
        except BlockingIOError:  # nobody wrote
            self.is_all = True
        for end in self._elsewhere:
            os.close(end)

    def _is_fixed(self, question: Question, answer: bytes) -> bool:
        where, arguments, given, _ = question
        if (where, WHERE, b"", ()) not in self.answers:
            return False
        if arguments in _FIXED[2:]:
            return all(map(_is_id, given.split())) and b" missing\n" not in answer
        return arguments[:-1] in _FIXED and _is_id(arguments[-1].encode("utf-8", "replace"))


_listening: list[Heard] = []


class listening:
    """`with listening() as heard:` notes what git is asked meanwhile."""

    def __enter__(self) -> Heard:
        self._heard = Heard()
        _listening.append(self._heard)
        return self._heard

    def __exit__(self, *_: object) -> None:
        _listening.remove(self._heard)
        self._heard.close()


def digest(answer: bytes | None) -> str:
    """A digest of an answer; of none, a word."""
    return REFUSED if answer is None else hashlib.sha256(answer).hexdigest()


def git(
    root: str | os.PathLike[str],
    arguments: Sequence[str],
    given: bytes = b"",
    unset: tuple[str, ...] = (),
) -> bytes:
    """What git answers, run in `root` with the environment as it is (a hook's index included).

    No shell; nothing that the repository's settings name is started, nothing is fetched. The
    settings `unset` are taken as empty.
    JobError when there is no git or it cannot answer.
    """
    question = (os.fspath(root), tuple(arguments), given, unset)
    try:
        answer = _ask(question)
    except JobError:
        for heard in _listening:
            heard.note(question, None)
        raise
    for heard in _listening:
        heard.note(question, answer)
    return answer


def _ask(question: Question) -> bytes:
    import subprocess

    root, _, given, unset = question
    try:
        done = subprocess.run(
            _command(question), input=given, capture_output=True, env=_environment(unset), cwd=root
        )
    except OSError as error:
        raise JobError(
            "git cannot be started, so what is staged cannot be read.",
            "Install git, or check the folder instead.",
        ) from error
    if done.returncode != 0:
        said = done.stderr.decode("utf-8", "replace").strip().splitlines()
        reason = show(said[0]) if said else "no reason given"
        raise NotARepository(
            f"git cannot tell what is staged here ({reason}).",
            "Run this inside a git repository, or check the folder instead.",
        )
    return done.stdout


def _command(question: Question) -> list[str]:
    return ["git", *_QUIET, *question[1]]


def _environment(unset: tuple[str, ...]) -> dict[str, str]:
    environment = {**os.environ, "GIT_NO_LAZY_FETCH": "1", "GIT_TERMINAL_PROMPT": "0"}
    environment["GIT_ALLOW_PROTOCOL"] = "none"  # for an older git, which would fetch all the same
    environment["GIT_NO_REPLACE_OBJECTS"] = "1"  # an id means what it says,
    environment["GIT_GRAFT_FILE"] = os.devnull  # and a commit has the parents that it names
    environment["GIT_OPTIONAL_LOCKS"] = "0"  # looking must not write the index anew
    if unset:  # not by -c, which a name with “=” in it would mislead
        start = int(environment.get("GIT_CONFIG_COUNT") or 0)
        environment["GIT_CONFIG_COUNT"] = str(start + len(unset))
        for number, name in enumerate(unset, start):
            environment[f"GIT_CONFIG_KEY_{number}"] = name
            environment[f"GIT_CONFIG_VALUE_{number}"] = ""
    return environment


def differs(root: str | os.PathLike[str]) -> bool:
    """Whether any file of a folder differs from the last commit, new files included.

    Git would run the filters that the settings name over changed files; they are taken as unset.
    """
    settings = git(root, ["config", "-z", "--list"]).decode("utf-8", "surrogateescape").split("\0")
    names = (setting.partition("\n")[0] for setting in settings)
    unset = tuple(dict.fromkeys(name for name in names if _starts_a_filter(name)))
    status = ["status", "--porcelain", "-z", "--ignore-submodules=all", "--", "."]
    return bool(git(root, status, unset=unset))


def _starts_a_filter(name: str) -> bool:
    return name.startswith("filter.") and name.endswith((".clean", ".process", ".required"))


def _is_id(word: bytes) -> bool:
    """Whether it is a full id, or the parent of one, which a commit can no more change."""
    word = word.removesuffix(b"^")
    return len(word) in (40, 64) and not word.translate(None, b"0123456789abcdef")


class Again:
    """Asks git some questions again, all at once, while the program does something else."""

    def __init__(self, questions: Iterable[Question]) -> None:
        self._asked = [(question, _start(question)) for question in questions]

    def answers(self) -> dict[Question, str]:
        """A digest of each answer, as `Heard` has them."""
        return {question: _finish(question, started) for question, started in self._asked}


def _start(question: Question) -> tuple[int, int] | None:
    """The process and the pipe that its answer comes from; None: it has to be asked by itself."""
    root, _, given, unset = question
    if given or not hasattr(os, "posix_spawnp"):
        return None
    out, into = os.pipe()
    command = _command(question)
    command[1:1] = ["-C", root]
    streams = [
        (os.POSIX_SPAWN_OPEN, 0, os.devnull, os.O_RDONLY, 0),
        (os.POSIX_SPAWN_DUP2, into, 1),
        (os.POSIX_SPAWN_OPEN, 2, os.devnull, os.O_WRONLY, 0),
    ]
    try:
        process = os.posix_spawnp("git", command, _environment(unset), file_actions=streams)
    except OSError:
        os.close(out)
        return None
    finally:
        os.close(into)
    return process, out


def _finish(question: Question, started: tuple[int, int] | None) -> str:
    if started is None:
        try:
            return digest(_ask(question))
        except JobError:
            return REFUSED
    process, out = started
    with open(out, "rb") as pipe:
        answer = pipe.read()
    status = os.waitpid(process, 0)[1]
    return digest(answer if status == 0 else None)
