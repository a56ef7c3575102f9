"""The batch: for now its plan."""

from labkit.bench.plan import SECTIONS, Line, Plan, batch_plan

__all__ = ["SECTIONS", "Line", "Plan", "batch_plan"]
