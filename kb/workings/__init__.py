"""The trade's arithmetic: pure calculations with units, limits, formula, source and uncertainty."""

from kb.workings.base import Figure, Input, Result, Table, Working, WorkingResult
from kb.workings.registry import all_workings, run_working, working

__all__ = ["Figure", "Input", "Result", "Table", "Working", "WorkingResult", "all_workings", "run_working", "working"]
