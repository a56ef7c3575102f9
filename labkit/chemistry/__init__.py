"""Formulas, balanced equations, mass balances, gas volumes, and what heat makes of a precursor."""

from labkit.chemistry.amounts import (
    Limiting,
    MassBalance,
    amount_from_mass,
    limiting_reagent,
    mass_balance,
    mass_from_amount,
    percent_yield,
)
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
from labkit.chemistry.mixture import Mixture, precursor_mixture
from labkit.chemistry.thermolysis import (
    PRODUCTS,
    Gas,
    Route,
    Verdict,
    assumed_fraction,
    gases,
    gases_at_most,
    mass_shares,
    powder_from_precursor,
    precursor_for_powder,
    precursors,
    route,
    usual_fraction,
    verdict,
)
from labkit.chemistry.to_weigh import MixtureToWeigh, for_powder, scaled_mixture

__all__ = ["PRODUCTS", "Gas", "Limiting", "MassBalance", "Mixture", "MixtureToWeigh", "Reaction", "Route", "Verdict", "amount_from_gas_volume",
           "amount_from_mass", "assumed_fraction", "atom_counts", "atom_fractions", "balanced", "charge", "dry_pressure", "for_powder",
           "gas_volume", "gases", "gases_at_most", "imbalance", "limiting_reagent", "mass_balance", "mass_fractions",
           "mass_from_amount", "mass_shares", "molar_mass", "percent_yield", "plain_text", "powder_from_precursor",
           "precursor_for_powder", "precursor_mixture", "precursors", "route", "scaled_mixture", "split_hydrate", "subscripted", "usual_fraction", "verdict",
           "water_vapour_pressure"]  # fmt: skip
