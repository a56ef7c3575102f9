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
from labkit.hydrogen.cases import case_evidence, cases, cases_in_short, printed_hydrogen
from labkit.hydrogen.chain import Chain, Link, hydrogen_chain, link_text
from labkit.hydrogen.dissolved import air_from_warming, air_in_water, dissolved_amount, henry_constant
from labkit.hydrogen.drift import drift_volume
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

__all__ = ["Beside", "Chain", "DryGas", "ELECTRONS_PER_HYDROGEN", "GASES", "GasRate", "GasReadings", "GasVerdict", "Link",
           "ProductCeiling", "Spread", "Witness", "air_from_warming", "air_in_water", "apparent_quantum_yield",
           "apparent_yield", "apparent_yield_of_lamp", "beside", "burning_heat", "case_evidence", "cases",
           "cases_in_short", "dissolved_amount", "drift_volume", "dry_gas", "efficiency_ceiling",
           "efficiency_of_yields", "electrons_per_molecule", "gas_rate", "gas_readings", "gas_verdict",
           "half_reaction", "henry_constant", "hydrogen_ceiling", "hydrogen_chain", "hydrogen_from_current",
           "hydrogen_from_photons", "hydrogen_from_solar_cells", "hydrogen_volume", "incident_photons",
           "kettle_water", "link_text", "litres_of_tea", "photocurrent_ceiling", "pressure_at_altitude",
           "printed_hydrogen", "product_ceiling", "products", "rate_from_efficiency", "read_gas", "solar_to_hydrogen",
           "witness", "witnesses"]  # fmt: skip
