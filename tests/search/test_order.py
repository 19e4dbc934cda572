"""Same input, same answer: whatever the order of files and whatever the hash seed."""

import os
import subprocess
import sys
from pathlib import Path

from kb.library.load import load_library
from tests.builders import check_fields, measured_fields, small_articles, write_folder


def test_the_library_is_the_same_whatever_the_order_of_the_files(tmp_path: Path) -> None:
    checks = {"chain-length": measured_fields(), "teeth": check_fields()}
    forward = write_folder(tmp_path / "a", small_articles(), checks)
    backward = write_folder(tmp_path / "b", dict(reversed(small_articles().items())), dict(reversed(checks.items())))
    assert list(load_library(forward).articles) == list(load_library(backward).articles)
    assert load_library(forward) == load_library(backward)


def test_answers_do_not_depend_on_the_hash_seed() -> None:
    outputs = {
        subprocess.run(
            [sys.executable, "-m", "kb", "ask", "--json", "chain jumps when I push, and the saddle creaks"],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert len(outputs) == 1
