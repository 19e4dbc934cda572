"""The `work` command: worked questions with outside answers, its two kinds of output, and its refusals."""

import json
from pathlib import Path
from typing import Any

import pytest
import yaml
from click.testing import CliRunner

from kb.cli.work import work
from kb.errors import BadInput, NotKnown
from kb.workings import all_workings

_FILE = Path(__file__).parent / "cases" / "questions.yaml"
_QUESTIONS: list[dict[str, Any]] = yaml.safe_load(_FILE.read_text(encoding="utf-8"))


def _json(*arguments: str) -> dict[str, Any]:
    run = CliRunner().invoke(work, [*arguments, "--json"], catch_exceptions=False)
    return json.loads(run.output)


@pytest.mark.parametrize("question", _QUESTIONS, ids=[item["title"] for item in _QUESTIONS])
def test_a_worked_question_gets_the_published_answer(question: dict[str, Any]) -> None:
    assert question["source"]
    results = _json(*question["ask"])["results"]
    for key, expected in question["expect"].items():
        found = results[key]["value"]
        if isinstance(expected, str):
            assert found == expected
        else:
            assert found == pytest.approx(expected, abs=question["within"] + 1e-9)


def test_there_are_at_least_forty_questions_and_none_is_asked_twice() -> None:
    asked = {tuple(item["ask"]) for item in _QUESTIONS}
    assert len(asked) == len(_QUESTIONS) >= 40


def test_json_has_the_keys_of_the_contract_and_tells_units() -> None:
    wire = _json("chain-elongation", "length=306.4 ± 0.2 mm", "links=24")
    assert list(wire)[:6] == ["name", "inputs", "results", "formula", "source", "cautions"]
    assert wire["name"] == "chain-elongation"
    assert wire["inputs"]["links"] == {"value": 24, "unit": "count"}
    entry = wire["results"]["elongation"]
    assert entry["unit"] == "%"
    assert entry["uncertainty"] == pytest.approx(0.2 / 304.8 * 100, rel=1e-3)
    assert wire["cautions"][-1].startswith("A marking on the part itself")


def test_reading_for_people_shows_formula_inputs_uncertainty_source_and_cautions() -> None:
    text = CliRunner().invoke(work, ["clamp-fit", "bore=31.8", "diameter=31.6"], catch_exceptions=False).output
    for part in ("31.800 ± 0.050 mm", "0.200 ± 0.071 mm", "Formula:", "Source:", "Assumed:", "95 times in 100", "  ! "):
        assert part in text
    assert all(len(line) <= 96 for line in text.splitlines())


def test_a_warning_is_printed_outside_the_usual_range() -> None:
    text = CliRunner().invoke(work, ["chain-length", "chainstay=1000", "chainring=50", "sprocket=34"]).output
    assert "Warning: chainstay 1000 mm lies outside 370 to 560 mm" in text


def test_alone_it_lists_every_working_on_a_line() -> None:
    lines = CliRunner().invoke(work, []).output.splitlines()
    assert [line.split()[0] for line in lines] == [item.name for item in all_workings()]
    assert all(len(line.split(maxsplit=1)[1]) > 10 for line in lines)


def test_about_names_inputs_with_units_and_bounds() -> None:
    text = CliRunner().invoke(work, ["gear", "--about"]).output
    assert "chainring (teeth, 16 to 80)" in text
    assert "cadence (1/min, 1 to 250; 90 if left out)" in text


def test_svg_prints_the_drawing_alone() -> None:
    text = CliRunner().invoke(work, ["hanger-angle", "difference=4", "radius=311", "--svg"]).output
    assert text.startswith("<svg ")
    assert text.rstrip().endswith("</svg>")


@pytest.mark.parametrize(
    ("arguments", "field"),
    [
        (["chain-length", "chainstay=0", "chainring=50", "sprocket=34"], "chainstay"),
        (["chain-length", "chainstay=-405", "chainring=50", "sprocket=34"], "chainstay"),
        (["chain-length", "chainstay=405 kg", "chainring=50", "sprocket=34"], "chainstay"),
        (["chain-length", "chainstay=405", "chainring=200", "sprocket=34"], "chainring"),
        (["chain-length", "chainstay=405", "chainring=50.5", "sprocket=34"], "chainring"),
        (["chain-length", "chainstay=405", "chainring=50"], "sprocket"),
        (["chain-length", "chainstay=405", "chainring=50", "sprocket="], "sprocket"),
        (["chain-length", "chainstay=405", "chainring=50", "sprocket=34", "colour=red"], "colour"),
        (["chain-length", "chainstay=405", "chainstay=410", "chainring=50", "sprocket=34"], "chainstay"),
        (["chain-length", "405"], "key=value"),
        (["bolt-proof-share", "preload=5000", "size=M5", "grade=soft"], "grade"),
        (["bolt-proof-share", "preload=5000", "size=5", "grade=8.8"], "size"),
        (["hole-stress", "width=20", "hole=20"], "hole"),
        (["gauge-decision", "value=1", "uncertainty=0", "limit=2"], "uncertainty"),
        (["gear", "chainring=50", "sprocket=0"], "sprocket"),
        (["pressure", "value=5 bar", "--svg"], "--svg"),
    ],
)  # fmt: skip
def test_impossible_input_is_refused_by_the_name_of_its_field(arguments: list[str], field: str) -> None:
    run = CliRunner().invoke(work, arguments)
    assert isinstance(run.exception, BadInput)
    assert run.exception.field == field
    assert run.exception.expected


def test_every_fault_is_told_not_only_the_first() -> None:
    run = CliRunner().invoke(work, ["chain-length", "chainstay=0", "chainring=200", "sprocket=34"])
    assert isinstance(run.exception, BadInput)
    assert run.exception.field == "chainstay"
    assert "chainring" in run.output


def test_an_unknown_working_names_the_nearest() -> None:
    run = CliRunner().invoke(work, ["chain-lenght"])
    assert isinstance(run.exception, NotKnown)
    assert "chain-length" in run.exception.near
