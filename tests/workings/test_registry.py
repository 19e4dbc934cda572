from pathlib import Path
from typing import Any

import pytest
import yaml

from kb.errors import NotKnown
from kb.workings import all_workings, working

_CONTRACT: dict[str, Any] = yaml.safe_load(
    (Path(__file__).parent / "cases" / "contract.yaml").read_text(encoding="utf-8")
)


@pytest.mark.parametrize("name", _CONTRACT)
def test_a_working_of_the_contract_has_its_inputs_results_and_units(name: str) -> None:
    found = working(name)
    inputs = {item.name + ("?" if item.may_be_left_out else ""): item.unit for item in found.inputs}
    results = {item.name: item.unit for item in found.results}
    assert _CONTRACT[name]["inputs"].items() <= inputs.items()
    assert _CONTRACT[name]["results"].items() <= results.items()
    assert {item for item in inputs if not item.endswith("?")} <= set(_CONTRACT[name]["inputs"])


def test_names_are_unique_and_written_with_hyphens() -> None:
    names = [item.name for item in all_workings()]
    assert len(set(names)) == len(names) >= len(_CONTRACT)
    assert all(name == name.lower() and " " not in name and "_" not in name for name in names)


def test_an_unknown_name_is_an_error_with_the_nearest() -> None:
    with pytest.raises(NotKnown) as refusal:
        working("clamp-fits")
    assert "clamp-fit" in refusal.value.near
