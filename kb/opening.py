"""From a folder of articles to an `Answerer`: reads, checks, and finds or makes the trained search.

A trained search is looked for beside the articles (`trained.npz`, shipped with the package), then in the user's
cache; where neither was made from just these articles, it is trained now (about two minutes) and kept in the cache.
"""

import os
from collections.abc import Callable
from pathlib import Path

from platformdirs import user_cache_path

from kb.answer import Answerer, make_answerer
from kb.library.load import articles_folder, load_checked, load_library, source_files
from kb.library.models import Library
from kb.search.storage import Trained, as_stored, holds_digest, read_trained, training_digest, write_trained
from kb.search.training import SETTINGS, train, training_part
from kb.search.vocabulary import english_frequencies, make_speller
from kb.text.analysis import Analyser
from kb.text.concepts import make_concept_finder
from kb.text.stated_training import train_statements

__all__ = ["TRAINED_FILE", "open_answerer", "train_file"]

TRAINED_FILE = "trained.npz"
CACHE_VARIABLE = "TRUESTAND_CACHE"
_KEPT_IN_CACHE = 5

Progress = Callable[[str], None]


def open_answerer(
    folder: str | Path | None = None, progress: Progress | None = None, *, with_complaints: bool = False
) -> Answerer:
    """Return an answerer for the folder (see `articles_folder` for the default).

    with_complaints: read the labelled complaints too, which answering doesn't need and evaluation does.

    Raises: LibraryInvalid with every problem in the articles; BadInput if the folder is missing.
    """
    place = articles_folder(folder)
    digest = training_digest(source_files(place), place, SETTINGS)
    stored = [place / TRAINED_FILE, _cache() / f"{digest}.npz"]
    if any(holds_digest(path, digest) for path in stored):
        checked = load_library(place) if with_complaints else load_checked(place)
        for path in stored:
            found = read_trained(path, digest, checked)
            if found is not None:
                return _assemble(checked, found)
    library = load_library(place)
    trained = _train(library, progress)
    _keep(_cache() / f"{digest}.npz", trained, digest)
    return _assemble(library, trained)


def train_file(folder: str | Path | None = None, progress: Progress | None = None) -> Path:
    """Train on the folder and write the result beside its articles; return the file's path.

    Raises: as `open_answerer`, and OSError if the folder cannot be written to.
    """
    place = articles_folder(folder)
    path = place / TRAINED_FILE
    digest = training_digest(source_files(place), place, SETTINGS)
    write_trained(path, _train(load_library(place), progress), digest)
    return path


def _train(library: Library, progress: Progress | None) -> Trained:
    speller = make_speller(library)
    analyser = Analyser(speller, make_concept_finder(library.lexicon))
    ranker = train(library, analyser, english_frequencies(), progress=progress)
    if progress is not None:
        progress("learning what riders say that they have read")
    return as_stored(Trained(ranker, speller, train_statements(library, analyser, training_part(library))))


def _assemble(library: Library, trained: Trained) -> Answerer:
    analyser = Analyser(trained.speller, make_concept_finder(library.lexicon))
    return make_answerer(library, analyser, trained.ranker, trained.statements)


def _cache() -> Path:
    chosen = os.environ.get(CACHE_VARIABLE)
    return Path(chosen) if chosen else user_cache_path("truestand")


def _keep(path: Path, trained: Trained, digest: str) -> None:
    """Keep a trained search in the cache, with the last few; a cache that can't be written to only costs time."""
    try:
        write_trained(path, trained, digest)
        kept = sorted(path.parent.glob("*.npz"), key=lambda item: item.stat().st_mtime, reverse=True)
        for old in kept[_KEPT_IN_CACHE:]:
            old.unlink(missing_ok=True)
    except OSError:
        return
