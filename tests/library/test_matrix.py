"""The matrix of checks by articles: who says what, contradictions, rivals alike, and how the command gives them out."""

import json
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st

from kb.cli import run
from kb.cli.lint import lint
from kb.cli.session import Session
from kb.library.load import load_library
from kb.library.matrix import (
    contradictions,
    distance,
    inseparable_rivals,
    most_telling,
    parts_looked_at,
    users_of_checks,
)
from kb.library.models import CauseId, CheckId, Library
from tests.builders import article_fields, check_fields, measured_fields, small_articles, write_folder

SVG = "{http://www.w3.org/2000/svg}"
CHECKS = {"chain-length": measured_fields(), "teeth": check_fields()}
WORN_TEETH = {"even": 0.05, "hooked": 0.95}
SOUND_TEETH = {"even": 0.92, "hooked": 0.08}


def with_teeth(shows: dict[str, float], number: int, **changes: Any) -> dict[str, Any]:
    """An article that is about the saddle and says something of the sprocket teeth."""
    fields: dict[str, Any] = {
        "parts": ["saddle"],
        "symptoms": [f"saddle noise {number} of kind {kind}" for kind in range(6)],
        "checks": [
            {"check": "teeth", "shows": shows},
            {"check": "chain-length", "shows": {"short": 0.8, "long": 0.2}},
        ],
    }
    return article_fields(**(fields | changes))


def a_library(folder: Path, articles: dict[str, dict[str, Any]], checks: dict[str, Any] | None = None) -> Library:
    return load_library(write_folder(folder, articles, checks or CHECKS))


def distributions(names: tuple[str, ...]) -> st.SearchStrategy[dict[str, float]]:
    def normed(weights: list[int]) -> dict[str, float]:
        return {name: weight / sum(weights) for name, weight in zip(names, weights, strict=True)}

    return st.lists(st.integers(1, 99), min_size=len(names), max_size=len(names)).map(normed)


@given(*[distributions(("a", "b", "c"))] * 3)
def test_distance_is_a_metric_between_0_and_1(
    one: dict[str, float], two: dict[str, float], three: dict[str, float]
) -> None:
    assert distance(one, one) == 0
    assert 0 <= distance(one, two) == distance(two, one) <= 1
    assert distance(one, three) <= distance(one, two) + distance(two, three) + 1e-8


@given(distributions(("a", "b", "c")), distributions(("a", "b", "c")))
def test_most_telling_outcome_is_never_one_that_speaks_against(
    shows: dict[str, float], usual: dict[str, float]
) -> None:
    outcome = most_telling(shows, usual)
    assert shows[outcome] >= usual[outcome] - 1e-12


def test_rare_outcome_tells_more_than_a_likelier_one_that_is_usual() -> None:
    assert most_telling({"even": 0.6, "hooked": 0.4}, {"even": 0.9, "hooked": 0.1}) == "hooked"


def test_each_check_lists_its_articles_farthest_from_usual_first(small_library: Library) -> None:
    rows = {row.check: row.uses for row in users_of_checks(small_library)}
    teeth = rows[CheckId("teeth")]
    assert {use.article for use in teeth} == set(small_library.articles)
    assert (teeth[0].article, teeth[0].outcome, teeth[0].probability) == ("cassette-worn", "hooked", 0.95)
    assert [use.from_usual for use in teeth] == sorted((use.from_usual for use in teeth), reverse=True)


def test_check_that_no_article_uses_keeps_an_empty_row(tmp_path: Path) -> None:
    articles = {"seating/one": with_teeth(SOUND_TEETH, 1)}
    library = a_library(tmp_path, articles)
    without = Library({}, library.checks, library.lexicon, ())
    assert [row.uses for row in users_of_checks(without)] == [(), ()]


def test_parts_are_read_from_the_names_in_any_number(small_library: Library) -> None:
    assert parts_looked_at(small_library.checks[CheckId("teeth")], small_library) == {"sprocket"}


def test_word_of_several_meanings_needs_its_company(tmp_path: Path) -> None:
    checks = {
        "chain-length": measured_fields(),
        "teeth": check_fields(what="look at the stem", named=["stem bolts"]),
    }
    library = a_library(tmp_path / "bar", small_articles(), checks)
    assert parts_looked_at(library.checks[CheckId("teeth")], library) == {"stem"}
    checks["teeth"] = check_fields(what="look at the stem", named=["stem of the tube"])
    library = a_library(tmp_path / "tube", small_articles(), checks)
    assert parts_looked_at(library.checks[CheckId("teeth")], library) == {"stem", "valve"}


def three_on_the_saddle(**odd: Any) -> dict[str, dict[str, Any]]:
    return {
        "seating/odd": with_teeth(WORN_TEETH, 1, **odd),
        "seating/one": with_teeth(SOUND_TEETH, 2),
        "seating/two": with_teeth({"even": 0.88, "hooked": 0.12}, 3),
    }


def test_article_alone_on_a_part_of_no_concern_to_it_is_a_contradiction(tmp_path: Path) -> None:
    (found,) = contradictions(a_library(tmp_path, three_on_the_saddle()))
    assert (found.check, found.article, found.against) == ("teeth", "odd", "one")
    assert abs(found.p_article - found.p_against) == pytest.approx(0.87)
    assert found.from_usual == pytest.approx(0.85)
    assert found.from_others == pytest.approx(0.85)


@pytest.mark.parametrize("parts", [["sprocket"], ["saddle", "cassette"]])
def test_article_about_the_part_or_what_it_belongs_to_may_say_what_it_likes(parts: list[str], tmp_path: Path) -> None:
    assert contradictions(a_library(tmp_path, three_on_the_saddle(parts=parts))) == ()


def test_article_about_a_part_of_what_is_looked_at_may_say_what_it_likes(tmp_path: Path) -> None:
    checks = {**CHECKS, "teeth": check_fields(what="look at the cassette", named=["cassette"])}
    assert contradictions(a_library(tmp_path, three_on_the_saddle(parts=["sprocket"]), checks)) == ()


def test_other_systems_are_no_witnesses(tmp_path: Path) -> None:
    articles = three_on_the_saddle()
    articles = {"brakes/odd": articles.pop("seating/odd"), **articles}
    assert contradictions(a_library(tmp_path, articles)) == ()


def test_article_that_shows_the_usual_does_not_contradict_an_odd_one(tmp_path: Path) -> None:
    articles = three_on_the_saddle()
    del articles["seating/two"]
    assert [item.article for item in contradictions(a_library(tmp_path, articles))] == ["odd"]


def test_questions_put_to_memory_are_left_out(tmp_path: Path) -> None:
    checks = {**CHECKS, "teeth": check_fields(minutes=0.5)}
    assert contradictions(a_library(tmp_path, three_on_the_saddle(), checks)) == ()


def test_rivals_linked_either_way_with_equal_shows_are_found_once(tmp_path: Path) -> None:
    articles = {
        "seating/one": with_teeth(SOUND_TEETH, 1, see=["two"]),
        "seating/two": with_teeth({"even": 0.7, "hooked": 0.3}, 2, see=["one"]),
    }
    (pair,) = inseparable_rivals(a_library(tmp_path, articles))
    assert (pair.first, pair.second, pair.best) == ("one", "two", "teeth")
    assert pair.apart == pytest.approx(0.22)


def test_check_that_only_one_rival_lists_counts_against_the_usual_of_the_other(tmp_path: Path) -> None:
    articles = {
        "seating/one": with_teeth(WORN_TEETH, 1, see=["two"]),
        "seating/two": with_teeth(SOUND_TEETH, 2, checks=[with_teeth(SOUND_TEETH, 2)["checks"][1]]),
    }
    articles["seating/two"]["checks"].append({"check": "other", "shows": SOUND_TEETH})
    assert inseparable_rivals(a_library(tmp_path, articles, {**CHECKS, "other": check_fields()})) == ()


@pytest.mark.parametrize("changes", [{"see": []}, {"see": ["two"], "kind": "advice"}])
def test_only_faults_that_point_to_each_other_are_rivals(changes: dict[str, Any], tmp_path: Path) -> None:
    articles = {
        "seating/one": with_teeth(SOUND_TEETH, 1, **changes),
        "seating/two": with_teeth(SOUND_TEETH, 2),
    }
    assert inseparable_rivals(a_library(tmp_path, articles)) == ()


def test_faults_without_any_check_are_inseparable_for_want_of_one(small_library: Library) -> None:
    bare = {
        id: article.__class__(**{name: getattr(article, name) for name in article.__slots__} | {"checks": ()})
        for id, article in small_library.articles.items()
    }
    (pair,) = inseparable_rivals(Library(bare, {}, small_library.lexicon, ()))
    assert (pair.first, pair.second, pair.best, pair.apart) == (CauseId("cassette-worn"), "chain-worn", None, 0.0)


def command(folder: Path, *arguments: str) -> str:
    result = CliRunner().invoke(lint, ["--matrix", *arguments], obj=Session(str(folder)), catch_exceptions=False)
    assert result.exit_code == 0
    return result.output


def test_text_names_checks_articles_contradictions_and_rivals(tmp_path: Path) -> None:
    articles = three_on_the_saddle()
    articles["seating/one"]["see"] = ["two"]
    text = command(write_folder(tmp_path, articles, CHECKS))
    assert "teeth (look at the sprocket teeth): 3 article(s)" in text
    assert "teeth: odd says" in text
    assert "one / two: best is teeth, apart 0.04" in text
    assert "1 contradiction(s), 1 inseparable pair(s)." in text


def test_json_holds_what_the_functions_return(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, three_on_the_saddle(), CHECKS)
    library = load_library(folder)
    content = json.loads(command(folder, "--json"))
    assert [row["check"] for row in content["checks"]] == list(library.checks)
    assert [item["article"] for item in content["contradictions"]] == [x.article for x in contradictions(library)]
    assert content["inseparable"] == []


def test_picture_has_a_cell_for_every_use_and_a_label_for_every_row_and_column(tmp_path: Path) -> None:
    folder = write_folder(tmp_path, three_on_the_saddle(), CHECKS)
    library = load_library(folder)
    command(folder, "--svg", str(tmp_path / "matrix.svg"))
    picture = ElementTree.parse(tmp_path / "matrix.svg").getroot()
    cells = [item for item in picture.iter(f"{SVG}rect") if item.find(f"{SVG}title") is not None]
    assert len(cells) == sum(len(row.uses) for row in users_of_checks(library))
    words = {item.text for item in picture.iter(f"{SVG}text")}
    assert {"Checks by articles", *library.articles, *library.checks} <= words
    ringed = [item for item in cells if item.get("stroke")]
    assert len(ringed) == len(contradictions(library)) == 1
    shade = {(item.findtext(f"{SVG}title") or "").split(",")[0]: float(item.get("fill-opacity", 0)) for item in cells
             if "teeth:" in (item.findtext(f"{SVG}title") or "")}  # fmt: skip
    assert shade["odd"] > shade["two"]


def test_picture_survives_names_that_are_markup(tmp_path: Path) -> None:
    articles = {"a<b & c/one": with_teeth(WORN_TEETH, 1)}
    folder = write_folder(tmp_path, articles, CHECKS)
    command(folder, "--svg", str(tmp_path / "matrix.svg"))
    picture = ElementTree.parse(tmp_path / "matrix.svg").getroot()
    assert "a<b & c" in {item.text for item in picture.iter(f"{SVG}text")}


def test_picture_that_cannot_be_written_is_bad_input(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    from kb.cli import cli

    code = run(cli, ["--articles", str(folder), "lint", "--matrix", "--svg", str(tmp_path / "no" / "matrix.svg")])
    assert code == 2
    assert "a file that can be written" in capsys.readouterr().err


def test_picture_without_matrix_is_refused(folder: Path) -> None:
    result = CliRunner().invoke(lint, ["--svg", "matrix.svg"], obj=Session(str(folder)))
    assert result.exit_code == 2
    assert "--matrix" in result.output
