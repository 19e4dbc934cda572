"""Splits an article file into its YAML front matter and its Markdown body."""

from dataclasses import dataclass

from markdown_it import MarkdownIt
from mdit_py_plugins.front_matter import front_matter_plugin

__all__ = ["ArticleText", "split_front_matter"]

# Only the front-matter rule is needed to find where it ends; the body is rendered elsewhere.
_PARSER = MarkdownIt("zero").use(front_matter_plugin)


@dataclass(frozen=True, slots=True)
class ArticleText:
    """The two halves of an article file."""

    front_matter: str
    body: str


def split_front_matter(text: str) -> ArticleText | None:
    r"""Return the halves of an article file, or None where it does not begin with closed front matter.

    >>> split_front_matter("---\ntitle: A\n---\nBody.\n")
    ArticleText(front_matter='title: A', body='Body.\n')
    """
    tokens = _PARSER.parse(text)
    if not tokens or tokens[0].type != "front_matter" or tokens[0].map is None:
        return None
    end = tokens[0].map[1]
    return ArticleText(tokens[0].content, "".join(text.splitlines(keepends=True)[end:]).lstrip("\n"))
