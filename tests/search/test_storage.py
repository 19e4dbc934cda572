from pathlib import Path

import numpy as np

from kb.answer import Answerer
from kb.library.load import source_files
from kb.opening import open_answerer
from kb.search.storage import Trained, read_trained, training_digest, write_trained
from kb.search.training import SETTINGS
from tests.builders import small_folder


def trained_of(answerer: Answerer) -> Trained:
    return Trained(answerer.ranker, answerer.analyser.speller)


def test_what_is_written_ranks_as_before(small_answerer: Answerer, tmp_path: Path) -> None:
    write_trained(tmp_path / "t.npz", trained_of(small_answerer), "digest")
    found = read_trained(tmp_path / "t.npz", "digest", small_answerer.library)
    assert found is not None
    for text in ("chain slips", "my seat squeaks on bumps", "umbrella"):
        analysis = small_answerer.analyser.analyse(text)
        np.testing.assert_allclose(
            found.ranker.rank(analysis).probabilities, small_answerer.ranker.rank(analysis).probabilities, atol=1e-9
        )


def test_a_file_trained_from_something_else_is_not_used(small_answerer: Answerer, tmp_path: Path) -> None:
    write_trained(tmp_path / "t.npz", trained_of(small_answerer), "digest")
    assert read_trained(tmp_path / "t.npz", "other", small_answerer.library) is None


def test_missing_and_damaged_files_are_not_used(small_answerer: Answerer, tmp_path: Path) -> None:
    assert read_trained(tmp_path / "none.npz", "d", small_answerer.library) is None
    (tmp_path / "bad.npz").write_bytes(b"PK\x03\x04 not a real archive")
    assert read_trained(tmp_path / "bad.npz", "d", small_answerer.library) is None


def test_the_digest_follows_every_article(tmp_path: Path) -> None:
    folder = small_folder(tmp_path)
    before = training_digest(source_files(folder), folder, SETTINGS)
    path = folder / "brakes" / "rotor-bent.md"
    path.write_text(path.read_text().replace("wobbles", "wanders"))
    assert training_digest(source_files(folder), folder, SETTINGS) != before


def test_an_edited_article_is_searched_at_once(tmp_path: Path) -> None:
    folder = small_folder(tmp_path)
    open_answerer(folder)
    path = folder / "brakes" / "rotor-bent.md"
    path.write_text(path.read_text().replace("rotor wobbles in the caliper", "platypus in the caliper"))
    answerer = open_answerer(folder)
    ranking = answerer.ranker.rank(answerer.analyser.analyse("platypus"))
    assert answerer.likelihoods.causes[int(np.argmax(ranking.probabilities[:-1]))] == "rotor-bent"


def test_the_shipped_search_was_trained_from_the_shipped_articles() -> None:
    """Fails after any change to articles, search or text analysis until `truestand train` was run."""
    from kb.library.load import articles_folder
    from kb.opening import TRAINED_FILE

    folder = articles_folder()
    digest = training_digest(source_files(folder), folder, SETTINGS)
    answerer = open_answerer(folder)
    assert read_trained(folder / TRAINED_FILE, digest, answerer.library) is not None
