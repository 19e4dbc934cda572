import json
from pathlib import Path

from click.testing import CliRunner
from jsonschema import Draft202012Validator

from kb.cli import cli
from kb.library.front_matter import split_front_matter
from kb.library.load import articles_folder
from kb.library.yaml_source import read_yaml


def test_sound_articles_end_with_code_0() -> None:
    result = CliRunner().invoke(cli, ["lint"])
    assert result.exit_code == 0, result.output
    assert result.stdout.startswith("0 problem(s)")


def test_a_broken_article_is_named_with_file_and_line_and_ends_with_code_1(folder: Path) -> None:
    path = folder / "brakes" / "rotor-bent.md"
    path.write_text(path.read_text().replace("kind: fault", "kind: mystery"))
    result = CliRunner().invoke(cli, ["--articles", str(folder), "lint"])
    assert result.exit_code == 1
    assert f"{path}:3: field: kind: found 'mystery', allowed: fault, fit, advice" in result.stdout
    (row,) = json.loads(CliRunner().invoke(cli, ["--articles", str(folder), "lint", "--json"]).stdout)
    assert (row["line"], row["rule"]) == (3, "field")


def test_every_shipped_front_matter_fits_the_schema_for_editors() -> None:
    schema = json.loads(CliRunner().invoke(cli, ["lint", "--schema"]).stdout)
    validator = Draft202012Validator(schema)
    for path in sorted(articles_folder().glob("*/*.md"))[::9]:
        halves = split_front_matter(path.read_text(encoding="utf-8"))
        assert halves is not None
        assert list(validator.iter_errors(read_yaml(halves.front_matter, path).value)) == [], path


def test_the_schema_refuses_what_lint_refuses() -> None:
    schema = json.loads(CliRunner().invoke(cli, ["lint", "--schema"]).stdout)
    assert list(Draft202012Validator(schema).iter_errors({"title": "A", "kind": "mystery"}))
