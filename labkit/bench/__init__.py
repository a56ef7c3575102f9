"""The batch: for now its plan."""

from labkit.bench.plan import Line, Plan, batch_plan

__all__ = ["Line", "Plan", "batch_plan"]
