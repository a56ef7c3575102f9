"""The batch: for now its plan."""

from labkit.bench.line import Line
from labkit.bench.plan import SECTIONS, Plan, batch_plan

__all__ = ["SECTIONS", "Line", "Plan", "batch_plan"]
