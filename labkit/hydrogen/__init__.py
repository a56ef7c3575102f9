"""Hydrogen from light: the ceiling, the honest estimate, and electrolysis to compare with."""

from labkit.hydrogen.amount import (
    ELECTRONS_PER_HYDROGEN,
    apparent_quantum_yield,
    efficiency_ceiling,
    hydrogen_ceiling,
    hydrogen_from_current,
    hydrogen_from_photons,
    hydrogen_from_solar_cells,
    hydrogen_volume,
    rate_from_efficiency,
    solar_to_hydrogen,
)
from labkit.hydrogen.estimate import (
    CEILING,
    Estimate,
    case_evidence,
    case_shares,
    cases,
    cases_in_short,
    hydrogen_estimate,
    hydrogen_numbers,
    light_factors,
    printed_hydrogen,
)

__all__ = ["CEILING", "ELECTRONS_PER_HYDROGEN", "Estimate", "apparent_quantum_yield", "case_evidence", "case_shares",
           "cases", "cases_in_short", "efficiency_ceiling", "hydrogen_ceiling", "hydrogen_estimate",
           "hydrogen_from_current", "hydrogen_from_photons", "hydrogen_from_solar_cells", "hydrogen_numbers",
           "hydrogen_volume", "light_factors", "printed_hydrogen", "rate_from_efficiency", "solar_to_hydrogen"]  # fmt: skip
