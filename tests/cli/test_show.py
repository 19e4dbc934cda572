import json

import pytest
from click.testing import CliRunner

from kb.cli import cli, run


def test_an_article_is_printed_for_reading_and_as_json() -> None:
    text = CliRunner().invoke(cli, ["article", "cassette-worn"]).stdout
    assert "Sprockets" in text
    assert "N·m" in text
    assert json.loads(CliRunner().invoke(cli, ["article", "cassette-worn", "--json"]).stdout)["id"] == "cassette-worn"


def test_a_check_is_printed_with_its_outcomes() -> None:
    text = CliRunner().invoke(cli, ["check", "rotor-runout"]).stdout
    assert "straight" in text
    assert "0.4 mm or more" in text
    assert json.loads(CliRunner().invoke(cli, ["check", "rotor-runout", "--json"]).stdout)["unit"] == "mm"


@pytest.mark.parametrize(("command", "id", "near"), [("article", "chain-wron", "chain-worn"), ("check", "rotor-runot", "rotor-runout")])
def test_an_unknown_id_names_the_nearest(command: str, id: str, near: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(cli, [command, id]) == 1
    assert near in capsys.readouterr().err
