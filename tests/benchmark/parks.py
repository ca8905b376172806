"""Synthetic collections: invented groups multiplied, balanced like real ones, from a seed.

The folder `pattern` holds a small invented park. Each group here is one of its groups under
another name, with every meal in up to five versions that the rota gives in turn. In a `distinct`
collection nearly every amount is unlike every other; otherwise the versions are alike, as where one
sheet is copied for many.
"""

from __future__ import annotations

import random
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path

from dietcheck.collection.build import build
from dietcheck.collection.places import Pointer
from dietcheck.history.digest import content_digest
from dietcheck.nutrition.diet import diets_of
from dietcheck.reading import check_file

PATTERN = Path(__file__).parent / "pattern"
BLOCK = sum(1 for _ in (PATTERN / "groups").iterdir())  # groups of the pattern
ON = date(2026, 11, 25)
VERSIONS = 5
_AMOUNT = re.compile(r"(?<=amount: )([0-9.]+)(?= (?:k?g|piece)\b)")
_MEAL = re.compile(r"^  (\w[\w ]*):(?= |$)", re.MULTILINE)
_SLOT = re.compile(r"(\w+): ([a-z ]+)(?=[,}\]])")
_ANIMAL = re.compile(r"\b(?:[A-Z]{2}-\d\d|Pip|Wren|Bracken|Fern|Tansy)(?=[],:\n])")
_MASS = re.compile(r"(?<=mass: )([0-9.]+)")

Files = dict[str, str]


def park(groups: int, *, distinct: bool = False, seed: int = 1) -> Files:
    """The files of a collection of so many groups: name → text. Same arguments, same bytes."""
    dice = random.Random(seed)
    kinds = [path.stem for path in sorted((PATTERN / "groups").iterdir())][:groups]
    files = {f"foods/{path.name}": path.read_text() for path in sorted(PATTERN.glob("foods/*"))}
    files["dietcheck.yaml"] = _settings(kinds, groups)
    for number in range(groups):
        kind = kinds[number % len(kinds)]
        if number % len(kinds) == 0:
            block = _Block(kinds, number, min(len(kinds), groups - number))
            files |= block.shared()
        files |= block.group(kind, dice if distinct else None)
    files["sign-offs/all.yaml"] = _signed(files)
    return files


def wild(groups: int, seed: int = 1) -> Files:
    """A collection in which nothing is as it should be: foods and amounts by the dice."""
    dice = random.Random(seed)
    files = park(groups, distinct=True, seed=seed)
    foods = [
        name
        for file in sorted(PATTERN.glob("foods/*"))
        for name in re.findall(r"(?m)^  ([\w-]+):", file.read_text())
    ]
    for name, text in files.items():
        if name.startswith("diet-sheets/"):
            text = re.sub(
                r"(?<=- \{food: )[\w-]+",
                lambda found: dice.choice([found[0], found[0], *dice.sample(foods, 2)]),
                text,
            )
            text = _AMOUNT.sub(lambda f: f"{float(f[1]) * 4 ** dice.uniform(-1, 1):.3f}", text)
            files[name] = text
    return files


def write(files: Mapping[str, str], root: Path) -> None:
    """Lay the files of a collection into an empty folder."""
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)


def servings(files: Mapping[str, str]) -> int:
    """How often a food is offered to an animal in the days that are judged, a rota or more."""
    diets = diets_of(build(_records(files)), ON).values()
    return sum(1 for diet in diets for animal in diet.group.animals for _ in diet.servings(animal))


class _Block:
    """One copy of the whole pattern: names that belong together get one number."""

    def __init__(self, kinds: list[str], first: int, count: int) -> None:
        self._number = first // len(kinds)
        self._kinds = kinds[:count]

    def name(self, kind: str) -> str:
        return f"{kind}-{self._number:03d}"

    def shared(self) -> Files:
        """Treats and limits of the block's groups."""
        files = {}
        for path in (*PATTERN.glob("treats/*"), *PATTERN.glob("limits/*")):
            head, *entries = re.split(r"(?=^  - )", path.read_text(), flags=re.MULTILINE)
            kept = [one for one in entries if re.search(r"group: (.*)", one)[1] in self._kinds]  # type: ignore[index]
            if kept:
                text = self._named(head + "".join(kept))
                files[f"{path.parent.name}/{self._number:03d}-{path.name}"] = text
        return files

    def group(self, kind: str, dice: random.Random | None) -> Files:
        """The records of one group."""
        name = self.name(kind)
        group, sheet, rota = (
            self._named((PATTERN / folder / f"{kind}.yaml").read_text())
            for folder in ("groups", "diet-sheets", "rotas")
        )
        group = group.replace(f"id: {kind}\n", f"id: {name}\n")
        group = re.sub(r"(?m)^(enclosure: [^#\n]*\w)", rf"\1 {self._number}", group)
        if dice is not None:
            group = _MASS.sub(lambda found: _near(found[1], dice), group)
        rota, given = _versioned_days(rota)
        return {
            f"groups/{name}.yaml": group,
            f"diet-sheets/{name}.yaml": _versions(sheet, given, dice),
            f"rotas/{name}.yaml": rota,
        }

    def _named(self, text: str) -> str:
        text = re.sub(r"(?m)(group: )([\w-]+)$", lambda f: f[1] + self.name(f[2]), text)
        text = _ANIMAL.sub(lambda found: f"{found[0]}-{self._number:03d}", text)
        reached = r"(?<=also_reached_by: \[)([\w-]+)(?=\])"
        return re.sub(reached, lambda f: self.name(f[1]) if f[1] in self._kinds else "", text)


def _settings(kinds: list[str], groups: int) -> str:
    text = (PATTERN / "dietcheck.yaml").read_text()
    if "stick-insect" not in kinds:
        return text.partition("\n# Our own do-not-feed list")[0]
    names = [f"stick-insect-{number:03d}" for number in range(-(-groups // len(kinds)))]
    last = len(kinds) * (len(names) - 1) + kinds.index("stick-insect")
    return text.replace("[stick-insect]", f"[{', '.join(names if last < groups else names[:-1])}]")


def _versions(sheet: str, given: Mapping[str, int], dice: random.Random | None) -> str:
    """The sheet with every meal in as many versions as the rota gives; supplements go with all."""
    head, meals, tail = re.split(r"(?m)^(?:meals:\n|(?=supplements:))", sheet + "supplements:")[:3]
    written = []
    for meal in filter(None, re.split(r"(?m)^(?=  \w)", meals)):
        for version in range(given[_MEAL.match(meal)[1]]):  # type: ignore[index]
            one = _MEAL.sub(rf"  \1 {version + 1}:", meal)
            written.append(one if dice is None else _changed(one, dice))
    tail = re.sub(
        r"with: \[([^\]]*)\]",
        lambda found: f"with: [{', '.join(f'{found[1]} {n + 1}' for n in range(given[found[1]]))}]",
        tail.removesuffix("supplements:"),
    )
    return f"{head}meals:\n{''.join(written)}{tail}"


def _versioned_days(rota: str) -> tuple[str, Mapping[str, int]]:
    """The rota with the versions of each of its meals in turn, and how many each meal has."""
    given: Counter[str] = Counter()

    def version(found: re.Match[str]) -> str:
        slot, meal = found.groups()
        if meal == "no feed" or slot in ("fast", "note"):
            return found[0]
        given[meal] += 1
        return f"{slot}: {meal} {(given[meal] - 1) % VERSIONS + 1}"

    text = re.sub(r"(?m)^  - \{[^}]*\}", lambda day: _SLOT.sub(version, day[0]), rota)
    return text, {meal: min(times, VERSIONS) for meal, times in given.items()}


def _changed(meal: str, dice: random.Random) -> str:
    return _AMOUNT.sub(lambda f: f[1] if f[1] == "1" else _near(f[1], dice), meal)


def _near(figure: str, dice: random.Random) -> str:
    """A figure up to 1.5 % below another, to a step that makes repeats rare."""
    near = float(figure) * dice.uniform(0.985, 1)
    return f"{near:.{max(0, 5 - len(str(int(near))))}f}"


def _signed(files: Files) -> str:
    """A sign-off of every group as it stands, so that nothing is left to be signed."""
    collection = build(_records(files))
    lines = ["record: sign-off", "by: Dr Tamsin Vale", "role: vet", f"on: {ON}", "groups:"]
    lines += [f"  - {group}" for group in collection.groups]
    lines.append("content:")
    lines += [f"  {group}: {content_digest(collection, group, ON)}" for group in collection.groups]
    return "\n".join([*lines, "next_review: 2027-11-10", "statement: approved as it stands", ""])


def _records(files: Mapping[str, str]) -> Iterator[tuple[Pointer, Mapping[str, object]]]:
    for name, text in files.items():
        facts = check_file(name, text.encode())
        if facts.data is None:
            raise ValueError(f"{name}: {[str(problem) for problem in facts.problems]}")
        yield Pointer(name), facts.data
