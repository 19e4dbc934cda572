"""Wrong shapes in files are reported with file, line and field; nothing is coerced."""

from pathlib import Path
from typing import Any

import pytest

from kb.library.load import read_library
from tests.builders import article_fields, check_fields, measured_fields, small_articles, write_folder


def problems_of(tmp_path: Path, **changes: Any) -> list[str]:
    articles = {**small_articles(), "drivetrain/chain-worn": {**article_fields(), **changes}}
    write_folder(tmp_path, articles, {"chain-length": measured_fields(), "teeth": check_fields()})
    return [problem.message for problem in read_library(tmp_path)[1]]


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"title": 5}, "title: expected text, found a number (5)"),
        ({"title": ""}, "title: expected text, found an empty one"),
        ({"kind": "mystery"}, "kind: found 'mystery', allowed: fault, fit, advice"),
        ({"symptoms": "slips"}, "symptoms: expected a list, found text ('slips')"),
        ({"parts": ["chain", 7]}, "parts.1: expected text, found a number (7)"),
        ({"colour": "red"}, "colour: no such field; allowed: "),
        ({"body": "text"}, "body: comes from the file's place, leave it out"),
        ({"checks": [{"check": "teeth", "shows": {"even": "half"}}]}, "checks.0.shows.even: expected a number, found text"),
        ({"fix": {"steps": ["a"]}}, "fix.minutes: missing, this field is required"),
    ],
)
def test_wrong_shape_is_named_with_its_field(changes: dict[str, Any], message: str, tmp_path: Path) -> None:
    assert any(found.startswith(message) for found in problems_of(tmp_path, **changes))


def test_missing_field_is_named(tmp_path: Path) -> None:
    fields = article_fields()
    del fields["ride"]
    write_folder(tmp_path, {**small_articles(), "drivetrain/chain-worn": fields}, {"chain-length": measured_fields(), "teeth": check_fields()})
    assert [p.rule for p in read_library(tmp_path)[1]] == ["field"]


def test_article_without_front_matter_is_reported(folder: Path) -> None:
    (folder / "brakes" / "rotor-bent.md").write_text("Just text.\n")
    assert [problem.rule for problem in read_library(folder)[1]] == ["front-matter"]


def test_file_that_is_not_utf8_is_reported(folder: Path) -> None:
    (folder / "brakes" / "rotor-bent.md").write_bytes(b"---\ntitle: \xff\n---\n")
    assert [problem.rule for problem in read_library(folder)[1]] == ["encoding"]


def test_measured_check_with_a_phrase_is_reported(tmp_path: Path) -> None:
    checks = {"chain-length": measured_fields(outcomes={"short": "short", "long": "long"}), "teeth": check_fields()}
    write_folder(tmp_path, small_articles(), checks)
    (problem,) = read_library(tmp_path)[1]
    assert "a measured check takes [low, high]" in problem.message


def test_same_id_in_two_systems_is_reported_once_with_both_places(folder: Path) -> None:
    text = (folder / "brakes" / "rotor-bent.md").read_text()
    (folder / "drivetrain" / "rotor-bent.md").write_text(text)
    (problem,) = read_library(folder)[1]
    assert problem.rule == "duplicate-id"
    assert "brakes" in problem.message
