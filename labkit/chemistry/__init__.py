"""Formulas, balanced equations, mass balances, gas volumes, and what heat makes of a precursor."""

from labkit.chemistry.amounts import amount_from_mass, limiting_reagent, mass_balance, mass_from_amount, percent_yield
from labkit.chemistry.balance import Reaction, balanced, imbalance
from labkit.chemistry.formula import (
    atom_counts,
    atom_fractions,
    charge,
    mass_fractions,
    molar_mass,
    plain_text,
    split_hydrate,
    subscripted,
)
from labkit.chemistry.gas import amount_from_gas_volume, dry_pressure, gas_volume, water_vapour_pressure
from labkit.chemistry.thermolysis import (
    gases,
    gases_at_most,
    powder_from_precursor,
    precursor_for_powder,
    precursors,
    route,
    verdict,
)

__all__ = ["Reaction", "amount_from_gas_volume", "amount_from_mass", "atom_counts", "atom_fractions", "balanced", "charge",
           "dry_pressure", "gas_volume", "gases", "gases_at_most", "imbalance", "limiting_reagent",
           "mass_balance", "mass_fractions", "mass_from_amount", "molar_mass", "percent_yield", "plain_text",
           "powder_from_precursor", "precursor_for_powder", "precursors", "route", "split_hydrate", "subscripted", "verdict",
           "water_vapour_pressure"]  # fmt: skip
