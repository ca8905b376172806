"""A whole repository: what is left out, laid over, doubled, or not there at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from dietcheck.errors import JobError
from dietcheck.reading import Folder, NotARepository, Repository, locate, read_repository

COLLECTION = """\
record: collection
name: Aldermoss Wildlife Park
country: GB
feeds: [morning]
rota_days: 7
"""
GROUP = "record: group\nid: {}\nspecies: Ailurus fulgens\nenclosure: Slope\nfed: singly\n"
GROUP += "animals: [{{id: RP-01}}]\n"
FOODS = "record: foods\nfoods:\n  carrot: {same_as: carrot}\n  kale: {same_as: kale}\n"
SHEET = "record: diet sheet\ngroup: red-panda\nfrom: {}\nreason: {}\n"
SHEET += "meals: {{a: [{{food: kale, amount: 5 g per animal}}]}}\n"


@pytest.fixture
def root(tmp_path: Path) -> Path:
    put(tmp_path, "dietcheck.yaml", COLLECTION)
    put(tmp_path, "groups/red-panda.yaml", GROUP.format("red-panda"))
    put(tmp_path, "foods/kitchen.yaml", FOODS)
    put(tmp_path, "sheets/red-panda.yaml", SHEET.format("2026-10-01", "winter"))
    return tmp_path


def put(root: Path, name: str, text: str) -> None:
    (root / name).parent.mkdir(parents=True, exist_ok=True)
    (root / name).write_text(text, encoding="utf-8")


def read(root: Path, *drafts: tuple[str, str]) -> Repository:
    return read_repository(Folder(root), [(name, text.encode()) for name, text in drafts])


def names(repository: Repository) -> list[str]:
    return [facts.file for facts in repository.files]


def test_a_good_repository_is_read_in_order_of_name(root: Path) -> None:
    repository = read(root)
    assert names(repository) == [
        "dietcheck.yaml",
        "foods/kitchen.yaml",
        "groups/red-panda.yaml",
        "sheets/red-panda.yaml",
    ]
    assert repository.problems == ()
    assert repository.left_out == ()
    raw = repository.raw("foods/kitchen.yaml")
    assert locate(raw, ("foods", "kale")).line == 4
    assert repository.place("foods/kitchen.yaml", ("foods", "kale"), key=True).column == 3


@pytest.mark.parametrize("only", [[], ["groups/red-panda.yaml"], ["sub/dietcheck.yaml"]])
def test_without_dietcheck_yaml_there_is_nothing_to_check(tmp_path: Path, only: list[str]) -> None:
    for name in only:
        put(tmp_path, name, COLLECTION)
    with pytest.raises(NotARepository) as caught:
        read(tmp_path)
    assert caught.value.remedy
    assert isinstance(caught.value, JobError)


def test_a_misnamed_collection_record_is_pointed_out(tmp_path: Path) -> None:
    put(tmp_path, "dietcheck.yml", COLLECTION)
    with pytest.raises(NotARepository) as caught:
        read(tmp_path)
    assert "dietcheck.yml" in caught.value.remedy


def test_a_repository_of_nothing_but_its_settings_never_looks_clean(root: Path) -> None:
    settings = COLLECTION + "leave_out: [groups, foods/, sheets/red-panda.yaml]\n"
    put(root, "dietcheck.yaml", settings)
    with pytest.raises(NotARepository):
        read(root)
    assert read(root, ("new.yaml", FOODS)).problems == ()


def test_what_is_left_out_is_listed_and_not_read(root: Path) -> None:
    put(root, "dietcheck.yaml", COLLECTION + "leave_out: [forms, mkdocs.yml]\n")
    put(root, "forms/a.yaml", "not a record")
    put(root, "forms/deep/b.yaml", "not a record")
    put(root, "mkdocs.yml", "not a record")
    put(root, "formsheet.yaml", "not a record")
    (root / "forms" / "link.yaml").symlink_to("a.yaml")
    repository = read(root)
    assert repository.left_out == ("forms/a.yaml", "forms/deep/b.yaml", "mkdocs.yml")
    assert [p.file for p in repository.problems] == ["formsheet.yaml"]


def test_dietcheck_yaml_cannot_leave_itself_out(root: Path) -> None:
    put(root, "dietcheck.yaml", COLLECTION + "leave_out: [dietcheck.yaml]\n")
    assert "dietcheck.yaml" in names(read(root))


def test_leaving_out_works_even_if_something_else_in_the_settings_is_wrong(root: Path) -> None:
    put(root, "dietcheck.yaml", COLLECTION.replace("7", "seven") + "leave_out: [forms]\n")
    put(root, "forms/a.yaml", "not a record")
    assert [p.file for p in read(root).problems] == ["dietcheck.yaml"]


def test_the_root_record_must_be_the_collection(root: Path) -> None:
    put(root, "dietcheck.yaml", GROUP.format("wallaby"))
    assert [(p.file, p.line) for p in read(root).problems] == [("dietcheck.yaml", 1)]


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        (COLLECTION, 1, ("dietcheck.yaml", "line 1")),
        (GROUP.format("red-panda"), 2, ("groups/red-panda.yaml", "line 2")),
        ("record: foods\nfoods:\n  leek: {same_as: leek}\n  kale: {same_as: kale}\n", 4,
         ("foods/kitchen.yaml", "line 4")),
        (SHEET.format("2026-10-01", "again"), 3, ("sheets/red-panda.yaml", "line 3")),
    ],
)  # fmt: skip
def test_two_records_of_one_thing_are_told_with_both_files(
    root: Path, text: str, line: int, words: tuple[str, ...]
) -> None:
    put(root, "zoo/again.yaml", text)
    (problem,) = read(root).problems
    assert (problem.file, problem.line) == ("zoo/again.yaml", line)
    assert all(word in problem.message for word in words)


@pytest.mark.parametrize("text", ["record: collection\nname: [\n", "record: group\nid: x\n"])
def test_settings_in_a_second_place_never_take_over(root: Path, text: str) -> None:
    put(root, "zoo/dietcheck.yaml", COLLECTION)
    put(root, "dietcheck.yaml", text)
    repository = read(root)
    assert repository.problems
    assert not [f for f in repository.files if f.kind == "collection" and f.data is not None]


def test_a_doubled_record_is_told_even_if_one_of_the_two_is_refused(root: Path) -> None:
    put(root, "zoo/again.yaml", GROUP.format("red-panda") + "stations: many\n")
    assert len(read(root).problems) == 2


def test_a_draft_takes_the_place_of_the_sheet_of_the_same_day(root: Path) -> None:
    repository = read(root, ("my draft.yaml", SHEET.format("2026-10-01", "spring")))
    assert "sheets/red-panda.yaml" not in names(repository)
    (draft,) = [facts for facts in repository.files if facts.draft]
    assert draft.file == "my draft.yaml"
    assert draft.data is not None
    assert draft.data["reason"] == "spring"
    assert repository.problems == ()
    assert repository.raw("my draft.yaml").startswith(b"record: diet sheet")


def test_a_draft_of_another_day_is_added(root: Path) -> None:
    repository = read(root, ("draft.yaml", SHEET.format("2026-12-01", "spring")))
    assert {"sheets/red-panda.yaml", "draft.yaml"} <= set(names(repository))
    assert repository.problems == ()


def test_a_draft_of_foods_replaces_single_foods(root: Path) -> None:
    repository = read(root, ("draft.yaml", "record: foods\nfoods: {kale: {same_as: leek}}\n"))
    foods = {facts.file: dict(facts.data or {}).get("foods") for facts in repository.files}
    assert foods["foods/kitchen.yaml"] == {"carrot": {"same_as": "carrot"}}
    assert foods["draft.yaml"] == {"kale": {"same_as": "leek"}}
    assert repository.problems == ()


def test_a_draft_of_all_foods_of_a_file_replaces_the_file(root: Path) -> None:
    repository = read(root, ("draft.yaml", FOODS))
    assert "foods/kitchen.yaml" not in names(repository)
    assert repository.problems == ()


def test_a_draft_under_a_files_own_name_takes_its_place(root: Path) -> None:
    draft = SHEET.format("2026-12-01", "spring")
    repository = read(root, ("sheets/red-panda.yaml", draft))
    assert names(repository).count("sheets/red-panda.yaml") == 1
    assert repository.raw("sheets/red-panda.yaml") == draft.encode()


def test_drafts_of_lists_are_added(root: Path) -> None:
    treats = "record: treats\ntreats:\n  - {on: 2026-11-21, group: red-panda, purpose: training,"
    treats += " items: [{food: kale, amount: 5 g per animal}]}\n"
    put(root, "treats/a.yaml", treats)
    repository = read(root, ("draft.yaml", treats))
    assert {"treats/a.yaml", "draft.yaml"} <= set(names(repository))


def test_a_draft_with_a_fault_is_told_and_hides_nothing_else(root: Path) -> None:
    repository = read(root, ("draft.yaml", "record: diet sheet\ngroup: [\n"))
    assert [p.file for p in repository.problems] == ["draft.yaml"]
    assert "sheets/red-panda.yaml" in names(repository)


def test_two_drafts_of_one_thing_are_told(root: Path) -> None:
    sheet = SHEET.format("2026-10-01", "spring")
    assert len(read(root, ("a.yaml", sheet), ("b.yaml", sheet)).problems) == 1
    assert read(root, ("a.yaml", sheet), ("a.yaml", sheet)).problems == ()


def test_an_unreadable_file_is_a_problem_not_a_stop(root: Path) -> None:
    (root / "groups" / "big.yaml").write_bytes(b"#" * (2 * 1024 * 1024))
    repository = read(root)
    assert [p.file for p in repository.problems] == ["groups/big.yaml"]
    assert repository.place("groups/big.yaml", ("a",)).line == 1


def test_more_than_any_collection_has_is_refused(
    root: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("dietcheck.outside.files.FILE_LIMIT", 3)
    with pytest.raises(JobError):
        read(root)
    monkeypatch.undo()
    monkeypatch.setattr("dietcheck.reading.repository.TOTAL_LIMIT", 200)
    with pytest.raises(JobError):
        read(root)
