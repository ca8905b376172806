"""The commands: one module each, loaded only when it is called.

A command is a module with `arguments(parser)`, which says what may be written after its name, and
`run(given)`, which does the work and returns the exit status.
"""

from __future__ import annotations

from collections.abc import Mapping

from msgspec import Struct


class Command(Struct, frozen=True):
    """A row of the table: the module in this package, what it does in a line, and examples."""

    module: str
    does: str
    examples: tuple[tuple[str, str], ...]  # the command line, and what it is for


COMMANDS: Mapping[str, Command] = {
    "start": Command(
        "start",
        "write a small working collection to begin with",
        (
            ("dietcheck start diets --country GB", "a new folder; nothing there is written over"),
            ('dietcheck start . --name "Aldermoss Wildlife Park"', "the empty folder you are in"),
        ),
    ),
    "screen": Command(
        "screen",
        "judge every diet of a collection and tell what must not be fed",
        (
            ("dietcheck screen", "the folder you are in, as at today"),
            ("dietcheck screen ~/diets --on 2026-12-24", "another folder, as at another day"),
            ("dietcheck screen --draft new-sheet.yaml", "what if this record were part of it?"),
            ("dietcheck screen --block-on medium", "stop also for what the vet has to decide"),
            ("dietcheck screen --write sarif:diets.sarif", "a file for the code host as well"),
            ("dietcheck screen --staged", "what git is about to commit (the hook does this)"),
        ),
    ),
    "try": Command(
        "try_",
        'answer "may I give this?" for each animal, and what it does to the day and the fortnight',
        (
            ("dietcheck try . drafts/treat-panda-pear.yaml", "a treat that was written as a draft"),
            ("dietcheck try . grapes.yaml --on 2026-12-24", "as at another day"),
            ("dietcheck try . new-sheet.yaml --write json:answer.json", "for other programs too"),
        ),
    ),
    "change": Command(
        "change",
        "show what a change does to each ration, and which findings come and go with it",
        (
            ("dietcheck change --since main", "the folder you are in against the main branch"),
            (
                "dietcheck change ~/diets --since HEAD --draft new.yaml",
                "what would it do?",
            ),
            ("dietcheck change --since main --write markdown:change.md", "for a pull request"),
        ),
    ),
    "sign": Command(
        "sign",
        "write down that diets are approved as they stand, by whom and until when",
        (
            ('dietcheck sign --by "Dr Vale" --role vet', "all diets of the folder you are in"),
            (
                'dietcheck sign . --by "Dr Vale" --role vet --groups rhea --next-review 2027-05-01',
                "one group, with the day to look again",
            ),
        ),
    ),
    "trail": Command(
        "trail",
        "show what one animal was offered on one day, on whose word, and what stood open",
        (
            ("dietcheck trail --animal Pip --on 2026-11-20", "on the screen"),
            ("dietcheck trail ~/diets --animal TA-01 --write html:trail.html", "a page to send"),
        ),
    ),
    "ration": Command(
        "ration",
        "show what each animal of a group is offered, nutrient by nutrient",
        (
            ("dietcheck ration . tapir", "the mean of the rota, the spread, each food's part"),
            ("dietcheck ration . tapir --day worst", "the day with the most sugar"),
            ("dietcheck ration . rhea --nutrient iron calcium", "these, and where they come from"),
            ("dietcheck ration . otter --write html:otter.html", "a page to print or to send"),
        ),
    ),
    "prep": Command(
        "prep",
        "print the feed kitchen's sheet: what to draw, weigh out, thaw, and for whom",
        (
            ("dietcheck prep", "today, all groups that may be fed"),
            ("dietcheck prep . --on 2026-12-24 --days 3", "three days in a row"),
            ("dietcheck prep . --group otter", "one group"),
            ("dietcheck prep . --write html:prep.html", "a page an enclosure, to print"),
        ),
    ),
    "order": Command(
        "order",
        "list what the coming days take from the store, with the day of first need",
        (
            ("dietcheck order", "one whole rota from today on"),
            ("dietcheck order . --on 2026-12-24 --days 7", "a week"),
            ("dietcheck order . --write csv:order.csv", "for a spreadsheet"),
        ),
    ),
    "sheets": Command(
        "sheets",
        "take diet sheets and rotas out to a spreadsheet, and in from one",
        (
            ("dietcheck sheets . --write diets.xlsx", "everything, for a spreadsheet program"),
            ("dietcheck sheets . --write new.xlsx --template", "headings to be filled in"),
            ("dietcheck sheets . --read new.xlsx", "make records of its rows, all or none"),
            ("dietcheck sheets . --read diet-sheets.csv --to ../trial", "into another folder"),
        ),
    ),
    "foods": Command(
        "foods",
        "look a food up: what is in it, whom it harms, what is overstated about it",
        (
            ("dietcheck foods grape", "one food, by any of its names"),
            ('dietcheck foods "Taxus baccata"', "a plant, by its scientific name"),
            ("dietcheck foods sycamore", "a word that means several plants: which ones"),
            ("dietcheck foods pellet ~/diets", "the food list of that collection as well"),
            ("dietcheck foods leek --write json:leek.json", "a file for other programs as well"),
        ),
    ),
    "limits": Command(
        "limits",
        "show the limits that apply, each with where it comes from",
        (
            ("dietcheck limits --taxon 'Tapirus terrestris'", "what a species is judged by"),
            ("dietcheck limits --rule sugar-ceiling", "all limits of one rule"),
            ("dietcheck limits --taxon tapir ~/diets", "a group there, with the site's own limits"),
            ("dietcheck limits --write json:limits.json", "all of them, for other programs"),
        ),
    ),
    "schema": Command(
        "schema",
        "tell an editor what a record may hold, so that it completes and checks names",
        (
            ("dietcheck schema . --all .editor", "every kind of record, with the names used here"),
            ("dietcheck schema diet-sheet", "the plain form of one kind"),
            ("dietcheck schema rota ~/diets --write rota.schema.json", "one kind, into a file"),
        ),
    ),
    "completion": Command(
        "completion",
        "let the shell complete commands, options and file names",
        (
            ("source <(dietcheck completion bash)", "in bash, from now on; in ~/.bashrc for good"),
            ("source <(dietcheck completion zsh)", "in zsh; in ~/.zshrc for good"),
            (
                "dietcheck completion fish > ~/.config/fish/completions/dietcheck.fish",
                "in fish, for good",
            ),
        ),
    ),
    "help": Command(
        "help_",
        "show the manual: every command in brief, or one on a page of its own",
        (
            ("dietcheck help", "all commands in brief"),
            ("dietcheck help screen", "what it does, its options, exit status and files"),
        ),
    ),
}
