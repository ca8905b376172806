"""What the tables of this rule know about a food, for somebody who looks it up.

The same matching as for a diet, but for no animal in particular: every row is told that holds for
the food's part and form, and what is said of it that is more, or less, than is known.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from dietcheck.contract import (
    Food,
    Knowledge,
    Pointer,
    Severity,
    SourceRef,
    Taxon,
    find_taxon,
    hookimpl,
)
from dietcheck_rules.shared.references import refs
from dietcheck_rules.toxic_item.assess import Risk, risk_of
from dietcheck_rules.toxic_item.items import Item, Row, Tolerance, disagreements, item
from dietcheck_rules.toxic_item.register import Hit, hits, register, scientific_name
from dietcheck_rules.toxic_item.reports import EVIDENCE
from dietcheck_rules.toxic_item.states import state_of
from dietcheck_rules.toxic_item.words import Tokens, any_holds, bare, table, tokens

VERDICTS = {
    "overstated": "overstated",
    "unsupported": "not supported",
    "false-reassurance": "false reassurance",
    "dose-dependent": "a matter of the dose",
}

KINDS = {
    "toxic": "harmed by",
    "lethal": "killed by",
    "no-effect": "unharmed in a trial by",
    "content": "holds",
    "limit": "limit",
}


@hookimpl
def about_food(food: Food) -> Iterable[Knowledge]:
    """What it harms, in which part and form, published doses, and what is overstated about it."""
    if not food.known:
        yield from _meanings(food.name)
    for part in dict.fromkeys(part for part, _ in food.all_parts()):
        for hit in _all_hits(part):
            yield from _harm(food, part, item(hit.item), hit)
    for claim in claims():
        if claim.is_about(food):
            yield claim.told()


@hookimpl
def food_names() -> Iterable[str]:
    """Every name and scientific name in the tables."""
    for entry in table("names.yaml")["items"].values():
        yield from entry["names"]
        yield from entry.get("organisms", ())
    for trap in table("ambiguous.yaml")["ambiguous"]:
        yield trap["word"]
    for claim in claims():
        yield from (*claim.names, *claim.organisms)


def _all_hits(food: Food) -> Iterable[Hit]:
    """The items a food may be. A word on its own may be a scientific name as well."""
    found = {hit.item: hit for hit in hits(food)}
    if _as_organism(food):
        found |= {hit.item: hit for hit in hits(replace(food, organism=food.name))}
    return found.values()


def _as_organism(food: Food) -> bool:
    own = scientific_name(food.name)
    return not food.known and bool(own) and own.split()[0] in register().organisms


# -- harm ------------------------------------------------------------------------------------------


def _harm(looked_up: Food, food: Food, toxic: Item, hit: Hit) -> Iterator[Knowledge]:
    about = toxic.name if food is looked_up else f'{toxic.name} (in it: "{food.name}")'
    data: Mapping[str, Any] = table(f"items/{toxic.id}.yaml")
    holding = [(row, risk) for row in toxic.rows if (risk := _risk(toxic, row, hit, food))]
    if not holding:
        whom = ", ".join(dict.fromkeys(row.common for row in toxic.rows))
        yield Knowledge(topic="no harm in this form", about=about, text=_what(toxic), whom=whom)
        return
    questions = dict.fromkeys(one for _, risk in holding for one in risk.open_questions)
    yield Knowledge(topic="harm", about=about, text=_what(toxic), question=" ".join(questions))
    holding.sort(key=lambda pair: _severity(toxic, pair[0], food).rank)
    yield from (_harmed(about, toxic, row, food) for row, _ in holding)
    yield from (_less(about, one, data) for one in toxic.tolerant)
    yield from (_dose(about, row) for row in data.get("doses", ()))
    yield from (_content(about, row) for row in data.get("contents", ()))
    for cap in toxic.caps:
        if any_holds(state_of(food).names, cap.names):
            yield Knowledge(topic="note", about=about, text=f"At most {cap.severity}: {cap.why}.")
    for one in disagreements().get(toxic.id, ()):
        text = f"Sources disagree: {one.text}."
        yield Knowledge(topic="note", about=about, text=text, sources=refs(one.sources))
    for note in data.get("notes", ()):
        yield Knowledge(topic="note", about=about, text=note["text"], **_sourced(note))


def _risk(toxic: Item, row: Row, hit: Hit, food: Food) -> Risk | None:
    """The risk for an animal of which only the row's taxon is known, of any age and health."""
    at_any_age = replace(row, condition=replace(row.condition, stages=(), health=()))
    someone = Taxon(row.taxa[0], row.common, row.taxa)
    return risk_of(replace(toxic, rows=(at_any_age,)), hit, food, someone)


def _what(toxic: Item) -> str:
    said = [f"{toxic.effect}", f"part: {', '.join(toxic.parts)}", f"form: {', '.join(toxic.forms)}"]
    if toxic.principle:
        said.append(f"by {toxic.principle}")
    if toxic.share_of:
        said.append(f"a matter of quantity, judged by its share of the {toxic.share_of}")
    if toxic.unless_thiamin:
        said.append("noted on days without thiamin only")
    if toxic.no_threshold:
        said.append(f"no amount is cleared for {', '.join(toxic.no_threshold)}")
    return "; ".join(said)


def _severity(toxic: Item, row: Row, food: Food) -> Severity:
    names = state_of(food).names
    caps = [cap.severity for cap in toxic.caps if any_holds(names, cap.names)]
    return max((row.severity, *caps), key=lambda one: one.rank)


def _harmed(about: str, toxic: Item, row: Row, food: Food) -> Knowledge:
    condition = row.condition
    when = condition.text or ", ".join((*condition.parts, *condition.forms, *condition.stages))
    return Knowledge(
        topic="harmed",
        about=about,
        text="; ".join(filter(None, (when and f"when: {when}", row.note))),
        taxon=row.taxa[0],
        whom=row.common,
        severity=_severity(toxic, row, food),
        evidence=EVIDENCE[row.evidence],
        advice=row.advice.replace("-", " "),
        question=condition.ask,
        sources=refs(row.sources),
        seen=row.seen if row.sources else "memory",
    )


def _less(about: str, tolerance: Tolerance, data: Mapping[str, Any]) -> Knowledge:
    row = next(one for one in data["tolerant"] if one["taxon"] == tolerance.taxon)
    return Knowledge(
        topic="less affected",
        about=about,
        text=tolerance.note,
        taxon=tolerance.taxon,
        whom=tolerance.common,
        **_sourced(row),
    )


def _dose(about: str, row: Mapping[str, Any]) -> Knowledge:
    """A published dose as printed, its bound (at or above, up to) and its note included."""
    name = row.get("taxon", "")
    species = find_taxon(name) if name else None
    figure = " ".join(filter(None, (row.get("bound"), _span(row["amount"]), row["unit"])))
    effect = row["effect"] + (f" ({row['note']})" if row.get("note") else "")
    substance = row.get("substance", "")
    of = f" of {substance}" if substance and substance not in row["unit"] else ""
    return Knowledge(
        topic="dose",
        about=about,
        text=f"{KINDS[row['kind']]} {figure}{of}: {effect}",
        taxon=name,
        whom=row.get("group") or (species.english_name if species else ""),
        **_sourced(row),
    )


def _content(about: str, row: Mapping[str, Any]) -> Knowledge:
    text = f"{row['product']}: {_span(row['amount'])} {row['unit']} {row['substance']}"
    return Knowledge(topic="content", about=about, text=text, **_sourced(row))


def _span(amount: Any) -> str:
    low, high = amount if isinstance(amount, list) else (amount, amount)
    return f"{low}" if low == high else f"{low} to {high}"


def _sourced(row: Mapping[str, Any]) -> dict[str, Any]:
    """The sources of a row with how they were read; without any it is from memory."""
    sources: tuple[SourceRef, ...] = refs(row.get("sources", ()))
    return {"sources": sources, "seen": row["seen"] if sources else "memory"}


# -- words with several meanings -------------------------------------------------------------------


def _meanings(word: str) -> Iterator[Knowledge]:
    """What a word may mean, where it means several things."""
    for trap in table("ambiguous.yaml")["ambiguous"]:
        if tokens(trap["word"]) not in (tokens(word), bare(tokens(word))):
            continue
        for reading in trap["readings"]:
            harms = _harms_of(reading)
            grades = [row.severity for harm in harms for row in harm.rows]
            named = "; ".join(harm.name for harm in harms)
            yield Knowledge(
                topic="meaning",
                about=trap["word"],
                text=f"on file, for some part or form: {named}" if harms else "no harm on file",
                taxon=reading.get("scientific", ""),
                whom=reading["name"],
                severity=min(grades, key=_rank, default=None),
                seen="memory",
            )


def _harms_of(reading: Mapping[str, str]) -> list[Item]:
    """The items that one meaning of a word is, or may be."""
    named = Food(
        id=reading["name"],
        name=reading["name"],
        place=Pointer(""),
        organism=reading.get("scientific"),
        family=reading.get("family"),
    )
    ids = dict.fromkeys([reading["item"]] if "item" in reading else [])
    return [item(one) for one in ids | dict.fromkeys(hit.item for hit in hits(named))]


def _rank(severity: Severity) -> int:
    return severity.rank


# -- what is said and not so -----------------------------------------------------------------------


class Claim(Struct, frozen=True):
    """Something said about a food, how far it holds, and what is known. An entry of the table."""

    id: str
    claim: str
    verdict: str
    known: str
    names: tuple[str, ...]
    organisms: tuple[str, ...]
    items: tuple[str, ...]
    sources: tuple[str, ...]
    seen: str

    def is_about(self, food: Food) -> bool:
        """By organism where both have one; else by a whole name, whatever state it is in."""
        organism = food.organism or (food.name if _as_organism(food) else None)
        own = scientific_name(organism)
        if own and self.organisms and any(f"{own} ".startswith(f"{o} ") for o in self.organisms):
            return True
        if food.organism and self.organisms:
            return False
        named = {bare(tokens(name)) for name in food.names()} - {()}
        return not named.isdisjoint(_compared(self.names))

    def told(self) -> Knowledge:
        """The claim as knowledge."""
        return Knowledge(
            topic="claim",
            about=self.claim,
            text=f"{VERDICTS[self.verdict]}. {self.known}",
            sources=refs(self.sources),
            seen=self.seen if self.sources else "memory",
        )


@cache
def _compared(names: tuple[str, ...]) -> frozenset[Tokens]:
    return frozenset(bare(tokens(name)) for name in names)


@cache
def claims() -> tuple[Claim, ...]:
    """The claims that are overstated, not supported or falsely reassuring."""
    return tuple(
        Claim(
            id=row["id"],
            claim=row["claim"],
            verdict=row["verdict"],
            known=row["known"],
            names=tuple(row.get("names", ())),
            organisms=tuple(row.get("organisms", ())),
            items=tuple(row.get("items", ())),
            sources=tuple(row.get("sources", ())),
            seen=row["seen"],
        )
        for row in table("overstated.yaml")["claims"]
    )
