"""Prints and draws the matrix of checks by articles for `truestand lint --matrix`: text, JSON rows, an SVG picture."""

from collections.abc import Iterator
from dataclasses import asdict
from html import escape
from itertools import groupby
from pathlib import Path
from typing import Any

from kb.answer import percent
from kb.errors import BadInput
from kb.library.matrix import FAR, CheckUse, CheckUsers, contradictions, inseparable_rivals, users_of_checks
from kb.library.models import Article, CauseId, Library

__all__ = ["matrix_lines", "matrix_picture", "matrix_rows", "write_matrix_picture"]

CELL = 13
"""Side of a cell and height of a row, in SVG units."""
LEFT, TOP, FOOT = 175, 245, 60
"""Room for row labels, for column labels and headings, and for the legend."""
INK = "#17406d"
_NOTE = "Distance is total variation: 0 as on any bike, 1 wholly different."
Place = dict[CauseId, int]


def matrix_lines(library: Library) -> list[str]:
    """Return every check with its articles, then contradictions and rivals that no check tells apart."""
    lines = [line for row in users_of_checks(library) for line in _row_lines(row, library)]
    lines += ["", f"Contradictions: alone in its system by more than {FAR:g} on a part it doesn't concern"]
    found = contradictions(library)
    lines += [
        f"  {item.check}: {item.article} says {item.outcome} {percent(item.p_article)}, {item.against} "
        f"{percent(item.p_against)} (from usual {item.from_usual:.2f}, from the others {item.from_others:.2f})"
        for item in found
    ] or ["  none"]
    lines += ["", f"Rivals linked by `see` that no check sets apart by {FAR:g}"]
    rivals = inseparable_rivals(library)
    lines += [
        f"  {pair.first} / {pair.second}: best is {pair.best or 'no check'}, apart {pair.apart:.2f}" for pair in rivals
    ] or ["  none"]
    return [*lines, "", f"{len(found)} contradiction(s), {len(rivals)} inseparable pair(s). {_NOTE}"]


def matrix_rows(library: Library) -> dict[str, list[dict[str, Any]]]:
    """Return the matrix, the contradictions and the inseparable rivals as plain rows for JSON."""
    return {
        "checks": [asdict(row) for row in users_of_checks(library)],
        "contradictions": [asdict(item) for item in contradictions(library)],
        "inseparable": [asdict(pair) for pair in inseparable_rivals(library)],
    }


def matrix_picture(library: Library) -> str:
    """Return the matrix as a standalone SVG document.

    Columns are the articles that list checks, by system; rows are the checks, placed by the article they say most
    about, so that the marks run down a diagonal. The darker a cell, the farther from usual; a ring marks a
    contradiction.
    """
    columns = sorted(
        (item for item in library.articles.values() if item.checks), key=lambda item: (item.system, item.id)
    )
    place = {article.id: number for number, article in enumerate(columns)}
    rows = sorted(
        (row for row in users_of_checks(library) if row.uses), key=lambda row: (place[row.uses[0].article], row.check)
    )
    ringed = {(item.check, item.article) for item in contradictions(library)}
    marks = list(_headings(len(rows), len(columns)))
    for number, row in enumerate(rows):
        marks += [_row_label(row, number, len(columns))]
        marks += [_cell(row, use, number, place, (row.check, use.article) in ringed, library) for use in row.uses]
    marks += [*_column_labels(columns, len(rows)), *_legend(TOP + len(rows) * CELL + 20)]
    width, height = LEFT + len(columns) * CELL + 130, TOP + len(rows) * CELL + FOOT
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 {width} {height}" width="{width}" '
        f'height="{height}" font-family="sans-serif" font-size="10">\n<title>Checks by articles</title>\n'
        f'<rect width="{width}" height="{height}" fill="#fff"/>\n' + "\n".join(marks) + "\n</svg>\n"
    )


def write_matrix_picture(library: Library, path: Path) -> None:
    """Write the picture to `path`.

    Raises: BadInput if the file cannot be written.
    """
    try:
        path.write_text(matrix_picture(library), encoding="utf-8")
    except OSError as error:
        raise BadInput("svg", str(path), f"a file that can be written ({error.strerror})") from None


def _row_lines(row: CheckUsers, library: Library) -> Iterator[str]:
    check = library.checks[row.check]
    yield f"{row.check} ({check.what}): {len(row.uses)} article(s)"
    for use in row.uses:
        usual = percent(check.usual.get(use.outcome, 0.0))
        found = f"{use.outcome} {percent(use.probability)} (usual {usual})"
        yield f"  {use.article:40} {found}, from usual {use.from_usual:.2f}"


def _headings(rows: int, columns: int) -> Iterator[str]:
    yield _text(12, 24, "Checks by articles", size=17)
    yield _text(12, 42, f"{rows} checks (rows), {columns} articles (columns).")
    yield _text(12, 56, "Darker: farther from what the check")
    yield _text(12, 69, "shows on any bike. Ring: contradiction.")


def _column_labels(columns: list[Article], rows: int) -> Iterator[str]:
    bottom = TOP + rows * CELL
    start = 0
    for system, group in groupby(columns, key=lambda article: article.system):
        articles = list(group)
        x = LEFT + start * CELL
        yield f'<path d="M{x} {TOP - 6}V{bottom}" stroke="#888" stroke-width="1"/>'
        yield _text(x + 3, bottom + 14, system, size=12)
        for number, article in enumerate(articles, start):
            across, up = LEFT + (number + 0.75) * CELL, TOP - 6
            yield _text(across, up, article.id, turned=True)
        start += len(articles)


def _row_label(row: CheckUsers, number: int, columns: int) -> str:
    y = TOP + number * CELL
    band = f'<rect x="{LEFT}" y="{y}" width="{columns * CELL}" height="{CELL}" fill="#f3f5f8"/>' if number % 2 else ""
    right = LEFT + columns * CELL
    return band + _text(LEFT - 6, y + 10, row.check, anchor="end") + _text(right + 6, y + 10, row.check)


def _cell(row: CheckUsers, use: CheckUse, number: int, place: Place, ringed: bool, library: Library) -> str:
    x, y = LEFT + place[use.article] * CELL, TOP + number * CELL
    usual = library.checks[row.check].usual.get(use.outcome, 0.0)
    words = f"{use.article}, {row.check}: {use.outcome} {percent(use.probability)}, usual {percent(usual)}"
    ring = ' stroke="#c0392b" stroke-width="2"' if ringed else ""
    return (
        f'<rect x="{x + 1}" y="{y + 1}" width="{CELL - 2}" height="{CELL - 2}" fill="{INK}" '
        f'fill-opacity="{_opacity(use.from_usual)}"{ring}><title>{escape(words)}</title></rect>'
    )


def _legend(y: float) -> Iterator[str]:
    yield _text(LEFT - 6, y + 19, "from usual", anchor="end")
    for step in range(6):
        x = LEFT + step * 45
        yield (
            f'<rect x="{x}" y="{y + 10}" width="{CELL - 2}" height="{CELL - 2}" fill="{INK}" '
            f'fill-opacity="{_opacity(step / 5)}"/>'
        )
        yield _text(x + CELL + 2, y + 19, f"{step / 5:.1f}")


def _opacity(from_usual: float) -> str:
    """Return a shade that still shows where an article lists the check with its usual outcomes."""
    return f"{0.12 + 0.88 * from_usual:.2f}"


def _text(x: float, y: float, words: str, anchor: str = "start", size: int = 10, turned: bool = False) -> str:
    turn = f' transform="rotate(-60 {x:g} {y:g})"' if turned else ""
    end = "" if anchor == "start" else f' text-anchor="{anchor}"'
    big = "" if size == 10 else f' font-size="{size}"'
    return f'<text x="{x:g}" y="{y:g}" fill="#111"{end}{big}{turn}>{escape(words)}</text>'
