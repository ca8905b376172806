"""A small invented park whose records fill nearly every field that a person can write text into."""

from __future__ import annotations

from typing import Any

VALE = {"set_by": "Dr Vale", "on": "2026-01-01"}

PARK: dict[str, dict[str, Any]] = {
    "dietcheck.yaml": {
        "record": "collection", "name": "Test Park", "country": "GB",
        "feeds": ["morning", "afternoon"], "extra_feeds": ["noon"], "rota_days": 2,
        "review_every": "12 months", "weigh_every": {"Mammalia": "90 days"},
        "ad_lib_spread": "50 %",
        "may_sign": [{"name": "Dr Vale", "role": "vet", "from": "2024-01-01"}],
        "do_not_feed": [{"name": "kale", "also_called": ["borecole"],
                         "organism": "Brassica oleracea", "part": "leaf", "form": "raw",
                         "for": ["tapir"], "severity": "medium", "why": "house rule", **VALE}],
        "rules": [{"rule": "reach", "set": "off", "why": "built otherwise", **VALE}],
    },
    "group.yaml": {
        "record": "group", "id": "tapir", "name": "The tapirs", "species": "Tapirus terrestris",
        "enclosure": "Paddock", "fed": "together", "stations": 2, "also_reached_by": [],
        "notes": "gentle",
        "animals": [
            {"id": "T1", "name": "Ilex", "sex": "female", "born": "2016-06-14", "notes": "shy",
             "weighings": [{"on": "2026-11-20", "mass": "200 kg"}],
             "condition": {"on": "2026-11-20", "score": 3, "of": 5},
             "health": ["dental disease"], "never": ["grape"],
             "plan": {"kind": "weight reduction", "from": "2026-11-01", "set_by": "Dr Vale",
                      "why": "too heavy"}},
            {"id": "T2", "name": "Rowan", "here_from": "2026-10-01"},
        ],
    },
    "foods.yaml": {
        "record": "foods",
        "foods": {
            "carrot": {"same_as": "carrot", "notes": "washed"},
            "kale": {"same_as": "kale"},
            "pellet": {"name": "Browser pellet", "class": "compound feed",
                       "meant_for": ["Tapirus terrestris"], "medicines": "unknown",
                       "label": {"basis": "as fed", "crude_protein": ">= 14 %"},
                       "source": "supplier's letter"},
            "willow": {"class": "browse", "organism": "Salix caprea", "part": "leaf and twig",
                       "identified_by": "J. Lindahl", "cut_at": "north ditch", "sprayed": False},
            "ball": {"mix": {"carrot": "50 %", "kale": "50 %"}, "piece": "12 g"},
        },
    },
    "sheet.yaml": {
        "record": "diet sheet", "group": "tapir", "from": "2026-01-01", "reason": "winter sheet",
        "written_by": "Pia Renn", "notes": "as last year",
        "meals": {
            "roots": [
                {"food": "carrot", "amount": "600 g per animal", "cut": "dice 1 cm",
                 "presentation": "in a tub", "note": "first"},
                {"food": "kale", "amount": "100 g per animal", "treat": "training", "for": ["T1"],
                 "medicine": {"drug": "tablet", "by": "Dr Vale", "dose": "one a day",
                              "from": "2026-11-01", "until": "2026-12-31"}},
                {"food": "pellet", "amount": "1 kg per animal"},
                {"food": "ball", "amount": "2 pieces per animal"},
                {"food": "willow", "amount": "ad lib, expected 1 kg per animal"},
            ],
        },
        "supplements": [{"food": "pellet", "amount": "1 g per animal", "with": ["roots"]}],
    },
    "rota.yaml": {
        "record": "rota", "group": "tapir", "starts": "2026-11-16", "written_by": "Jory Lindahl",
        "notes": "week by week",
        "days": [{"morning": "roots", "afternoon": "roots"},
                 {"morning": "roots", "afternoon": "no feed"}],
    },
    "treats.yaml": {
        "record": "treats",
        "treats": [{"on": "2026-11-25", "group": "tapir", "slot": "noon", "purpose": "enrichment",
                    "given_by": "Mina Okoro", "animals": ["T1"], "notes": "a birthday",
                    "items": [{"food": "carrot", "amount": "50 g per animal",
                               "presentation": "on a stick"}]}],
    },
    "limits.yaml": {
        "record": "limits",
        "limits": [{"group": "tapir", "quantity": "sugars", "at_most": "1 % of dry matter",
                    "over": "rota", "severity": "medium", "why": "teeth", "source": "a letter",
                    **VALE}],
    },
    "signed.yaml": {
        "record": "sign-off", "by": "Dr Vale", "role": "vet", "on": "2026-11-24",
        "groups": ["tapir"], "conditions": ["weigh them"], "next_review": "2027-05-24",
        "statement": "approved", "notes": "on the phone",
        "accepts": [{"rule": "sugar-ceiling", "group": "tapir", "reason": "until the pellet comes",
                     "until": "2026-12-31", "heads": 2, "weights": {"T1": "180 to 220 kg"}}],
    },
}  # fmt: skip
