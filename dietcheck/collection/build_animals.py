"""Builds groups and animals from group records."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from typing import Any

from dietcheck.collection.animals import Animal, CarePlan, Condition, Group, Weighing
from dietcheck.collection.collection import Trouble
from dietcheck.collection.places import Pointer
from dietcheck.quantities import read_count, read_date, read_mass, read_share
from dietcheck.tables.taxa import Taxon, find_taxon, near_taxa, taxon_from_lineage


def build_group(place: Pointer, data: Mapping[str, Any], troubles: list[Trouble]) -> Group | None:
    """A group with its animals, or None (and a trouble noted) when its species is not known."""
    taxon = _taxon(place, data, troubles)
    if taxon is None:
        return None
    if (colony := data.get("colony")) is not None:
        animals: tuple[Animal, ...] = (_colony(place.at("colony"), colony),)
    else:
        animals = tuple(
            _animal(place.at("animals", number), entry)
            for number, entry in enumerate(data["animals"])
        )
    return Group(
        id=data["id"],
        name=data.get("name"),
        taxon=taxon,
        enclosure=data["enclosure"],
        also_reached_by=tuple(data.get("also_reached_by", ())),
        fed=data["fed"],
        stations=data.get("stations"),
        animals=animals,
        is_colony=colony is not None,
        place=place,
    )


def _taxon(place: Pointer, data: Mapping[str, Any], troubles: list[Trouble]) -> Taxon | None:
    name = data["species"]
    if (taxon := find_taxon(name)) is not None:
        return taxon
    if lineage := data.get("lineage"):
        return taxon_from_lineage(name, tuple(lineage))
    near = near_taxa(name)
    hint = f"Nearest: {'; '.join(near[:3])}. " if near else ""
    troubles.append(
        Trouble(
            place.at("species"),
            f'The species "{name}" is not in the bundled table, so no limit can be looked up.',
            f"{hint}Correct the scientific name, or give the species' lineage "
            "(lineage: [Mammalia, …, family, genus]).",
        )
    )
    return None


def _animal(place: Pointer, data: Mapping[str, Any]) -> Animal:
    weighings = (
        Weighing(read_date(w["on"]), read_mass(w["mass"]), place.at("weighings", number))
        for number, w in enumerate(data.get("weighings", ()))
    )
    condition = data.get("condition")
    plan = data.get("plan")
    return Animal(
        id=data["id"],
        name=data.get("name"),
        sex=data.get("sex"),
        born=str(data["born"]) if data.get("born") else None,
        stage=data.get("stage"),
        here_from=_date(data.get("here_from")),
        here_until=_date(data.get("here_until")),
        weighings=tuple(sorted(weighings, key=lambda w: w.on)),
        condition=condition
        and Condition(
            read_date(condition["on"]), Decimal(str(condition["score"])), int(condition["of"])
        ),
        health=tuple(data.get("health", ())),
        never=tuple(data.get("never", ())),
        diet_before=data.get("diet_before"),
        rank=data.get("rank"),
        plan=plan
        and CarePlan(
            plan["kind"],
            read_date(plan["from"]),
            _date(plan.get("until")),
            plan.get("set_by"),
            plan.get("why"),
            place.at("plan"),
            read_mass(plan["target"]) if plan.get("target") else None,
            read_share(plan["pace"]) if plan.get("pace") else None,
            _date(plan.get("review")),
        ),
        place=place,
    )


def _colony(place: Pointer, data: Mapping[str, Any]) -> Animal:
    return Animal(
        id="each",
        name=None,
        weighings=(Weighing(read_date(data["on"]), read_mass(data["mass"]), place),),
        count=read_count(str(data["count"])),
        place=place,
    )


def _date(text: str | None) -> date | None:
    return read_date(text) if text else None
