"""Benches are collected only where they are asked for: `pytest -m bench -s tests/bench`."""

from pathlib import Path

import pytest


def pytest_collect_file(file_path: Path, parent: pytest.Collector) -> pytest.Module | None:
    marks = parent.config.option.markexpr
    asked_for = "bench" in marks and "not bench" not in marks
    if file_path.match("bench_*.py") and asked_for and not parent.session.isinitpath(file_path):
        module: pytest.Module = pytest.Module.from_parent(parent, path=file_path)
        return module
    return None
