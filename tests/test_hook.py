"""The commit hook in earnest: git, pre-commit and the example park, nothing stood in for.

The hook is installed once, from a copy of this checkout, as a park would install it; pre-commit
fetches its dependencies from the package registry.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.checkout import CHECKOUT, EXAMPLE_DAY, commit_all, copy_checkout, environment
from tests.checkout import run as run_in
from tests.checkout import succeed as succeed_in

EXAMPLE = CHECKOUT / "example_repo"
TAPIR, TORTOISE = "diet-sheets/tapir.yaml", "diet-sheets/tortoise.yaml"
SLIP, LEEK = "b01-tapir-pellet-13-kg.yaml", "b09-tortoise-leek-tops.yaml"


@dataclass(frozen=True, slots=True)
class Park:
    """A park's repository, in which every commit is screened."""

    root: Path
    env: dict[str, str]

    def git(self, *arguments: str) -> str:
        """Run git, which must succeed."""
        return succeed_in("git", *arguments, cwd=self.root, env=self.env)

    def text(self, name: str) -> str:
        """What a file of the work tree holds."""
        return (self.root / name).read_text(encoding="utf-8")

    def write(self, name: str, text: str) -> None:
        """Write a file of the work tree."""
        (self.root / name).write_text(text, encoding="utf-8")

    def take_draft(self, draft: str, over: str) -> None:
        """Put a draft in place of a sheet in force."""
        shutil.copyfile(EXAMPLE / "drafts" / draft, self.root / over)

    def accepts(self, *command: str) -> None:
        """The command makes a commit (a commit with `-m change` when none is given)."""
        before = self.head()
        self.git(*(command or ("commit", "--message=change")))
        assert self.head() != before

    def refuses(self, *command: str, status: int = 1) -> str:
        """The screen ends with that status, so no commit is made; what the person reads."""
        before = self.head()
        done = run_in("git", *(command or ("commit", "-m", "x")), cwd=self.root, env=self.env)
        assert done.returncode != 0, done.stdout
        assert self.head() == before
        assert "Traceback" not in done.stdout
        assert f"exit code: {status}" in done.stdout
        return done.stdout

    def head(self) -> str:
        """The last commit."""
        return self.git("rev-parse", "HEAD")


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Park:
    """The example park with its own hook settings, pointed at a copy of this checkout."""
    work = tmp_path_factory.mktemp("hook")
    version = copy_checkout(work / "dietcheck")
    park = Park(work / "park", environment(PRE_COMMIT_HOME=str(work / "cache")))
    shutil.copytree(EXAMPLE, park.root)
    hook = park.text(".pre-commit-config.yaml")
    assert "https://example.org/your-copy-of/dietcheck" in hook
    hook = hook.replace("https://example.org/your-copy-of/dietcheck", str(work / "dietcheck"))
    hook = hook.replace("rev: v0.1.0", f"rev: {version}")
    # judged as at the day the files show, or these tests would grow old with the weights
    hook = hook.replace(
        "- id: dietcheck", f"- id: dietcheck\n        args: [--on, {EXAMPLE_DAY!r}]"
    )
    park.write(".pre-commit-config.yaml", hook)
    commit_all(park.root)
    command = (sys.executable, "-m", "pre_commit", "install", "--install-hooks")
    succeed_in(*command, cwd=park.root, env=park.env)
    return park


@pytest.fixture
def park(installed: Park, tmp_path: Path) -> Park:
    """A copy of the park to spoil."""
    shutil.copytree(installed.root, tmp_path / "park", symlinks=True)
    return Park(tmp_path / "park", installed.env)


def test_a_good_change_goes_in(park: Park) -> None:
    park.write(TAPIR, park.text(TAPIR) + "# looked through with the vet\n")
    park.accepts("commit", "--all", "--message=a note")


@pytest.mark.parametrize(
    ("draft", "sheet"), [(LEEK, TORTOISE), (SLIP, TAPIR)], ids=["leek tops", "13 kg of pellet"]
)
def test_a_dangerous_change_is_refused_and_its_file_named(
    park: Park, draft: str, sheet: str
) -> None:
    park.take_draft(draft, over=sheet)
    park.git("add", sheet)
    assert sheet in park.refuses()


def test_a_commit_that_only_deletes_foods_is_refused(park: Park) -> None:
    park.git("rm", "--quiet", "foods/kitchen.yaml")
    assert TAPIR in park.refuses()


def test_only_what_is_staged_is_judged_the_tree_may_be_bad(park: Park) -> None:
    park.write(TORTOISE, park.text(TORTOISE) + "# looked through with the vet\n")
    park.git("add", TORTOISE)
    park.take_draft(LEEK, over=TORTOISE)
    park.accepts()
    assert "leek" in park.text(TORTOISE)  # the work in hand is still there


def test_only_what_is_staged_is_judged_the_tree_may_be_good(park: Park) -> None:
    good = park.text(TORTOISE)
    park.take_draft(LEEK, over=TORTOISE)
    park.git("add", TORTOISE)
    park.write(TORTOISE, good)
    assert TORTOISE in park.refuses()
    assert park.text(TORTOISE) == good


def test_a_commit_of_one_file_is_not_held_up_by_another_that_is_staged(park: Park) -> None:
    park.take_draft(LEEK, over=TORTOISE)
    park.write(TAPIR, park.text(TAPIR) + "# looked through with the vet\n")
    park.git("add", TORTOISE, TAPIR)
    park.accepts("commit", "--message=tapir only", TAPIR)
    park.refuses()


def test_a_foods_file_that_is_not_tracked_stands_for_nothing(park: Park) -> None:
    park.git("rm", "--quiet", "--cached", "foods/kitchen.yaml")
    assert (park.root / "foods/kitchen.yaml").exists()
    assert TAPIR in park.refuses()


def test_two_good_branches_that_make_a_bad_whole_are_not_merged(park: Park) -> None:
    """One branch feeds a food that the other takes off the list; neither touches a line twice."""
    spare = "record: foods\nfoods:\n  spare-carrot: {same_as: carrot}\n"
    park.write("foods/spare.yaml", spare)
    park.git("add", "foods/spare.yaml")
    park.accepts()
    park.git("switch", "--quiet", "--create", "tidy")
    park.git("rm", "--quiet", "foods/spare.yaml")
    park.accepts()
    park.git("switch", "--quiet", "main")
    park.write(TAPIR, park.text(TAPIR).replace("{food: carrot,", "{food: spare-carrot,"))
    park.accepts("commit", "--all", "--message=the spare carrots first")
    assert TAPIR in park.refuses("merge", "--no-edit", "tidy")


def _settings_away(park: Park) -> None:
    park.git("rm", "--quiet", "dietcheck.yaml")


def _settings_unreadable(park: Park) -> None:
    park.write("dietcheck.yaml", "record: collection\nname: [\n")


@pytest.mark.parametrize("spoil", [_settings_away, _settings_unreadable])
def test_a_screen_that_cannot_be_done_lets_nothing_in(
    park: Park, spoil: Callable[[Park], None]
) -> None:
    spoil(park)
    park.refuses("commit", "--all", "--message=x", status=2)


def test_a_rule_pack_of_somebody_else_comes_with_the_hook(park: Park) -> None:
    """A park cannot bring code of its own, but may name a pack and have it installed."""
    settings = park.text("dietcheck.yaml")
    assert "packs: [dietcheck_rules]" in settings
    packs = "packs: [dietcheck_rules, toy_pack]"
    park.write("dietcheck.yaml", settings.replace("packs: [dietcheck_rules]", packs))
    assert "toy_pack" in park.refuses("commit", "--all", "--message=x", status=2)

    toys = park.root.parent / "toys"
    shutil.copytree(CHECKOUT / "tests" / "toy_pack", toys)
    hook = park.text(".pre-commit-config.yaml")
    wanted = f"- id: dietcheck\n        additional_dependencies: [{str(toys)!r}]"
    park.write(".pre-commit-config.yaml", hook.replace("- id: dietcheck", wanted))
    assert "carrots" in park.refuses("commit", "--all", "--message=x").lower()
