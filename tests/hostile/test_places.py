"""Names, links, pipes, devices and places: nothing outside is read, nothing waits, nothing runs."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests import records
from tests.cage import Cage, sample
from tests.hostile.laws import orderly
from tests.hostile.park import COMMANDS, DAY, TREATS, lay, whole

SECRET = "record: foods\nfoods:\n  secret-of-the-house: {same_as: carrot}\n"


@pytest.fixture(scope="module")
def cage() -> Iterator[Cage]:
    """One server for all runs."""
    with Cage() as cage:
        yield cage


@pytest.fixture
def park(tmp_path: Path) -> Path:
    """The park, with something outside of it that it must not reach."""
    lay(tmp_path, {"outside.yaml": SECRET, "away/more.yaml": SECRET, "treat.yaml": TREATS})
    return lay(tmp_path / "park", whole())


def _link(park: Path) -> None:
    (park / "link.yaml").symlink_to(park.parent / "outside.yaml")


def _link_to_devices(park: Path) -> None:
    (park / "zero.yaml").symlink_to("/dev/zero")
    (park / "terminal.yaml").symlink_to("/dev/tty")
    (park / "input.yaml").symlink_to("/dev/stdin")


def _link_to_secrets(park: Path) -> None:
    (park / "users.yaml").symlink_to("/etc/passwd")
    (park / "self.yaml").symlink_to("/proc/self/environ")


def _linked_folder(park: Path) -> None:
    (park / "away").symlink_to(park.parent / "away")


def _loop(park: Path) -> None:
    (park / "loop").symlink_to(".")
    (park / "round.yaml").symlink_to("round.yaml")


def _settings_by_link(park: Path) -> None:
    (park / "dietcheck.yaml").rename(park.parent / "settings.yaml")
    (park / "dietcheck.yaml").symlink_to("../settings.yaml")


def _pipe(park: Path) -> None:
    os.mkfifo(park / "pipe.yaml")


def _settings_by_pipe(park: Path) -> None:
    (park / "dietcheck.yaml").unlink()
    os.mkfifo(park / "dietcheck.yaml")


def _socket(park: Path) -> None:
    os.mknod(park / "socket.yaml", 0o140600)


def _folder_as_file(park: Path) -> None:
    (park / "folder.yaml").mkdir()
    lay(park, {"folder.yaml/foods.yaml": records.foods(hay="{same_as: 5}")})


def _unseen_names(park: Path) -> None:
    for name in (
        b"a\x1b[2J.yaml",
        b"b\n::error::x.yaml",
        "c\u202elmay.yaml".encode(),
        b"d\xff.yaml",
    ):
        (park / os.fsdecode(name)).write_text("record: foods\nfoods: {}\n")


def _long_names(park: Path) -> None:
    deep = park
    for _ in range(12):
        deep = deep / ("x" * 200)
        deep.mkdir()
    (deep / ("y" * 250 + ".yaml")).write_text("record: [")


def _deep_folders(park: Path) -> None:
    here = park
    for _ in range(400):
        here = here / "d"
    os.makedirs(here)
    (here / "z.yaml").write_text("record: [")


def _look_alikes(park: Path) -> None:
    """The same name twice to the eye: composed, decomposed, and with a Cyrillic letter."""
    for name in ("caf\u00e9", "cafe\u0301", "c\u0430f\u00e9"):
        (park / f"{name}.yaml").write_text(records.foods(hay="{same_as: carrot}"))


SPOIL: tuple[Callable[[Path], None], ...] = (
    _link, _link_to_devices, _link_to_secrets, _linked_folder, _loop, _settings_by_link, _pipe,
    _settings_by_pipe, _socket, _folder_as_file, _unseen_names, _long_names, _deep_folders,
    _look_alikes,
)  # fmt: skip
OTHERS = [name for name in COMMANDS if name not in ("screen", "change")]


@pytest.mark.parametrize("spoil", SPOIL)
def test_what_only_looks_like_a_record_is_told_and_never_followed(
    cage: Cage, park: Path, spoil: Callable[[Path], None]
) -> None:
    spoil(park)
    at = SPOIL.index(spoil)
    for command in ("screen", *sample(OTHERS[at % 8 :] + OTHERS[: at % 8], 8)):
        arguments = [one.replace("drafts/", "../") for one in COMMANDS[command]]
        ended = cage.run(
            *arguments,
            cwd=park,
            befalls=[("no network", None), ("only inside", str(park))],
        )
        # the draft that is named, and the folder that `sheets` was told to write to
        asked = (str(park.parent / "treat.yaml"), str(park.parent / "drawn"))
        assert [path for path in ended.seen if not path.startswith(asked)] == []
        assert "secret-of-the-house" not in ended.said
        assert "root:" not in ended.said
        # what is spoilt there are foods records, of which a spreadsheet holds nothing
        of_foods = command == "sheets" and spoil in (_folder_as_file, _look_alikes)
        whole = (0,) if of_foods else ()
        orderly(type(ended)(ended.status, ended.out, ended.err, ()), 1, 2, *whole)
    shutil.rmtree(park)  # the deep ones too


PLACES = [
    "../park/../../../../etc", "/etc", "/proc/self", "/dev", "/dev/zero", "/dev/stdin", "pipe",
    "~root", "$HOME", "-", "--", "", " ", "nul\u202e", "a\nb", "x" * 5000, "sheet.yaml",
    "file:///etc", "http://127.0.0.1:9/", "\\\\server\\share",
]  # fmt: skip


@pytest.mark.parametrize("place", sample(PLACES, 3), ids=lambda text: ascii(text)[:20])
def test_a_strange_place_on_the_command_line_is_refused_in_words(
    cage: Cage, park: Path, place: str
) -> None:
    os.mkfifo(park / "pipe")
    for words in (
        ("screen", place),
        ("screen", "--draft", place),
        ("screen", "--since", place or "-"),
        ("screen", "--write", f"html:{place}/x/y"),
        ("try", ".", place),
        ("ration", place, "tapir"),
        ("ration", ".", place),
        ("prep", place),
        ("foods", "carrot", place),
        ("foods", place),
        ("limits", place),
        ("limits", "--taxon", place),
        ("schema", place),
        ("sign", place, "--by", "x", "--role", "vet"),
        ("sign", "--by", place, "--role", place, "--to", place, *DAY),
        ("start", f"{place}/x/y", "--country", place),
        ("completion", place),
        ("help", place),
        (place,),
    ):
        ended = cage.run(*words, cwd=park, befalls=[("no network", None)])
        # "--" stands for nothing, and sheet.yaml is a record of the park
        may_do = words[0] == "foods" or place in ("--", "sheet.yaml")
        orderly(ended, 0, 1, 2) if may_do else orderly(ended, 2)


def test_only_what_a_commit_holds_is_read_from_git_and_nothing_is_fetched(
    cage: Cage, park: Path, tmp_path: Path
) -> None:
    """Settings of git name programs and a place far away to fetch what is missing from."""
    ran = tmp_path / "ran"
    trap = tmp_path / "trap"
    trap.write_text(f"#!/bin/sh\ntouch {ran}\n")
    trap.chmod(0o755)
    git = ["git", "-c", "user.name=x", "-c", "user.email=x@example.org"]
    for step in (["init", "-q"], ["add", "-A"], ["commit", "-q", "-m", "x"]):
        subprocess.run([*git, *step], cwd=park, check=True, capture_output=True)
    signed = _signed(subprocess.run(
        ["git", "cat-file", "commit", "HEAD"], cwd=park, check=True, capture_output=True
    ).stdout)  # fmt: skip
    made = subprocess.run(
        ["git", "hash-object", "-t", "commit", "-w", "--stdin"],
        cwd=park, check=True, capture_output=True, input=signed,
    ).stdout.decode().strip()  # fmt: skip
    subprocess.run(["git", "reset", "-q", "--soft", made], cwd=park, check=True)
    for name, value in {
        "core.fsmonitor": str(trap), "core.pager": str(trap), "core.editor": str(trap),
        "core.sshCommand": str(trap), "core.askPass": str(trap), "diff.external": str(trap),
        "core.hooksPath": str(tmp_path), "gpg.program": str(trap), "log.showSignature": "true",
        "filter.y=y.clean": str(trap), "filter.x.smudge": str(trap), "filter.x.clean": str(trap),
        "diff.x.textconv": str(trap),
        "core.gitProxy": str(trap), "credential.helper": f"!{trap}", "alias.ls-files": f"!{trap}",
        "remote.far.url": f"ext::{trap}", "remote.far.promisor": "true",
        "remote.far.partialclonefilter": "blob:none", "extensions.partialClone": "far",
        "core.repositoryFormatVersion": "1", "protocol.ext.allow": "always",
    }.items():  # fmt: skip
        subprocess.run(["git", "config", name, value], cwd=park, check=True)
    (park / ".gitattributes").write_text("*.yaml filter=x diff=x\nr*.yaml filter=y=y\n")
    (park / ".git" / "info" / "attributes").write_text(
        "*.yaml filter=x diff=x\nr*.yaml filter=y=y\n"
    )
    lay(
        park,
        {
            "rota.yaml": whole()["rota.yaml"] + "# new\n",
            "foods.yaml": records.foods(hay="{same_as: carrot}"),
        },
    )
    for hook in ("post-index-change", "reference-transaction", "post-checkout"):
        shutil.copy(trap, tmp_path / hook)
    staged = ("screen", *DAY, "--staged")
    for words in (COMMANDS["screen"], staged, COMMANDS["change"], ("prep", *DAY)):
        orderly(cage.run(*words, cwd=park, befalls=[("no network", None)]), 0, 1, 2)
        assert not ran.exists(), words
    for lost in (park / ".git" / "objects").glob("??/*"):
        lost.unlink()
    for words in (COMMANDS["screen"], staged, COMMANDS["change"]):
        orderly(cage.run(*words, cwd=park, befalls=[("no network", None)]), 1, 2)
        assert not ran.exists(), words


def _signed(commit: bytes) -> bytes:
    """The commit with a signature that git would ask its program about."""
    head, _, message = commit.partition(b"\n\n")
    return (
        head
        + b"\ngpgsig -----BEGIN PGP SIGNATURE-----\n \n -----END PGP SIGNATURE-----\n\n"
        + message
    )


@pytest.mark.parametrize("name", ["Dr V\u0430le", "Dr  Vale", "dr vale", "Dr Vale ", "Ｄr Vale"])
def test_a_name_that_only_looks_like_a_signers_signs_nothing(
    cage: Cage, park: Path, name: str
) -> None:
    orderly(cage.run("sign", "--by", name, "--role", "vet", *DAY, cwd=park), 2)
    assert not (park / "sign-offs").exists()


def test_a_name_that_only_looks_like_anothers_is_not_that_food_or_group(
    cage: Cage, park: Path
) -> None:
    """A Cyrillic letter in it; the eye cannot tell, the answer is never that of the other."""
    for words in (("foods", "c\u0430rrot", "."), ("ration", ".", "t\u0430pir")):
        ended = cage.run(*words, cwd=park)
        assert "kcal" not in ended.out
        orderly(ended, 0, 1, 2)
    assert cage.run("ration", ".", "t\u0430pir", cwd=park).status == 2
