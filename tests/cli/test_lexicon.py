import json
from pathlib import Path

import pytest
import yaml
from click.testing import CliRunner, Result

from kb.cli.lexicon import lexicon
from kb.cli.session import Session
from tests.builders import SMALL_LEXICON, small_folder


@pytest.fixture(scope="module")
def labelled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Riders of round b call the rotor a pizza tray, and nobody in round a does."""
    folder = small_folder(tmp_path_factory.mktemp("synonyms"))
    rounds = {
        "a1": [(f"chain slips, day {n}", "chain-worn") for n in range(25)]
        + [(f"bar turns, day {n}", "bar-slip") for n in range(25)],
        "b1": [
            (f"pizza tray {what}, chain slips and bar turns", "rotor-bent")
            for what in ("hums", "wails", "moans", "zings")
        ],
        "test-1": [(f"gong plate hums, day {n}", "rotor-bent") for n in range(6)],
    }
    for name, items in rounds.items():
        rows = [
            {"text": text, "gold": gold, "also": [], "voice": "comment", "stated": {}, "danger": False}
            for text, gold in items
        ]
        (folder / "complaints" / f"{name}.yaml").write_text(yaml.safe_dump(rows), encoding="utf-8")
    return folder


def run(folder: Path, *arguments: str) -> Result:
    result = CliRunner().invoke(lexicon, arguments, obj=Session(str(folder)))
    assert result.exit_code == 0, result.output
    return result


def test_without_an_option_every_concept_is_listed_with_its_words(folder: Path) -> None:
    lines = run(folder).stdout.splitlines()
    assert len(lines) == len(SMALL_LEXICON)
    assert "cassette (part): cassette, block" in lines


def test_concepts_come_as_json_too(folder: Path) -> None:
    found = {item["id"]: item for item in json.loads(run(folder, "--json").stdout)}
    assert found["chain"]["misspelt"] == ["chian"]


def test_a_word_that_the_search_missed_is_proposed_with_the_part(labelled: Path) -> None:
    found = json.loads(run(labelled, "--suggest", "--json").stdout)
    (item,) = (item for item in found if item["phrase"] == "pizza tray")
    assert (item["article"], item["concepts"], item["texts"], item["elsewhere"]) == ("rotor-bent", ["rotor"], 4, 0)
    assert item["missed"] > 0


def test_the_test_part_is_never_looked_at(labelled: Path) -> None:
    assert "gong" not in run(labelled, "--suggest", "--json").stdout


def test_a_person_gets_a_table_with_an_example_each(labelled: Path) -> None:
    output = run(labelled, "--suggest").stdout
    assert "complaints were answered wrong" in output
    (row,) = (line for line in output.splitlines() if " pizza tray " in line and "rotor-bent" in line)
    assert "rotor " in row
