"""A trained search as one file: arrays and word lists in numpy's `.npz`, nothing that could run code when it is read.

The file carries a digest of everything it was trained from (articles, settings and the code of text analysis and
search), so that a stale one is never used: `read_trained` returns None unless the digest is the one asked for.
"""

import hashlib
import json
import os
import re
import tempfile
import zipfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_matrix

from kb.library.models import CauseId, Library
from kb.search.belonging import Belonging, part_concepts
from kb.search.calibration import Calibration
from kb.search.fields import Field
from kb.search.index import restore_index
from kb.search.learned import Weights
from kb.search.ranker import Ranker, log_prevalence
from kb.search.terms import Channel, TermMaker
from kb.search.training import SearchSettings
from kb.search.vectors import Vectoriser, Vocabulary
from kb.text.spelling import Speller
from kb.text.statement_model import StatementModel, statement_arrays, statement_model

__all__ = ["Trained", "as_stored", "holds_digest", "read_trained", "training_digest", "write_trained"]

_IMPORT = re.compile(r"^from kb\.(text|search)\.(\w+) import", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Trained:
    """What training makes of a library."""

    ranker: Ranker
    speller: Speller
    statements: StatementModel | None = None
    """Finds stated readings; None where the library has no statements to learn from."""


def training_digest(files: Iterable[Path], folder: Path, settings: SearchSettings) -> str:
    """Return a digest of the files (names within `folder` and contents), the settings and the code that reads and
    scores text.
    """
    digest = hashlib.sha256(repr(settings).encode())
    package = Path(__file__).parent.parent
    for path, root in (*((path, folder) for path in files), *((path, package) for path in _training_code(package))):
        digest.update(path.relative_to(root).as_posix().encode() + b"\0")
        digest.update(hashlib.sha256(path.read_bytes()).digest() if path.exists() else b"")
    return digest.hexdigest()


def _training_code(package: Path) -> list[Path]:
    """Return the modules of text analysis and search that the two trainings use, found by following its imports."""
    found: set[Path] = set()
    open_ends = [package / "search" / "training.py", package / "text" / "stated_training.py"]
    while open_ends:
        path = open_ends.pop()
        if path not in found and path.exists():
            found.add(path)
            modules = _IMPORT.findall(path.read_text(encoding="utf-8"))
            open_ends += (package / stage / f"{module}.py" for stage, module in modules)
    return sorted(found)


def write_trained(path: Path, trained: Trained, digest: str) -> None:
    """Write the file in one step: a reader sees the old one or the new one, never half of one."""
    ranker = trained.ranker
    index, belonging, calibration = ranker.index, ranker.belonging, ranker.calibration
    head = {
        "causes": list(index.causes),
        "expansion_weight": ranker.terms.expansion_weight,
        "learned": list(calibration.learned),
        "retrieved": calibration.retrieved,
        "prevalence": calibration.prevalence,
        "belongs": list(calibration.belongs),
        "channels": [
            {"channel": channel, "first": vocabulary.first, "weight": vocabulary.weight, "terms": _in_order(vocabulary)}
            for channel, vocabulary in ranker.vectoriser.vocabularies.items()
        ],
        "field_weights": dict(index.field_weights),
        "text_fields": [list(Field).index(field) for field in index.text_field],
        "article_stems": sorted(belonging.article_stems),
        "likeness": dict(belonging.likeness),
        "vocabulary": dict(trained.speller.vocabulary),
    }
    arrays: dict[str, NDArray[Any]] = {
        "digest": _bytes(digest),
        "head": _bytes(json.dumps(head, ensure_ascii=False)),
        "ordinary": _bytes("\n".join(sorted(trained.speller.english))),
        "text_cause": index.text_cause,
        "posting_data": index.postings.data.astype(np.float32),
        "posting_texts": index.postings.indices.astype(np.int32),
        "posting_starts": index.postings.indptr.astype(np.int64),
        "weights": ranker.weights.matrix.astype(np.float16),
        "bias": ranker.weights.bias,
        "alien": belonging.alien,
        **{f"idf_{channel}": vocabulary.idf for channel, vocabulary in ranker.vectoriser.vocabularies.items()},
        **(statement_arrays(trained.statements) if trained.statements is not None else {}),
    }
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, draft = tempfile.mkstemp(dir=path.parent, suffix=".npz")
    try:
        with os.fdopen(handle, "wb") as file:
            np.savez_compressed(file, allow_pickle=False, **arrays)
        os.replace(draft, path)
    except BaseException:
        Path(draft).unlink(missing_ok=True)
        raise


def as_stored(trained: Trained) -> Trained:
    """Return the search with its numbers rounded as a file keeps them, so that both answer alike."""
    ranker = trained.ranker
    weights = replace(ranker.weights, matrix=ranker.weights.matrix.astype(np.float16).astype(np.float32))
    postings = ranker.index.postings.astype(np.float32).astype(np.float64)
    rounded = replace(ranker, weights=weights, index=replace(ranker.index, postings=postings))
    return replace(trained, ranker=rounded)


def holds_digest(path: Path, digest: str) -> bool:
    """Tell whether the file is a trained search with that digest; reads no more than its first member."""
    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as arrays:
            return bool(arrays["digest"].tobytes() == digest.encode())
    except (OSError, ValueError, KeyError, zipfile.BadZipFile, EOFError):
        return False


def read_trained(path: Path, digest: str, library: Library) -> Trained | None:
    """Return what the file holds, or None where it is missing, damaged or was trained from something else."""
    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as arrays:
            if arrays["digest"].tobytes() != digest.encode():
                return None
            return _restore(json.loads(arrays["head"].tobytes()), arrays, library)
    except (OSError, ValueError, KeyError, zipfile.BadZipFile, EOFError):
        return None


def _restore(values: dict[str, Any], arrays: Mapping[str, NDArray[Any]], library: Library) -> Trained:
    vocabularies = {
        Channel(item["channel"]): Vocabulary(
            columns={term: item["first"] + place for place, term in enumerate(item["terms"])},
            idf=arrays[f"idf_{item['channel']}"],
            first=item["first"],
            weight=item["weight"],
        )
        for item in values["channels"]
    }
    vectoriser = Vectoriser(vocabularies)
    fields = list(Field)
    text_cause = arrays["text_cause"]
    postings = csc_matrix(
        (arrays["posting_data"].astype(np.float64), arrays["posting_texts"], arrays["posting_starts"]),
        shape=(len(text_cause), vectoriser.width),
    )
    ranker = Ranker(
        terms=TermMaker(library.lexicon, values["expansion_weight"]),
        vectoriser=vectoriser,
        index=restore_index(
            [CauseId(id) for id in values["causes"]],
            postings,
            text_cause,
            tuple(fields[number] for number in values["text_fields"]),
            {Field(name): weight for name, weight in values["field_weights"].items()},
        ),
        weights=Weights(arrays["weights"].astype(np.float32), arrays["bias"]),
        belonging=Belonging(
            part_concepts(library), frozenset(values["article_stems"]), values["likeness"], arrays["alien"]
        ),
        calibration=Calibration(
            tuple(values["learned"]), values["retrieved"], values["prevalence"], tuple(values["belongs"])
        ),
        log_prevalence=log_prevalence(library),
    )
    ordinary = frozenset(arrays["ordinary"].tobytes().decode().split("\n"))
    return Trained(ranker, Speller(values["vocabulary"], ordinary), statement_model(arrays))


def _in_order(vocabulary: Vocabulary) -> list[str]:
    return sorted(vocabulary.columns, key=lambda term: vocabulary.columns[term])


def _bytes(text: str) -> NDArray[np.uint8]:
    return np.frombuffer(text.encode(), dtype=np.uint8)
