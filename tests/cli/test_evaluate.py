"""`truestand evaluate` on the small library with a test part and two rounds of training complaints."""

import json
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
import yaml
from click.testing import CliRunner, Result

from kb.cli.evaluate import evaluate
from kb.cli.output import WIDTH
from kb.cli.session import Session
from kb.errors import BadInput
from kb.opening import open_answerer
from kb.search.evaluation import Measure
from tests.builders import small_folder

Items = list[tuple[str, str | None]]

TEST: Items = [
    ("bar turns in the stem when I hit a kerb", "bar-slip"),
    ("squeak from my seat on climbs", "saddle-creak"),
    ("rotor rubs once each turn of the wheel", "rotor-bent"),
    ("hooked cogs and a chain that skips", "saddle-creak"),  # labelled wrong, so that one is missed
    ("how long to boil an egg", None),
]
ROUNDS: dict[str, Items] = {
    "a1": [("chain jumps when I push", "chain-worn"), ("levers point down since a pothole", "bar-slip")],
    "b1": [("disc goes zing", "rotor-bent"), ("ticking under me", "saddle-creak")],
    "none": [("best soup for a cold day", None), ("my printer is offline", None), ("train times to town", None)],
}


def write_complaints(folder: Path, name: str, items: Items) -> None:
    rows: list[dict[str, Any]] = [
        {"text": text, "gold": gold, "also": [], "voice": "comment", "stated": {}, "danger": False}
        for text, gold in items
    ]
    (folder / "complaints" / f"{name}.yaml").write_text(yaml.safe_dump(rows), encoding="utf-8")


@pytest.fixture(scope="module")
def labelled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = small_folder(tmp_path_factory.mktemp("labelled"))
    for name, items in (("test-1", TEST), *ROUNDS.items()):
        write_complaints(folder, name, items)
    open_answerer(folder)  # weights are kept at half precision: a run right after training would differ a little
    return folder


def run(folder: Path, *arguments: str) -> Result:
    return CliRunner().invoke(evaluate, arguments, obj=Session(str(folder)))


def run_json(folder: Path, *arguments: str) -> dict[str, Any]:
    result = run(folder, "--json", *arguments)
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def test_the_test_part_is_measured_by_default(labelled: Path) -> None:
    found = run_json(labelled)
    assert (found["part"], found["with_stated"]) == ("test", False)
    assert [item["text"] for item in found["complaints"]] == [text for text, _ in TEST]
    assert (found["scores"]["texts"], found["scores"]["answerable"]) == (5, 4)
    assert set(found["scores"]) == {"texts", "answerable", *map(str, Measure)}


def test_scores_are_the_means_of_the_complaints_listed(labelled: Path) -> None:
    found = run_json(labelled)
    placed = [item["placing"] for item in found["complaints"] if item["placing"]]
    assert found["scores"]["success_at_1"] == pytest.approx(sum(item["success_at_1"] for item in placed) / 4)
    assert 0 < found["scores"]["success_at_1"] < 1


def test_a_missed_complaint_is_listed_with_the_words_that_misled(labelled: Path) -> None:
    (swap,) = (swap for swap in run_json(labelled)["swapped"] if "saddle-creak" in swap["pair"])
    assert "cassette-worn" in swap["pair"]
    assert any(word in ("hooked", "cogs", "hooked cogs", "chain", "skips") for word in swap["words"])


def test_the_training_part_is_asked_of_rankers_that_have_not_seen_it(labelled: Path) -> None:
    found = run_json(labelled, "--part", "training")
    expected = sorted(text for items in ROUNDS.values() for text, _ in items)
    assert sorted(item["text"] for item in found["complaints"]) == expected


def test_a_person_gets_rows_for_all_systems_voices_and_kinds(labelled: Path) -> None:
    result = run(labelled)
    assert result.exit_code == 0
    for word in ("Test part, text alone", "by system", "steering", "by voice", "comment", "by kind", "none of ours"):
        assert word in result.stdout
    assert max(map(len, result.stdout.splitlines())) <= WIDTH


def test_the_bar_goes_to_standard_error_alone(labelled: Path) -> None:
    result = run(labelled, "--json")
    assert "asking 5" in result.stderr
    assert "asking" not in result.stdout


def test_a_run_compared_with_itself_has_not_changed(labelled: Path, tmp_path: Path) -> None:
    earlier = tmp_path / "earlier.json"
    earlier.write_text(run(labelled, "--json").stdout, encoding="utf-8")
    comparison = run_json(labelled, "--compare", str(earlier))["comparison"]
    assert (comparison["texts"], comparison["only_before"], comparison["only_after"]) == (5, 0, 0)
    assert {item["measure"] for item in comparison["differences"]} == set(map(str, Measure))
    # the file keeps nine decimals
    assert all(abs(value) < 1e-8 for item in comparison["differences"] for value in (item["change"], item["low"]))


def test_an_earlier_run_that_missed_more_shows_as_a_gain(labelled: Path, tmp_path: Path) -> None:
    earlier = run_json(labelled)
    for item in earlier["complaints"]:
        if item["placing"]:
            item["placing"] = {"success_at_1": 0, "success_at_3": 0, "reciprocal_rank": 0, "ndcg": 0}
    path = tmp_path / "worse.json"
    path.write_text(json.dumps(earlier), encoding="utf-8")
    result = run(labelled, "--compare", str(path))
    (row,) = (line for line in result.stdout.splitlines() if line.startswith("in 3"))
    assert "0.0%" in row
    assert row.endswith("* better")


@pytest.mark.parametrize("content", ["", "[]", "{}", '{"complaints": [{}]}', '{"complaints": 3}', "\ufeffx"])
def test_a_file_that_is_no_earlier_run_is_refused_with_its_name(labelled: Path, tmp_path: Path, content: str) -> None:
    path = tmp_path / "bad.json"
    path.write_text(content, encoding="utf-8")
    result = run(labelled, "--compare", str(path))
    assert isinstance(result.exception, BadInput)
    assert "bad.json" in str(result.exception)


def test_a_library_without_a_test_part_is_refused(tmp_path: Path) -> None:
    result = run(small_folder(tmp_path))
    assert isinstance(result.exception, BadInput)


def test_the_picture_is_an_svg_with_a_point_for_every_bin(labelled: Path, tmp_path: Path) -> None:
    path = tmp_path / "picture.svg"
    found = run_json(labelled, "--plot", str(path))
    root = ElementTree.parse(path).getroot()
    space = "{http://www.w3.org/2000/svg}"
    assert root.tag == f"{space}svg"
    assert len(root.findall(f"{space}circle")) == len(found["reliability"])
    title = root.findtext(f"{space}title")
    assert title is not None
    assert f"{found['scores']['calibration_error']:.3f}" in title


def test_a_picture_that_cannot_be_written_is_refused(labelled: Path, tmp_path: Path) -> None:
    result = run(labelled, "--plot", str(tmp_path / "no" / "such" / "folder.svg"))
    assert isinstance(result.exception, BadInput)


def test_stated_readings_are_weighed_in_when_asked_for(labelled: Path) -> None:
    assert run_json(labelled, "--with-stated")["with_stated"] is True
