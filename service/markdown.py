"""Markdown of articles to HTML, raw HTML off; links to articles and checks become links to their pages."""

from collections.abc import Callable

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup

__all__ = ["render_markdown"]

_RENDERER = MarkdownIt("commonmark", {"html": False}).enable("table")


def render_markdown(text: str, address_of: Callable[[str, str], str]) -> Markup:
    """Return HTML; `address_of(kind, id)` gives the address of an article or a check."""
    tokens = _RENDERER.parse(text)
    _point_links(tokens, address_of)
    # Safe: the renderer escapes all text and raw HTML is switched off.
    return Markup(_RENDERER.renderer.render(tokens, _RENDERER.options, {}))  # noqa: S704


def _point_links(tokens: list[Token], address_of: Callable[[str, str], str]) -> None:
    for token in tokens:
        if token.type == "link_open":
            kind, colon, id = str(token.attrs.get("href", "")).partition(":")
            if colon and kind in ("article", "check"):
                token.attrs["href"] = address_of(kind, id)
        if token.type == "table_open":
            token.attrs["tabindex"] = "0"  # a wide table scrolls on a phone, by keyboard too
        if token.children:
            _point_links(token.children, address_of)
