"""Each lint rule has a smallest bad folder here; the whole list is checked against the rules in code and in DEVELOPERS.md."""

import re
from pathlib import Path
from typing import Any

import pytest

from kb.errors import LibraryInvalid
from kb.library.load import load_library, read_library
from kb.library.rules import RULES
from tests.builders import SMALL_LEXICON, article_fields, check_fields, measured_fields, small_articles, write_folder

CHECKS = {"chain-length": measured_fields(), "teeth": check_fields()}


def worn(**changes: Any) -> dict[str, dict[str, Any]]:
    return {**small_articles(), "drivetrain/chain-worn": article_fields(**changes)}


def lexicon(**changes: dict[str, Any]) -> dict[str, dict[str, Any]]:
    return {**SMALL_LEXICON, **changes}


BROKEN: dict[str, dict[str, Any]] = {
    "unknown-check": {"articles": worn(checks=[*article_fields()["checks"], {"check": "nope", "shows": {"a": 1.0}}])},
    "check-twice": {"articles": worn(checks=[article_fields()["checks"][0], article_fields()["checks"][0]])},
    "outcomes": {"articles": worn(checks=[{"check": "teeth", "shows": {"even": 1.0}}, article_fields()["checks"][0]])},
    "probabilities": {
        "articles": worn(checks=[{"check": "teeth", "shows": {"even": 0.5, "hooked": 0.4}}, article_fields()["checks"][0]])
    },
    "check-outcomes": {"checks": {**CHECKS, "teeth": check_fields(usual={"even": 0.9, "hooked": 0.2})}},
    "bands": {
        "checks": {**CHECKS, "chain-length": measured_fields(outcomes={"short": [None, 0.4], "long": [0.5, None]})}
    },
    "units": {"checks": {**CHECKS, "chain-length": measured_fields(unit="furlongs per pint of")}},
    "torque": {
        "articles": worn(
            fix={**article_fields()["fix"], "torque": [{"bolt": "b", "min": 9, "max": 5, "unit": "N*m"}]},
        )
    },
    "measured": {"checks": {**CHECKS, "chain-length": measured_fields(resolution=None)}},
    "unused-check": {"checks": {**CHECKS, "other": check_fields()}},
    "unknown-article": {"articles": worn(see=["nowhere"])},
    "unknown-concept": {"articles": worn(parts=["gizmo"])},
    "thin-fault": {"articles": worn(symptoms=["one", "two", "three", "four", "five"])},
    "symptom-twice": {"articles": worn(symptoms=[*article_fields()["symptoms"], "hooked cogs at the back"])},
    "no-caution": {"articles": worn(cautions=[])},
    "no-source": {"articles": worn(sources=[])},
    "phrase-twice": {"lexicon": lexicon(link={"kind": "part", "words": ["chain"]})},
    "company": {"lexicon": lexicon(link={"kind": "part", "words": ["link"], "company": {"loop": ["chain"]}})},
    "statement": {"statements": {"teeth": {"even": ["cogs are fine"], "crooked": ["cogs lean over"]}}},
    "complaint": {"complaints": [{"text": "it slips", "gold": "nope", "stated": {}}]},
}


@pytest.mark.parametrize("rule", sorted(BROKEN))
def test_rule_finds_its_smallest_breach_and_nothing_else(rule: str, tmp_path: Path) -> None:
    parts = {"articles": small_articles(), "checks": CHECKS, **BROKEN[rule]}
    write_folder(tmp_path, **parts)
    _, problems = read_library(tmp_path)
    assert {problem.rule for problem in problems} == {rule}
    assert all(problem.line > 0 and problem.path.exists() for problem in problems)


def test_every_rule_has_a_breach_in_this_file() -> None:
    named = {re.match(r"Rule ([a-z-]+):", rule.__doc__ or "").group(1) for rule in RULES}  # type: ignore[union-attr]
    assert named == set(BROKEN)


def test_sound_folder_has_no_problem(folder: Path) -> None:
    assert read_library(folder)[1] == ()


def test_all_problems_come_at_once_in_order_of_file_and_line(tmp_path: Path) -> None:
    articles = worn(parts=["gizmo"], see=["nowhere"], cautions=[])
    write_folder(tmp_path, articles, CHECKS)
    with pytest.raises(LibraryInvalid) as caught:
        load_library(tmp_path)
    assert {problem.rule for problem in caught.value.problems} == {"unknown-concept", "unknown-article", "no-caution"}
    assert list(caught.value.problems) == sorted(caught.value.problems)


def test_problem_stands_on_the_line_of_the_item(tmp_path: Path) -> None:
    write_folder(tmp_path, worn(parts=["chain", "gizmo"]), CHECKS)
    _, (problem,) = read_library(tmp_path)
    line = (tmp_path / "drivetrain/chain-worn.md").read_text().splitlines()[problem.line - 1]
    assert "gizmo" in line


def test_shipped_articles_have_no_problem() -> None:
    from kb.library.load import articles_folder

    assert read_library(articles_folder())[1] == ()
