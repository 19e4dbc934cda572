from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
import yaml

from kb.library.yaml_source import read_yaml

HERE = Path("file.yaml")


def test_words_that_other_readers_take_for_something_else_stay_text() -> None:
    found = read_yaml("a: [on, yes, 1:30, 010, 2024-01-01, 1e3, 'true', ~, 5, 0.5, -2]", HERE)
    assert found.value == {"a": ["on", "yes", "1:30", "010", "2024-01-01", "1e3", "true", None, 5, 0.5, -2]}
    assert found.problems == ()


@pytest.mark.parametrize(
    ("text", "rule", "line"),
    [
        ("a: 1\nb: 2\na: 3\n", "yaml-duplicate-key", 3),
        ("a:\n  on: 1\n", "yaml-boolean-name", 2),
        ("a: 1\n3: b\n", "yaml-key", 2),
        ("? [a]\n: b\n", "yaml-key", 1),
        ("a: &x [1]\nb: *x\n", "yaml-alias", 1),
        ("a: !!python/object:os.system x\n", "yaml-tag", 1),
        ("a: [1\nb: 2", "yaml-syntax", 3),
    ],
)
def test_refused_with_line(text: str, rule: str, line: int) -> None:
    problems = read_yaml(text, HERE).problems
    assert [problem.rule for problem in problems] == [rule]
    assert rule == "yaml-syntax" or problems[0].line == line


def test_lines_count_from_the_place_in_the_file() -> None:
    found = read_yaml("a: 1\nb:\n  - x\n  - y\n", HERE, first_line=2)
    assert (found.line(("a",)), found.line(("b", 1)), found.line(("b", 1, "nothing"))) == (2, 5, 5)


plain = st.recursive(
    st.none() | st.booleans() | st.integers(-(10**9), 10**9) | st.text("abcdefgh .,:#'\"-", max_size=12),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text("cdghk", min_size=1, max_size=6), inner, max_size=4),
    max_leaves=12,
)


@given(plain)
def test_what_is_written_is_read_back(value: object) -> None:
    class NoAliases(yaml.SafeDumper):
        def ignore_aliases(self, data: object) -> bool:
            return True

    assert read_yaml(yaml.dump(value, Dumper=NoAliases), HERE).value == value


@given(st.text(max_size=200))
def test_any_text_is_read_or_reported_without_an_exception(text: str) -> None:
    found = read_yaml(text, HERE)
    assert found.problems or isinstance(found.value, dict | list | str | int | float | bool | type(None))
