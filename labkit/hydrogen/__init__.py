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
from labkit.hydrogen.chain import Chain, Link, hydrogen_chain, link_text
from labkit.hydrogen.dissolved import air_from_warming, air_in_water, dissolved_amount, henry_constant
from labkit.hydrogen.drift import drift_volume
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
from labkit.hydrogen.incident import apparent_yield, apparent_yield_of_lamp, incident_photons
from labkit.hydrogen.kettle import Beside, beside, burning_heat, kettle_water, litres_of_tea
from labkit.hydrogen.over_water import GASES, DryGas, dry_gas, pressure_at_altitude
from labkit.hydrogen.products import (
    ProductCeiling,
    electrons_per_molecule,
    half_reaction,
    photocurrent_ceiling,
    product_ceiling,
    products,
)
from labkit.hydrogen.rate import GasRate, gas_rate
from labkit.hydrogen.readings import GasReadings, gas_readings, read_gas
from labkit.hydrogen.spread import Spread
from labkit.hydrogen.verdict import GasVerdict, gas_verdict
from labkit.hydrogen.witness import Witness, efficiency_of_yields, witness, witnesses

__all__ = ["Beside", "Chain", "Link", "ProductCeiling", "Spread", "Witness", "beside", "burning_heat",
           "efficiency_of_yields", "electrons_per_molecule", "half_reaction", "hydrogen_chain", "kettle_water",
           "link_text", "litres_of_tea", "photocurrent_ceiling", "product_ceiling", "products", "witness", "witnesses",
           "GasRate", "GasReadings", "GasVerdict", "apparent_yield", "apparent_yield_of_lamp", "drift_volume",
           "gas_rate", "gas_readings", "gas_verdict", "incident_photons", "read_gas",
           "DryGas", "GASES", "air_from_warming", "air_in_water", "dissolved_amount", "dry_gas", "henry_constant",
           "pressure_at_altitude",
           "CEILING", "ELECTRONS_PER_HYDROGEN", "Estimate", "apparent_quantum_yield", "case_evidence", "case_shares",
           "cases", "cases_in_short", "efficiency_ceiling", "hydrogen_ceiling", "hydrogen_estimate",
           "hydrogen_from_current", "hydrogen_from_photons", "hydrogen_from_solar_cells", "hydrogen_numbers",
           "hydrogen_volume", "light_factors", "printed_hydrogen", "rate_from_efficiency", "solar_to_hydrogen"]  # fmt: skip
