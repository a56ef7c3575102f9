"""Quantities with units: the one registry, what learners type, the guard, rounding, ranges."""

from labkit.units.budget import Budget, budget, printed_ends, printed_with, shared_correlation
from labkit.units.conversion import converted, number
from labkit.units.dimensions import EXAMPLES, agrees, in_words, split_need
from labkit.units.draws import DRAWS, draws
from labkit.units.guard import checked, refuse_array, takes
from labkit.units.lines import wrapped
from labkit.units.notes import Note, unbroken
from labkit.units.propagation import coverage_factor
from labkit.units.ranges import Range, as_range, certain, printed_range, range_from, read_range
from labkit.units.reader import read, unit_from_text
from labkit.units.registry import Q, is_quantity, nominal, ureg
from labkit.units.rounding import (
    clock_text,
    figures_in,
    handy,
    number_text,
    printed,
    printed_down,
    printed_up,
    rounded,
    rounded_down,
    rounded_up,
    unit_text,
)
from labkit.units.spread import (
    Uncertain,
    arcsine,
    from_readings,
    normal,
    readings_correlation,
    rectangular,
    triangular,
    uncertain,
)
from labkit.units.straight_line import Line, straight_line

__all__ = ["Line", "straight_line", "Budget", "Uncertain", "arcsine", "budget", "coverage_factor", "from_readings", "normal", "printed_ends",
           "printed_with", "readings_correlation", "rectangular", "shared_correlation", "triangular", "uncertain",
           "DRAWS", "EXAMPLES", "Note", "Q", "Range", "agrees", "as_range", "certain", "checked", "clock_text", "converted", "draws", "figures_in", "handy",
           "in_words", "is_quantity", "nominal", "number", "number_text", "printed", "printed_down", "printed_range",
           "printed_up", "range_from", "read", "read_range", "refuse_array", "rounded", "rounded_down", "rounded_up",
           "split_need", "takes", "unbroken", "unit_from_text", "unit_text", "ureg", "wrapped"]  # fmt: skip
