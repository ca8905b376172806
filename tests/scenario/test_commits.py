"""The park in a real git repository: the mistake is edited, staged or committed, and caught.

Each rule that looks back is seen once through git itself, and each way in which git has nothing to
show is said in words and is never a breach. The park and its mistakes are invented.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import date
from functools import cache
from pathlib import Path

import pytest

from dietcheck.contract import Verdict
from dietcheck.history.digest import content_digest
from dietcheck.history.earlier import FIRST, NO_GIT, SHALLOW, earlier
from dietcheck.history.lookback import Lookback
from dietcheck.reading import Folder, Index
from dietcheck.reporting import Asked
from dietcheck.reporting.terminal import render
from dietcheck.screening.packs import LoadedRule, load_packs
from dietcheck.screening.report import Report
from dietcheck.screening.screen import screen
from tests.checkout import environment, succeed

PARK = Path(__file__).parents[2] / "example_repo"
ON = date(2026, 11, 25)
LOOKING_BACK = (
    "amount-slip", "back-dated", "change-pace", "limit-loosened", "supplement-dropped",
    "swap-equivalence",
)  # fmt: skip


@cache
def rules() -> tuple[LoadedRule, ...]:
    """The rules that look back, alone: the others are judged without git."""
    return tuple(one for one in load_packs(["dietcheck_rules"]) if one.rule.id in LOOKING_BACK)


class Checkout:
    """The park as a git repository of its own."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def file(self, name: str) -> Path:
        """One of its files."""
        return self.folder / name

    def replace(self, name: str, old: str, new: str) -> None:
        """Write something else over a text that stands exactly once in a file."""
        text = self.file(name).read_text("utf-8")
        assert text.count(old) == 1, (name, old)
        self.file(name).write_text(text.replace(old, new), "utf-8")

    def draft(self, name: str, to: str) -> None:
        """Take a draft of the park over as a record."""
        shutil.copyfile(PARK / "drafts" / name, self.file(to))

    def git(self, *command: str, on: str = "2026-11-24") -> str:
        """Run git, on a day."""
        stamp = f"{on}T16:00:00+00:00"
        env = environment(GIT_AUTHOR_DATE=stamp, GIT_COMMITTER_DATE=stamp)
        return succeed("git", *command, cwd=self.folder, env=env)

    def commit(self, message: str = "change", on: str = "2026-11-24") -> None:
        """Commit everything, on a day."""
        self.git("add", "--all", on=on)
        self.git("commit", "--quiet", "--no-verify", "--message", message, on=on)

    def judged(self, *, staged: bool = False) -> Report:
        """The park as it lies, or as it is staged, against the version that git finds."""
        found = earlier(self.folder, staged=staged)
        source = Index(self.folder) if staged else Folder(self.folder)
        lookback = Lookback(found.source, found.why_not)
        report = screen(source, ON, load=lambda _: rules(), earlier=lookback)
        assert not report.failures
        return report


@pytest.fixture(scope="session")
def committed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The park, committed once."""
    folder = tmp_path_factory.mktemp("git") / "park"
    shutil.copytree(PARK, folder, ignore=shutil.ignore_patterns("drafts", "*.png", ".*"))
    checkout = Checkout(folder)
    checkout.git("init", "--quiet", "--initial-branch=main")
    checkout.commit("the park")
    return folder


@pytest.fixture
def park(committed: Path, tmp_path: Path) -> Checkout:
    """A copy to make mistakes in."""
    shutil.copytree(committed, tmp_path / "park")
    return Checkout(tmp_path / "park")


def spoken(report: Report) -> list[tuple[str, str | None, str, str]]:
    """Rule, group, severity and file of every finding of a breach."""
    return [
        (f.rule, f.group, f.severity.value, f.check.places[0].file)
        for f in report.findings
        if f.check.verdict is Verdict.BREACH
    ]


B01 = ("amount-slip", "tapir", "high", "diet-sheets/tapir.yaml")


@pytest.mark.parametrize("how", ["edited", "staged", "committed"])
def test_the_decimal_slip_is_caught_before_and_after_the_commit(park: Checkout, how: str) -> None:
    """B01: 1.3 kg of pellet became 13 kg."""
    park.replace("diet-sheets/tapir.yaml", "1.3 kg", "13 kg")
    if how == "staged":
        park.git("add", "--all")
    if how == "committed":
        park.commit()
    report = park.judged(staged=how == "staged")
    assert B01 in spoken(report)
    (finding,) = [f for f in report.findings if f.rule == "amount-slip"]
    place = report.places[finding.check.places[0]]
    line = park.file("diet-sheets/tapir.yaml").read_text("utf-8").splitlines()[place.line - 1]
    assert "13 kg per animal" in line


def test_what_is_not_staged_is_not_judged_as_staged(park: Checkout) -> None:
    park.replace("diet-sheets/tapir.yaml", "1.3 kg", "13 kg")
    assert spoken(park.judged(staged=True)) == []


def test_the_next_commit_compares_with_the_slip_itself(park: Checkout) -> None:
    park.replace("diet-sheets/tapir.yaml", "1.3 kg", "13 kg")
    park.commit()
    park.file("README.md").write_text("a note\n", "utf-8")
    park.commit()
    assert spoken(park.judged()) == []


def test_a_swap_that_brings_less(park: Checkout) -> None:
    """B02: cucumber for peppers and kale."""
    park.draft("b02-capybara-cucumber.yaml", "diet-sheets/capybara-cucumber.yaml")
    park.commit()
    file = "diet-sheets/capybara-cucumber.yaml"
    assert spoken(park.judged()).count(("swap-equivalence", "capybara", "medium", file)) == 2


def test_a_swap_that_is_one_passes(park: Checkout) -> None:
    """The third day: peppers out of stock, broccoli and more kale for three days."""
    sheet = park.file("diet-sheets/capybara-no-pepper.yaml")
    text = sheet.read_text("utf-8").replace("2026-11-18", "2026-11-25")
    sheet.unlink()
    park.commit("before the swap", on="2026-11-17")
    sheet.write_text(text.replace("2026-11-20", "2026-11-27"), "utf-8")
    report = park.judged()
    assert [f.check.message for f in report.findings if f.group == "capybara"] == []
    (swap,) = [j for j in report.judged if (j.rule, j.group) == ("swap-equivalence", "capybara")]
    assert swap.check.verdict is Verdict.KEPT


def test_a_pellet_changed_in_one_go(park: Checkout) -> None:
    """B20: another make, all on one Monday."""
    park.draft("b20-tapir-new-pellet/foods.yaml", "foods/new-pellet.yaml")
    park.draft("b20-tapir-new-pellet/diet-sheet.yaml", "diet-sheets/tapir-new-pellet.yaml")
    park.commit()
    file = "diet-sheets/tapir-new-pellet.yaml"
    assert ("change-pace", "tapir", "medium", file) in spoken(park.judged())


def test_a_tablet_left_out(park: Checkout) -> None:
    sheet = park.file("diet-sheets/penguin.yaml")
    text = sheet.read_text("utf-8")
    sheet.write_text(text[: text.index("supplements:")], "utf-8")
    park.commit()
    assert ("supplement-dropped", "penguin", "high", "diet-sheets/penguin.yaml") in spoken(
        park.judged()
    )


@pytest.mark.parametrize(("with_diet", "severity"), [(False, "medium"), (True, "high")])
def test_a_limit_moved(park: Checkout, *, with_diet: bool, severity: str) -> None:
    park.replace("limits/house.yaml", "2 g per kg body mass", "3 g per kg body mass")
    if with_diet:
        park.replace("diet-sheets/tapir.yaml", "carrot, amount: 600 g", "carrot, amount: 700 g")
    park.commit()
    moved = [one for one in spoken(park.judged()) if one[0] == "limit-loosened"]
    assert moved == [("limit-loosened", "tapir", severity, "limits/house.yaml")]


def weigh(park: Checkout, on: str) -> None:
    """A weighing of the first tapir that the records did not have."""
    latest = "      - {on: 2026-11-09, mass: 205 kg}\n"
    park.replace("groups/tapir.yaml", latest, f"{latest}      - {{on: {on}, mass: 206 kg}}\n")


def test_a_weight_written_down_after_the_last_commit_is_shown(park: Checkout) -> None:
    weigh(park, "2026-06-01")
    park.commit(on="2026-11-25")
    report = park.judged()
    assert spoken(report) == [("back-dated", "tapir", "low", "groups/tapir.yaml")]
    (finding,) = [f for f in report.findings if f.rule == "back-dated"]
    assert "2026-06-01" in finding.check.message
    assert "2026-11-24" in finding.check.message  # the day of the version before


def test_an_old_weight_of_a_new_animal_is_shown(park: Checkout) -> None:
    """B28: a marmoset from elsewhere, and a weight that nobody here took in May."""
    group = park.file("groups/marmoset.yaml")
    new = "  - {id: Sorrel, weighings: [{on: 2026-05-04, mass: 0.35 kg}]}\n"
    group.write_text(group.read_text("utf-8").rstrip("\n") + f"\n{new}", "utf-8")
    park.commit(on="2026-11-25")
    assert ("back-dated", "marmoset", "low", "groups/marmoset.yaml") in spoken(park.judged())


def test_a_weight_of_the_day_is_no_later_entry(park: Checkout) -> None:
    weigh(park, "2026-11-24")
    assert spoken(park.judged()) == []


# -- what is no change, and what cannot be seen ----------------------------------------------------


def test_a_rename_of_files_is_no_change(park: Checkout) -> None:
    park.git("mv", "diet-sheets/tapir.yaml", "diet-sheets/lowland-tapir.yaml")
    park.git("mv", "limits/house.yaml", "limits/ours.yaml")
    for staged in (True, False):
        assert spoken(park.judged(staged=staged)) == []
    park.commit()
    assert spoken(park.judged()) == []


def test_a_merge_is_judged_by_what_it_brings(park: Checkout) -> None:
    park.git("checkout", "--quiet", "-b", "tidy-up")
    park.replace("diet-sheets/tapir.yaml", "1.3 kg", "13 kg")
    park.commit()
    park.git("checkout", "--quiet", "main")
    park.file("note.txt").write_text("x", "utf-8")
    park.commit()
    park.git("merge", "--quiet", "--no-ff", "--message", "merge", "tidy-up")
    assert B01 in spoken(park.judged())


@pytest.mark.parametrize("committed_", [False, True])
def test_a_detached_head_is_judged_like_a_branch(park: Checkout, *, committed_: bool) -> None:
    park.git("checkout", "--quiet", "--detach")
    park.replace("diet-sheets/tapir.yaml", "1.3 kg", "13 kg")
    if committed_:
        park.commit()
    assert B01 in spoken(park.judged())


def test_what_is_staged_and_edited_again_is_judged_by_each(park: Checkout) -> None:
    """Staged: the slip. In the folder it has been put right again."""
    park.replace("diet-sheets/tapir.yaml", "1.3 kg", "13 kg")
    park.git("add", "--all")
    park.replace("diet-sheets/tapir.yaml", "13 kg", "1.3 kg")
    assert B01 in spoken(park.judged(staged=True))
    assert spoken(park.judged()) == []


def as_it_is(park: Checkout, _: Path) -> Checkout:
    return park


def cut_short(park: Checkout, to: Path) -> Checkout:
    park.replace("diet-sheets/tapir.yaml", "1.3 kg", "13 kg")
    park.commit()
    park.git("clone", "--quiet", "--depth", "1", f"file://{park.folder}", str(to / "short"))
    return Checkout(to / "short")


def without_git(park: Checkout, to: Path) -> Checkout:
    shutil.copytree(park.folder, to / "bare", ignore=shutil.ignore_patterns(".git"))
    return Checkout(to / "bare")


@pytest.mark.parametrize(
    ("make", "why"), [(as_it_is, FIRST), (cut_short, SHALLOW), (without_git, NO_GIT)],
    ids=["first commit", "shallow clone", "no git"],
)  # fmt: skip
def test_what_cannot_be_compared_says_why_and_is_no_breach(
    park: Checkout, tmp_path: Path, make: Callable[[Checkout, Path], Checkout], why: str
) -> None:
    report = make(park, tmp_path).judged()
    assert f"not compared {why}" in " ".join(render(report, Asked()).split())
    assert [f.rule for f in report.findings if f.rule in LOOKING_BACK] == []
    for rule in LOOKING_BACK:
        said = [j.check for j in report.judged if j.rule == rule]
        assert {check.verdict for check in said} == {Verdict.NOT_APPLICABLE}, rule
        assert all(why in check.message for check in said), rule


def test_every_rule_that_looks_back_is_among_these() -> None:
    assert [one.rule.id for one in rules()] == list(LOOKING_BACK)


def test_an_acceptance_that_is_over_and_a_sheet_fed_unsigned_since(park: Checkout) -> None:
    """B23: signed in October with more pellet accepted for Wren until 4 November; then edited."""
    # A commit is no older than the one that it follows: the park is of before the signature.
    park.git("commit", "--quiet", "--amend", "--no-edit", "--date=2026-10-01", on="2026-10-01")
    for name in ("2026-11-10-marmoset", "2026-11-24-marmoset"):
        park.file(f"sign-offs/{name}.yaml").unlink()
    sheet = "diet-sheets/marmoset.yaml"
    park.replace(sheet, "from: 2026-11-24", "from: 2026-10-01")
    park.replace("rotas/marmoset.yaml", "starts: 2026-11-16", "starts: 2026-10-05")
    park.draft("b23-wren-acceptance-ended/sign-off.yaml", "sign-offs/wren.yaml")
    records = screen(Folder(park.folder), ON, load=lambda _: ()).collection
    assert records is not None
    digest = content_digest(records, "marmoset", date(2026, 10, 14))
    with park.file("sign-offs/wren.yaml").open("a", encoding="utf-8") as file:
        file.write(f"\ncontent: {{marmoset: '{digest}'}}\n")
    park.commit("signed", on="2026-10-14")
    park.replace(sheet, "20 g per kg body mass, for: [Wren]", "22 g per kg body mass, for: [Wren]")
    park.commit("more pellet for Wren", on="2026-11-05")
    found = earlier(park.folder, staged=False)
    report = screen(
        Folder(park.folder),
        ON,
        load=lambda names: tuple(r for r in load_packs(names) if r.rule.id == "sign-off"),
        earlier=Lookback(found.source, found.why_not, found.log),
    )
    said = {
        (f.check.about, f.severity.value, f.check.places[0].file)
        for f in report.findings
        if f.group == "marmoset"
    }
    assert said == {
        ("changed after the signature", "high", sheet),
        ("acceptance void: portion-for-body-mass", "medium", "sign-offs/wren.yaml"),
    }
