"""What changed since the signature, from the version in git that was signed."""

from dietcheck.contract import (
    Collection,
    Diet,
    SignOff,
    content_digest,
    differences,
    signed_version,
)


def what_changed(diet: Diet, last: SignOff) -> list[str]:
    """Each change old → new; empty where no version is found that was signed."""
    group = diet.group.id
    digest = last.content.get(group)
    if digest is None:
        return []
    before = _near(diet, last, digest)
    if before is None and diet.earlier.log is not None:
        before = signed_version(diet.earlier.log, files_of(diet), group, last.on, digest)
    if before is None:
        return []
    return list(differences(before, diet.collection, group, last.on))


def _near(diet: Diet, last: SignOff, digest: str) -> Collection | None:
    """The earlier version that is at hand anyway, if it is the signed one."""
    before = diet.earlier.collection
    group = diet.group.id
    if before is None or group not in before.groups:
        return None
    return before if content_digest(before, group, last.on) == digest else None


def files_of(diet: Diet) -> list[str]:
    """The files of everything that is signed for the group."""
    sheets = diet.collection.sheets.get(diet.group.id, ())
    found = [one.place.file for one in diet.collection.rotas.get(diet.group.id, ())]
    for sheet in sheets:
        found.append(sheet.place.file)
        for meal in sheet.meals.values():
            for line in meal.lines:
                found += [part.place.file for part, _ in line.food.all_parts()]
    for giver in diet.collection.givers.get(diet.group.id, ()):
        found += [sheet.place.file for sheet in diet.collection.sheets.get(giver, ())]
    return list(dict.fromkeys(found))
