"""Reads a folder of articles into a `Library`: every file, all problems at once.

<folder>/<system>/<id>.md       articles
<folder>/checks/*.yaml          checks
<folder>/lexicon.yaml           the lexicon
<folder>/complaints/*.yaml      labelled complaints
<folder>/statements/*.yaml      texts that state a reading: check -> outcome -> texts
"""

import os
from collections.abc import Iterator, Mapping
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import TypeVar

from kb.errors import BadInput, LibraryInvalid, Problem
from kb.library.front_matter import split_front_matter
from kb.library.models import Article, CauseId, Check, CheckId, Complaint, Concept, ConceptId, Library
from kb.library.rules import check_library
from kb.library.structuring import (
    structure_article,
    structure_checks,
    structure_complaints,
    structure_lexicon,
    structure_statements,
)
from kb.library.yaml_source import SourcedValue, read_yaml

__all__ = ["articles_folder", "load_checked", "load_library", "read_library", "source_files"]

K = TypeVar("K", bound=str)
V = TypeVar("V")

FOLDER_VARIABLE = "TRUESTAND_ARTICLES"
_NOT_SYSTEMS = frozenset({"checks", "complaints", "statements"})
Lines = dict[tuple[str | int, ...], tuple[Path, int]]


def articles_folder(given: str | Path | None = None) -> Path:
    """Return the folder to read: `given`, else `TRUESTAND_ARTICLES`, else the articles installed with the package.

    Raises: BadInput if it is not a folder.
    """
    chosen = given or os.environ.get(FOLDER_VARIABLE)
    folder = Path(chosen) if chosen else Path(str(files("articles")))
    if not folder.is_dir():
        raise BadInput("articles", str(folder), "a folder that exists")
    return folder


def load_library(folder: Path) -> Library:
    """Read and check the folder.

    Raises: LibraryInvalid with every problem if there is any.
    """
    library, problems = read_library(folder)
    if problems:
        raise LibraryInvalid(problems)
    return library


def source_files(folder: Path) -> tuple[Path, ...]:
    """Return the files a library is read from, in a fixed order."""
    return (
        *_article_files(folder),
        *_yaml_files(folder, "checks"),
        folder / "lexicon.yaml",
        *_yaml_files(folder, "complaints"),
        *_yaml_files(folder, "statements"),
    )


def load_checked(folder: Path) -> Library:
    """Read the articles, checks and lexicon of a folder that is known to be without a problem.

    Leaves out what is only learnt from: labelled complaints and statements.

    Skips the rules, which `training_digest` vouches for: a search is only ever trained on a folder that passes them.
    Raises: LibraryInvalid if a file cannot be read all the same.
    """
    lines: Lines = {}
    problems: list[Problem] = []
    library = _read(folder, lines, problems, learnt_from=False)
    if problems:
        raise LibraryInvalid(sorted(problems))
    return library


def read_library(folder: Path) -> tuple[Library, tuple[Problem, ...]]:
    """Read the folder and run every rule; return what could be read and all problems, by file and line."""
    lines: Lines = {}
    problems: list[Problem] = []
    library = _read(folder, lines, problems, learnt_from=True)
    # Rules run on what was read; where a file could not be read, references to it would only repeat the first problem.
    if not problems:
        problems += check_library(library)
    return library, tuple(sorted(problems))


def _read(folder: Path, lines: Lines, problems: list[Problem], learnt_from: bool) -> Library:
    articles: dict[CauseId, Article] = {}
    for path in _article_files(folder):
        _add(articles, _read_article(path, lines), "article", lines, problems)
    checks: dict[CheckId, Check] = {}
    for path in _yaml_files(folder, "checks"):
        found, new = structure_checks(source := _read_yaml_file(path), path)
        problems += (*source.problems, *new)
        _remember(lines, "check", source, path, known=frozenset(checks))
        _add(checks, (found, ()), "check", lines, problems, path=path, source=source)
    lexicon: dict[ConceptId, Concept] = {}
    if (path := folder / "lexicon.yaml").exists():
        found_concepts, new = structure_lexicon(source := _read_yaml_file(path), path)
        problems += (*source.problems, *new)
        _remember(lines, "concept", source, path)
        lexicon.update(found_concepts)
    if learnt_from:
        _read_statements(folder, checks, lines, problems)
    labelled = _read_complaints(folder, lines, problems) if learnt_from else ()
    return Library(_by_id(articles), _by_id(checks), _by_id(lexicon), labelled, lines)


def _read_article(path: Path, lines: Lines) -> tuple[dict[CauseId, Article], tuple[Problem, ...]]:
    text, unreadable = _read_text(path)
    if text is None:
        return {}, unreadable
    halves = split_front_matter(text)
    if halves is None:
        return {}, (Problem(path, 1, "front-matter", "file: must begin with front matter between two lines of ---"),)
    source = read_yaml(halves.front_matter, path, first_line=2)
    article, new = structure_article(source, path.stem, path.parent.name, halves.body, path)
    for key, line in source.lines.items():
        lines.setdefault(("article", path.stem, *key), (path, line))
    return ({article.id: article} if article else {}), (*source.problems, *(new if source.value is not None else ()))


def _read_complaints(folder: Path, lines: Lines, problems: list[Problem]) -> tuple[Complaint, ...]:
    complaints: list[Complaint] = []
    for path in _yaml_files(folder, "complaints"):
        found, new = structure_complaints(source := _read_yaml_file(path), path)
        problems += (*source.problems, *new)
        for place, complaint in found:
            lines["complaint", len(complaints)] = (path, source.line((place,)))
            complaints.append(complaint)
    return tuple(complaints)


def _read_statements(folder: Path, checks: dict[CheckId, Check], lines: Lines, problems: list[Problem]) -> None:
    """Add the statements to their checks; those of a check that isn't there are a problem."""
    for path in _yaml_files(folder, "statements"):
        found, new = structure_statements(source := _read_yaml_file(path), path)
        problems += (*source.problems, *new)
        _remember(lines, "statements", source, path)
        for id, texts in found.items():
            if id in checks:
                checks[id] = replace(checks[id], statements=_merged(checks[id].statements, texts))
            else:
                problems.append(Problem(path, source.line((id,)), "statement", f"{id}: no such check"))


def _merged(known: Mapping[str, tuple[str, ...]], more: Mapping[str, tuple[str, ...]]) -> dict[str, tuple[str, ...]]:
    return {name: (*known.get(name, ()), *more.get(name, ())) for name in dict.fromkeys((*known, *more))}


def _read_yaml_file(path: Path) -> SourcedValue:
    text, unreadable = _read_text(path)
    return read_yaml(text, path) if text is not None else SourcedValue(None, {}, unreadable)


def _read_text(path: Path) -> tuple[str | None, tuple[Problem, ...]]:
    try:
        return path.read_text(encoding="utf-8"), ()
    except UnicodeDecodeError as error:
        return None, (Problem(path, 0, "encoding", f"file: must be UTF-8; byte {error.start} is not"),)
    except OSError as error:
        return None, (Problem(path, 0, "unreadable", f"file: {error.strerror}"),)


def _remember(lines: Lines, kind: str, source: SourcedValue, path: Path, known: frozenset[str] = frozenset()) -> None:
    for key, line in source.lines.items():
        if key and key[0] not in known:
            lines.setdefault((kind, *key), (path, line))


def _add(
    into: dict[K, V],
    read: tuple[dict[K, V], tuple[Problem, ...]],
    kind: str,
    lines: Lines,
    problems: list[Problem],
    path: Path | None = None,
    source: SourcedValue | None = None,
) -> None:
    found, new = read
    problems += new
    for id, value in found.items():
        if id in into:
            first, line = lines.get((kind, id), (Path("."), 0))
            here = path or Path(f"{id}.md")
            at = source.line((id,)) if source else 1
            problems.append(Problem(here, at, "duplicate-id", f"{id}: {kind} stands in {first}:{line} already"))
        else:
            into[id] = value


def _article_files(folder: Path) -> Iterator[Path]:
    for system in sorted(item for item in folder.iterdir() if item.is_dir() and item.name not in _NOT_SYSTEMS):
        yield from sorted(system.glob("*.md"))


def _yaml_files(folder: Path, name: str) -> tuple[Path, ...]:
    return tuple(sorted((folder / name).glob("*.yaml")))


def _by_id(values: dict[K, V]) -> dict[K, V]:
    return dict(sorted(values.items()))
