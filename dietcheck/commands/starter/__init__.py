"""The collection that `dietcheck start` writes: text files here, with a few places to fill in."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta

from msgspec import Struct

from dietcheck.outside.packages import files

# Where a file goes, and what it is called here (a name with a dot in front is easily left out of
# a package). The schemas for editors are added: they are made from the records.
_FILES = {
    "dietcheck.yaml": "dietcheck.yaml",
    "groups/red-panda.yaml": "groups/red-panda.yaml",
    "foods/kitchen.yaml": "foods/kitchen.yaml",
    "foods/feeds.yaml": "foods/feeds.yaml",
    "foods/browse.yaml": "foods/browse.yaml",
    "diet-sheets/red-panda.yaml": "diet-sheets/red-panda.yaml",
    "rotas/red-panda.yaml": "rotas/red-panda.yaml",
    "treats/<<month>>.yaml": "treats/first.yaml",
    "README.md": "README.md",
    ".editorconfig": "editorconfig",
    ".github/workflows/diets.yml": "diets.yml",
}
_KINDS = {"dietcheck.yaml": "collection", "groups": "group", "foods": "foods", "rotas": "rota",
          "diet-sheets": "diet-sheet", "treats": "treats"}  # fmt: skip
_NOWHERE = "https://example.org/your-copy-of/dietcheck"


class Origin(Struct, frozen=True):
    """The address and the version in git that this program was installed from."""

    address: str
    revision: str


def origin() -> Origin | None:
    """Where this program was installed from, if others can reach it (PEP 610); else None."""
    from importlib.metadata import PackageNotFoundError, distribution

    try:
        told = json.loads(distribution("dietcheck").read_text("direct_url.json") or "{}")
        address, revision = told["url"], told["vcs_info"]["commit_id"]
    except (PackageNotFoundError, ValueError, LookupError, TypeError):
        return None
    # Only plain addresses: no names, passwords or signs that mean something in YAML or a shell.
    safe = r"https://[a-z0-9.-]+(:\d+)?/[\w./~-]+"
    if re.fullmatch(safe, address, re.ASCII) and re.fullmatch(r"[0-9a-f]{40,64}", revision):
        return Origin(address, revision)
    return None


def starter_files(
    name: str, country: str, on: date, came_from: Origin | None, version: str
) -> dict[str, str]:
    """Every file of a new collection as at a day: name → text, schemas for editors included."""
    values = _values(name, country, on, came_from, version)
    hook = "hook-local.yaml" if came_from is None else "hook-address.yaml"
    wanted = {**_FILES, ".pre-commit-config.yaml": hook}
    made = {
        _filled(target, values, on): _modeline(target) + _filled(_text(source), values, on)
        for target, source in wanted.items()
    }
    return made | {f".editor/{file}": text for file, text in _schemas(made).items()}


def _values(
    name: str, country: str, on: date, came_from: Origin | None, version: str
) -> dict[str, str]:
    place = came_from or Origin(_NOWHERE, f"v{version}")
    note = "" if came_from else (
        "        # Put the address of your copy of dietcheck in place of this one.\n"
    )  # fmt: skip
    return {
        "name": json.dumps(name, ensure_ascii=False),
        "country": country,
        "writer": "A Keeper",
        "month": f"{on:%Y-%m}",
        "version": version,
        "address": place.address,
        "revision": place.revision,
        "address note": note,
    }


_DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


def _filled(text: str, values: dict[str, str], on: date) -> str:
    """The text with each <<place>> filled in: a value, or a day counted from today or Monday."""
    monday = on - timedelta(days=on.weekday())

    def fill(found: re.Match[str]) -> str:
        if found[1] in values:
            return values[found[1]]
        what, days = re.fullmatch(r"(day|monday|label)([+-]\d+)?", found[1]).groups()  # type: ignore[union-attr]
        day = (on if what == "day" else monday) + timedelta(days=int(days or 0))
        if what == "label":
            return f"{_DAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]}"
        return day.isoformat()

    return re.sub(r"<<([^<>]+)>>", fill, text)


def _modeline(target: str) -> str:
    """The line by which an editor finds the schema of a record."""
    kind = _KINDS.get(target.partition("/")[0])
    up = "../" * target.count("/")
    return f"# yaml-language-server: $schema={up}.editor/{kind}.schema.json\n" if kind else ""


def _text(source: str) -> str:
    return files(__package__).joinpath(source).read_text(encoding="utf-8")


def _schemas(made: dict[str, str]) -> dict[str, str]:
    from dietcheck.collection.build import build
    from dietcheck.collection.places import Pointer
    from dietcheck.commands.schema import all_files, known_of
    from dietcheck.outside.files import is_record_name
    from dietcheck.reading import check_file
    from dietcheck.reading.sources import hidden

    facts = [
        check_file(file, text.encode())
        for file, text in made.items()
        if is_record_name(file) and not hidden(file)
    ]
    return all_files(
        known_of(build((Pointer(f.file), f.data) for f in facts if f.data is not None))
    )
