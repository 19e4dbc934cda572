"""Learning from statements, on a library of two checks made for the purpose."""

from pathlib import Path

import numpy as np
import pytest

from kb.library.load import load_library
from kb.library.models import CheckId, Complaint, Library
from kb.search.vocabulary import make_speller
from kb.text.analysis import Analyser
from kb.text.concepts import make_concept_finder
from kb.text.stated import StatedFinder, make_stated_finder
from kb.text.stated_training import train_statements
from kb.text.statement_model import StatementModel, statement_arrays, statement_model
from tests.builders import check_fields, measured_fields, small_articles, small_folder, write_folder

STATEMENTS = {
    "teeth": {
        "even": [
            "cogs look even",
            "all the sprockets are flat topped",
            "sprocket teeth are square as new",
            "no hooks on the cogs",
            "cog teeth have an even shape",
            "the cassette shows no hooking",
        ],
        "hooked": [
            "cogs are hooked",
            "sprocket teeth like shark fins",
            "pointed teeth on the cogs",
            "the cassette has gone pointy",
            "cog teeth lean over like waves",
            "hooks on the sprockets",
        ],
    },
    "chain-length": {
        "short": [
            "the gauge stays on top of the chain",
            "chain is as new by the gauge",
            "hardly any stretch in the chain",
        ],
        "long": ["the gauge falls through the chain", "chain has stretched a lot", "chain is long gone, stretched out"],
    },
}
SILENT = ("the saddle squeaks on bumps", "bought the bike in spring", "what pump fits my valve", "my seat creaks")


@pytest.fixture(scope="module")
def taught(tmp_path_factory: pytest.TempPathFactory) -> Library:
    folder = write_folder(
        tmp_path_factory.mktemp("taught"),
        small_articles(),
        {"chain-length": measured_fields(), "teeth": check_fields()},
        statements=STATEMENTS,
    )
    return load_library(folder)


def analyser_of(library: Library) -> Analyser:
    return Analyser(make_speller(library), make_concept_finder(library.lexicon))


def complaints() -> tuple[Complaint, ...]:
    told = tuple(
        Complaint(f"it slips, {text} when I look", None, stated={CheckId("teeth"): outcome})
        for outcome, texts in STATEMENTS["teeth"].items()
        for text in texts
    )
    return (*told, *(Complaint(text, None) for text in SILENT))


def learn(library: Library) -> StatementModel:
    model = train_statements(library, analyser_of(library), complaints())
    assert model is not None
    return model


@pytest.fixture(scope="module")
def model(taught: Library) -> StatementModel:
    return learn(taught)


@pytest.fixture(scope="module")
def finder(taught: Library, model: StatementModel) -> StatedFinder:
    return make_stated_finder(taught.checks, analyser_of(taught), taught.lexicon, model)


def likeliest(finder: StatedFinder, library: Library, text: str) -> tuple[str, str, float | None]:
    signs = finder.signs(analyser_of(library).analyse(text))
    best = max((sign.reading for sign in signs), key=lambda reading: reading.probability)
    return best.check, best.outcome, best.value


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The cogs look square and even.", ("teeth", "even", None)),
        ("Pointed sprocket teeth, like fins.", ("teeth", "hooked", None)),
        ("The chain has stretched 0.7 % by the gauge.", ("chain-length", "long", 0.7)),
        ("Stretch in the chain is hardly any.", ("chain-length", "short", None)),
    ],
)
def test_wordings_that_no_statement_has_are_read(
    text: str, expected: tuple[str, str, float | None], finder: StatedFinder, taught: Library
) -> None:
    assert likeliest(finder, taught, text) == expected


def test_texts_about_other_things_state_nothing(finder: StatedFinder, taught: Library) -> None:
    for text in SILENT:
        assert finder.find(analyser_of(taught).analyse(text)) == ()


def test_questions_state_nothing(finder: StatedFinder, taught: Library) -> None:
    assert finder.signs(analyser_of(taught).analyse("Are the cogs hooked?")) == ()


def test_the_same_texts_teach_the_same(taught: Library, model: StatementModel) -> None:
    again = learn(taught)
    assert dict(again.columns) == dict(model.columns)
    np.testing.assert_array_equal(again.matrix, model.matrix)


def test_a_stored_model_reads_as_before(taught: Library, model: StatementModel, finder: StatedFinder) -> None:
    restored = statement_model(statement_arrays(model))
    other = make_stated_finder(taught.checks, analyser_of(taught), taught.lexicon, restored)
    for text in ("The cogs are hooked.", "no hooks on the cogs", "chain has stretched 0.7 %", "saddle squeaks"):
        analysis = analyser_of(taught).analyse(text)
        assert other.signs(analysis) == finder.signs(analysis)


def test_arrays_of_something_else_hold_no_model() -> None:
    assert statement_model({}) is None


def test_a_library_without_statements_teaches_nothing_and_phrases_serve(tmp_path: Path) -> None:
    library = load_library(small_folder(tmp_path))
    analyser = analyser_of(library)
    assert train_statements(library, analyser, complaints()) is None
    found = make_stated_finder(library.checks, analyser).find(analyser.analyse("the teeth are hooked"))
    assert [(reading.check, reading.outcome, reading.probability) for reading in found] == [("teeth", "hooked", 1.0)]


def test_every_outcome_that_statements_tell_is_learnt(taught: Library, model: StatementModel) -> None:
    assert {id: set(weights.names) for id, weights in model.outcomes.items()} == {
        id: set(check.outcomes) for id, check in taught.checks.items()
    }
