"""`dietcheck foods`: what is on file about a food, its composition and whom it harms."""

from __future__ import annotations

import argparse
from functools import partial
from pathlib import Path

from dietcheck.commands.arguments import Usage
from dietcheck.commands.output import complain, say
from dietcheck.commands.report_files import check_targets, write_whole
from dietcheck.commands.repository import folder, open_repository, read_target_of
from dietcheck.errors import JobError
from dietcheck.reading.problems import listed, show

KINDS = ("json",)


def arguments(parser: argparse.ArgumentParser) -> None:
    """What may be written after `dietcheck foods`."""
    parser.add_argument(
        "word",
        metavar="WORD",
        help="any name of a food or plant, or an id; several words in quotation marks",
    )
    parser.add_argument(
        "folder",
        metavar="DIR",
        nargs="?",
        help="look through the food list of this collection too, and ask the rules it uses",
    )
    parser.add_argument(
        "--write",
        metavar="KIND:FILE",
        type=partial(read_target_of, kinds=KINDS),
        action="append",
        default=[],
        help=f"write it to a file as well ({listed(KINDS)}); may be repeated",
    )


def run(given: argparse.Namespace) -> int:
    """Look up and tell. The exit status: 0 done; 2 nothing found, or not all could be asked."""
    word = read_word(given.word)
    root = None if given.folder is None else _folder(given.folder, given.word)
    check_targets(given.write, ())
    from dietcheck.collection.build_settings import BUNDLED_PACK
    from dietcheck.reporting import food_json, food_page
    from dietcheck.reporting.food_facts import look_up
    from dietcheck.screening.packs import load_packs

    opened = None if root is None else open_repository(root)
    status = opened.tell() if opened else 0
    collection = opened.collection if opened else None
    rules = load_packs(collection.settings.packs if collection else (BUNDLED_PACK,))
    answer = look_up(word, collection.foods if collection else {}, rules)
    for failure in answer.failures:
        complain(f"dietcheck: the rule {show(failure.rule)} failed: {show(failure.what, 200)}")
        complain("           Nothing it knows is told here. Tell whoever looks after dietcheck.")
        status = 2
    if not answer.found:
        raise unknown(answer.word, answer.near)
    say(food_page.render(answer))
    for target in given.write:
        write_whole(target, food_json.render(answer))
        complain(f"dietcheck: wrote {show(target.file, 300)}")
    return status


def read_word(text: str) -> str:
    """The word to look up, its blanks tidied. Raises Usage for what can be no name."""
    from dietcheck.reporting.food_search import LONGEST, words_of

    word = " ".join(text.split())
    if len(word) > LONGEST:
        raise Usage(
            f"{show(word)} is too long for the name of a food ({len(word):,} characters).",
            "Write the name alone, at most a few words.",
        )
    if not words_of(word):
        raise Usage(
            f"{show(text) or 'nothing'} holds no word to look up.",
            'For example: dietcheck foods grape, or dietcheck foods "Taxus baccata"',
        )
    return word


def unknown(word: str, near: tuple[str, ...]) -> JobError:
    """Nobody knows the word, which says nothing about the thing."""
    offered = f"Nearest names: {', '.join(map(show, near))}. " if near else ""
    return JobError(
        f"{show(word)} is in no table here. That does not mean it is safe.",
        f"{offered}Try another name, or the scientific name in quotation marks.",
    )


def _folder(text: str, word: str) -> Path:
    try:
        return folder(text)
    except Usage as error:
        raise Usage(
            error.message,
            f"{error.remedy} For a name of several words write quotation marks: "
            f'dietcheck foods "{show(word, 40)} {show(text, 40)}"',
        ) from None
