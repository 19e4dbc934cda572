"""Strict YAML with line numbers: the only place that turns YAML text into plain values.

`yaml.safe_load` keeps the last of two equal keys and reads `on` as True, `1:30` as 90, `010` as 8 and `2024-01-01` as a
date. Here a plain scalar is true, false, null or a plain decimal number, and text otherwise; equal keys, keys that
are not text (or that another YAML reader would take for a boolean) and aliases are refused. All problems are gathered.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from kb.errors import Problem

__all__ = ["KeyPath", "SourcedValue", "read_yaml"]

KeyPath = tuple[str | int, ...]

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # libyaml where it is built in: ten times quicker
_INTEGER = re.compile(r"[-+]?(?:0|[1-9][0-9]*)\Z")
_DECIMAL = re.compile(r"[-+]?(?:0|[1-9][0-9]*)\.[0-9]+\Z")
_BOOLEAN_ELSEWHERE = frozenset({"y", "n", "yes", "no", "on", "off", "true", "false"})
_CONSTANTS: dict[str, Any] = {"true": True, "false": False, "null": None, "~": None, "": None}


@dataclass(frozen=True, slots=True)
class SourcedValue:
    """A plain value read from a file, with the line of every part of it."""

    value: Any
    lines: Mapping[KeyPath, int]
    """Key path from the top -> 1-based line of the key (mapping) or item (list)."""
    problems: tuple[Problem, ...]

    def line(self, path: KeyPath) -> int:
        """Return the line of `path`, or of its nearest ancestor that is in the file."""
        while path and path not in self.lines:
            path = path[:-1]
        return self.lines.get(path, 0)


def read_yaml(text: str, path: Path, first_line: int = 1) -> SourcedValue:
    """Read one YAML document.

    text: the document. first_line: where it begins in the file (front matter begins on line 2).
    A document that cannot be parsed at all gives the value None and one problem.
    """
    reader = _Reader(path, first_line)
    try:
        node = yaml.compose(text, Loader=_LOADER)
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        line = first_line + (mark.line if mark else 0)
        what = getattr(error, "problem", None) or "not YAML"
        return SourcedValue(None, {}, (Problem(path, line, "yaml-syntax", f"YAML: {what}"),))
    except ValueError as error:  # characters that YAML forbids, lone surrogates
        return SourcedValue(None, {}, (Problem(path, first_line, "yaml-syntax", f"YAML: {error}"),))
    value = reader.construct(node, ()) if node is not None else None
    return SourcedValue(value, reader.lines, tuple(reader.problems))


class _Reader:
    """Builds plain values from composed nodes and remembers lines; lives for one document."""

    def __init__(self, path: Path, first_line: int) -> None:
        self._path = path
        self._first_line = first_line
        self._seen: set[int] = set()
        self.lines: dict[KeyPath, int] = {}
        self.problems: list[Problem] = []

    def construct(self, node: yaml.Node, at: KeyPath) -> Any:
        line = self._first_line + node.start_mark.line
        self.lines.setdefault(at, line)
        if id(node) in self._seen:
            self._report(line, "yaml-alias", f"{_dotted(at)}: aliases are not allowed, write the value out")
            return None
        self._seen.add(id(node))
        if isinstance(node, yaml.MappingNode):
            return self._mapping(node, at)
        if isinstance(node, yaml.SequenceNode):
            return [self.construct(item, (*at, index)) for index, item in enumerate(node.value)]
        if isinstance(node, yaml.ScalarNode):
            return self._scalar(node, at, line)
        raise AssertionError(f"YAML has no node of kind {type(node).__name__}")

    def _mapping(self, node: yaml.MappingNode, at: KeyPath) -> dict[str, Any]:
        result: dict[str, Any] = {}
        for key_node, value_node in node.value:
            line = self._first_line + key_node.start_mark.line
            key = self._key(key_node, at, line)
            if key is None:
                continue
            if key in result:
                self._report(line, "yaml-duplicate-key", f"{_dotted((*at, key))}: stands twice, keep one")
                continue
            self.lines[(*at, key)] = line
            result[key] = self.construct(value_node, (*at, key))
        return result

    def _key(self, node: yaml.Node, at: KeyPath, line: int) -> str | None:
        if not isinstance(node, yaml.ScalarNode):
            self._report(line, "yaml-key", f"{_dotted(at)}: a key must be text, found a list or mapping")
            return None
        text: str = node.value
        plain = not getattr(node, "style", None)
        if plain and text.lower() in _BOOLEAN_ELSEWHERE:
            self._report(
                line,
                "yaml-boolean-name",
                f"{_dotted((*at, text))}: YAML readers take {text!r} for a boolean; use another name",
            )
            return None
        if plain and (text in _CONSTANTS or _INTEGER.match(text) or _DECIMAL.match(text)):
            self._report(line, "yaml-key", f"{_dotted((*at, text))}: a key must be text, found {text!r}")
            return None
        return text

    def _scalar(self, node: yaml.ScalarNode, at: KeyPath, line: int) -> Any:
        text: str = node.value
        if node.style:  # quoted or block text is text; plain is None or, from libyaml, empty
            return text
        if (
            not node.tag.startswith("tag:yaml.org,2002:")
            or "python/" in node.tag
            or node.tag.endswith((":binary", ":merge"))
        ):
            self._report(line, "yaml-tag", f"{_dotted(at)}: tags are not allowed, found {node.tag}")
            return None
        if text in _CONSTANTS:
            return _CONSTANTS[text]
        if _INTEGER.match(text):
            return int(text)
        if _DECIMAL.match(text):
            return float(text)
        return text

    def _report(self, line: int, rule: str, message: str) -> None:
        self.problems.append(Problem(self._path, line, rule, message))


def _dotted(path: KeyPath) -> str:
    return ".".join(str(part) for part in path) or "document"
