"""Quantities with units: the one registry, what learners type, the guard, rounding, ranges."""

from labkit.units.guard import checked, takes
from labkit.units.lines import wrapped
from labkit.units.ranges import Range, as_range, certain, printed_range, range_from, read_range
from labkit.units.reader import read
from labkit.units.registry import Q, is_quantity, nominal, ureg
from labkit.units.rounding import figures_in, handy, number_text, printed, printed_up, rounded, rounded_up, unit_text

__all__ = ["Q", "Range", "as_range", "certain", "checked", "figures_in", "handy", "is_quantity",
           "nominal", "number_text", "printed", "printed_range", "printed_up", "range_from", "read", "read_range", "rounded",
           "rounded_up", "takes", "unit_text", "ureg",
           "wrapped"]  # fmt: skip
