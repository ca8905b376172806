"""Builds the settings, the site's own limits and the sign-offs from their records."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from dietcheck.collection.places import Pointer
from dietcheck.collection.settings import (
    SIGN_WITHIN,
    Acceptance,
    DiseaseZone,
    DoNotFeed,
    RuleSetting,
    Season,
    Settings,
    Signer,
    SignOff,
    SiteLimit,
)
from dietcheck.quantities import (
    exact,
    read_bound,
    read_count,
    read_date,
    read_mass,
    read_month_day,
    read_period,
    read_share,
)

# How far "ad lib, expected X" may stray when neither the line nor the collection says: half as
# much again, or half. The tool's assumption; no source.
AD_LIB_SPREAD = exact("0.5")
BUNDLED_PACK = "dietcheck_rules"


def _date(data: Mapping[str, Any], key: str) -> date | None:
    return read_date(data[key]) if data.get(key) else None


def build_settings(place: Pointer, data: Mapping[str, Any]) -> Settings:
    """What `dietcheck.yaml` says, with the tool's defaults where it says nothing."""
    return Settings(
        name=data["name"],
        country=data["country"],
        feeds=tuple(data["feeds"]),
        extra_feeds=tuple(data.get("extra_feeds", ())),
        rota_days=int(data["rota_days"]),
        review_every=read_period(data["review_every"]) if data.get("review_every") else None,
        sign_within=read_period(data["sign_within"]) if data.get("sign_within") else SIGN_WITHIN,
        weigh_every={taxon: read_period(p) for taxon, p in data.get("weigh_every", {}).items()},
        ad_lib_spread=(
            read_share(data["ad_lib_spread"]) if data.get("ad_lib_spread") else AD_LIB_SPREAD
        ),
        signers=tuple(
            Signer(s["name"], s["role"], read_date(s["from"]), _date(s, "until"))
            for s in data.get("may_sign", ())
        ),
        packs=tuple(data.get("packs", (BUNDLED_PACK,))),
        leave_out=tuple(data.get("leave_out", ())),
        rules=tuple(
            RuleSetting(
                rule=r["rule"],
                to=r["set"],
                why=r["why"],
                set_by=r["set_by"],
                on=read_date(r["on"]),
                place=place.at("rules", number),
            )
            for number, r in enumerate(data.get("rules", ()))
        ),
        do_not_feed=tuple(
            _do_not_feed(place.at("do_not_feed", number), entry)
            for number, entry in enumerate(data.get("do_not_feed", ()))
        ),
        disease_zones=tuple(
            DiseaseZone(
                disease=zone["disease"],
                start=read_date(zone["from"]),
                until=_date(zone, "until"),
                place=place.at("disease_zone", number),
            )
            for number, zone in enumerate(data.get("disease_zone", ()))
        ),
        place=place,
        seasons={
            name: Season(
                name=name,
                start=read_month_day(season["from"]),
                until=read_month_day(season["until"]),
                needed_by=tuple(season.get("for", ())),
                place=place.at("seasons", name),
            )
            for name, season in data.get("seasons", {}).items()
        },
    )


def _do_not_feed(place: Pointer, data: Mapping[str, Any]) -> DoNotFeed:
    return DoNotFeed(
        name=data["name"],
        also_called=tuple(data.get("also_called", ())),
        organism=data.get("organism"),
        part=data.get("part"),
        form=data.get("form"),
        taxa_or_groups=tuple(data["for"]),
        severity=data.get("severity", "high"),
        why=data["why"],
        set_by=data["set_by"],
        on=read_date(data["on"]),
        place=place,
    )


def build_limit(place: Pointer, data: Mapping[str, Any]) -> SiteLimit:
    """One of the site's own limits."""
    return SiteLimit(
        taxon=data.get("taxon"),
        group=data.get("group"),
        quantity=data["quantity"],
        at_least=read_bound(data["at_least"]) if data.get("at_least") else None,
        at_most=read_bound(data["at_most"]) if data.get("at_most") else None,
        over=data.get("over", "rota"),
        stage=data.get("stage"),
        severity=data.get("severity", "medium"),
        why=data["why"],
        set_by=data["set_by"],
        on=read_date(data["on"]),
        source=data.get("source"),
        place=place,
        food=data.get("food"),
    )


def build_sign_off(place: Pointer, data: Mapping[str, Any]) -> SignOff:
    """A signature and the risks accepted in it."""
    return SignOff(
        by=data["by"],
        role=data["role"],
        on=read_date(data["on"]),
        groups=tuple(data.get("groups", ())),
        content=dict(data.get("content", {})),
        next_review=_date(data, "next_review"),
        accepts=tuple(
            Acceptance(
                rule=a["rule"],
                group=a["group"],
                food=a.get("food"),
                animals=tuple(a.get("animals", ())),
                reason=a["reason"],
                until=read_date(a["until"]),
                place=place.at("accepts", number),
                up_to=read_mass(a["up_to"]) if a.get("up_to") else None,
                content=a.get("content"),
                heads=read_count(str(a["heads"])) if a.get("heads") else None,
                weights=tuple((n, read_mass(m)) for n, m in sorted(a.get("weights", {}).items())),
            )
            for number, a in enumerate(data.get("accepts", ()))
        ),
        place=place,
        conditions=tuple(data.get("conditions", ())),
        limits=data.get("limits"),
    )
