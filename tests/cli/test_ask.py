"""`truestand ask` as a person and as a program use it."""

import io
import json
import sys
from typing import Any

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from kb.answer import Answerer, Question
from kb.cli import cli, run
from kb.cli.output import MOST_LINES
from kb.wire import answer_to_wire

FIELDS = {"causes", "none_of_ours", "answered", "settled", "stated", "next", "also_found", "ride", "cautions", "error"}


def ask(*arguments: str, stdin: str | bytes | None = None) -> Result:
    return CliRunner().invoke(cli, ["ask", *arguments], input=stdin)


def batch(lines: list[str]) -> list[dict[str, Any]]:
    result = ask("--batch", stdin="\n".join(lines) + "\n")
    assert result.exit_code == 0, result.output
    return [json.loads(line) for line in result.stdout.splitlines()]


@pytest.mark.parametrize(
    ("text", "cause"),
    [
        ("chain jumps on the middle sprockets when I push hard, new chain last month", "cassette-worn"),
        ("the rotor rubs only when I sprint out of the saddle", "disc-flex-rub"),
        ("my bar turns in its stem when I go over kerbs", "handlebar-clamp-slip"),
        ("saddle creaks when I pedal seated", "saddle-rail-creak"),
        ("gears are out since I swapped the wheels", "wheel-swap-index-shift"),
    ],
)
def test_the_five_everyday_cases_are_answered_right(text: str, cause: str) -> None:
    found = json.loads(ask("--json", text).stdout)
    assert found["causes"][0]["id"] == cause
    assert found["answered"]


def test_human_output_fits_the_stand_and_says_what_to_do() -> None:
    lines = ask("chain jumps under load, new chain last month").stdout.splitlines()
    assert len(lines) <= MOST_LINES
    assert lines[0] == "Probable causes"
    assert any("ride" in line.lower() for line in lines)


def test_text_comes_from_standard_input_where_none_is_given() -> None:
    assert json.loads(ask("--json", stdin="saddle creaks when seated").stdout)["causes"]


@pytest.mark.parametrize("text", ["", "   ", "\n"])
def test_an_empty_complaint_is_refused(text: str) -> None:
    assert run(cli, ["ask", text]) == 2


@pytest.mark.parametrize(
    "text",
    ["🚲🚲🚲", "<script>alert(1)</script>", "Der Sattelschlepper steht quer auf der Autobahn", "lorem ipsum dolor sit amet", "12345", "((((((a+)+)+)+"],
)
def test_what_no_article_fits_is_said_plainly(text: str) -> None:
    result = ask("--json", text)
    assert result.exit_code == 0
    assert json.loads(result.stdout)["answered"] is False


def test_bad_input_ends_with_code_2_and_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(cli, ["ask", "chain slips", "-r", "nonsense"]) == 2
    assert run(cli, ["ask", "chain slips", "-r", "cassette-teeth=purple"]) == 2
    assert run(cli, ["ask", "x" * 20_001]) == 2
    assert run(cli, ["ask", "chain slips", "-r", "rotor-thickness=40"]) == 2
    assert run(cli, ["ask", "chain slips", "-r", "no-such-check=1"]) == 1
    err = capsys.readouterr().err
    assert "Traceback" not in err
    assert "even, hooked, damaged" in err
    assert "20000" in err


def test_binary_input_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    class Input(io.BytesIO):
        buffer = property(lambda self: self)

        def isatty(self) -> bool:
            return False

    monkeypatch.setattr(sys, "stdin", Input(b"\xff\xfe\x00\x01"))
    assert run(cli, ["ask"]) == 2


def test_readings_change_the_answer_and_are_kept_out_of_the_next_checks() -> None:
    asked = ("--json", "--top", "200", "chain slips when I push hard")
    before = json.loads(ask(*asked).stdout)
    after = json.loads(ask(*asked, "-r", "freehub-engagement=slips").stdout)

    def of_freehub(answer: dict[str, Any]) -> float:
        return next(c["probability"] for c in answer["causes"] if c["id"] == "freehub-pawls-sticking")

    assert of_freehub(after) > 5 * of_freehub(before)
    assert "freehub-engagement" not in {step["check"] for step in after["next"]}


def test_batch_answers_in_order_and_goes_on_after_a_bad_line() -> None:
    lines = [
        json.dumps({"text": "saddle creaks when seated", "top": 3}),
        "not json",
        json.dumps({"text": "rotor rubs", "readings": {"rotor-runout": 0.6}, "skill": "rider"}),
        json.dumps({"text": "rotor rubs", "readings": {"rotor-runout": "wonky"}}),
        json.dumps({"text": 5}),
        json.dumps({"text": "rotor rubs", "readings": {"rotor-runout": -3}}),
    ]
    found = batch(lines)
    assert len(found) == len(lines)
    assert [item["error"] is None for item in found] == [True, False, True, False, False, False]
    assert all(set(item) == FIELDS for item in found)
    assert len(found[0]["causes"]) == 3
    assert "straight, marginal, bent" in found[3]["error"]


json_values = st.recursive(
    st.none() | st.booleans() | st.floats(allow_nan=False) | st.text(max_size=20),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=10), inner, max_size=3),
    max_leaves=6,
)


@settings(max_examples=8)
@given(st.lists(json_values | st.dictionaries(st.sampled_from(["text", "readings", "skill", "top"]), json_values), min_size=1, max_size=4))
def test_every_line_of_any_batch_gets_one_answer_of_the_full_shape(values: list[object]) -> None:
    found = batch([json.dumps(value) for value in values])
    assert len(found) == len(values)
    assert all(set(item) == FIELDS for item in found)


def test_no_character_of_an_answer_ends_its_line_early() -> None:
    (found,) = batch([json.dumps({"text": "x", "\x85\u2028": None})])
    assert found["error"].endswith("checks, readings, skill, struck, text, top")


@pytest.mark.parametrize("sound", ["1.75", "1.85"])
def test_a_number_well_inside_its_limit_clears_the_part(sound: str) -> None:
    found = json.loads(ask("--json", f"The rotor is {sound} mm thick and it rubs a bit.").stdout)
    assert not found["settled"] or found["causes"][0]["id"] != "disc-rotor-thin"
    thin = json.loads(ask("--json", "The rotor is 1.32 mm thick and it rubs a bit.").stdout)
    assert thin["causes"][0]["id"] == "disc-rotor-thin"


def test_batch_json_and_python_give_the_same_answer(answerer: Answerer) -> None:
    text = "brake lever comes to the bar, no leak"
    from_batch = batch([json.dumps({"text": text})])[0]
    assert from_batch == json.loads(ask("--json", text).stdout) == json.loads(json.dumps(answer_to_wire(answerer.answer(Question(text)))))


def test_a_walk_goes_on_until_it_is_settled() -> None:
    result = ask("--walk", "chain slips when I push hard", stdin="\n".join(["wrong answer"] + [""] * 2 + ["q"]) + "\n")
    assert result.exit_code == 0
    assert "Do this next" in result.stdout
    settled = ask("--walk", "rotor wobbles and zings once each wheel turn", stdin="bent\nbent\nbent\nq\n")
    assert "rotor" in settled.stdout
