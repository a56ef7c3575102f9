"""Solutions and doping: what to weigh, how far to dilute, and how much metal that brings.

Weighing and dissolving have their cautions: ``cautions("chlorides")`` and ``cautions("solvent")``
from ``labkit.data.cautions`` belong beside every number from here.
"""

from labkit.solutions.concentration import (
    anhydrous_from_hydrate,
    diluted_concentration,
    diluted_volume,
    dry_salt_mass,
    hydrate_from_anhydrous,
    mass_for_molarity,
    molarity,
    stock_volume,
    volume_for_molarity,
)
from labkit.solutions.doping import (
    BALANCE_STEP,
    MELON,
    METALS,
    NOT_ALL_TAKEN_UP,
    SALT_PER_POWDER,
    dopant_dose,
    dopants,
    loading_ceiling,
    loading_curve,
    metal_of,
    metal_word,
    mole_ratio,
    nominal_loading,
    refuse_bare_loading,
    refuse_insoluble,
    salt_shares,
    solubility,
)
from labkit.solutions.doubt import concentration_budget, molarity_budget
from labkit.solutions.recipe import (
    PublishedLoading,
    Recipe,
    RecipeCheck,
    checked_recipe,
    published_loadings,
    recipe_check,
    usual_recipe,
)
from labkit.solutions.scaling import Scaled, scaled
from labkit.solutions.steps import Step, Steps, preparation_steps
from labkit.solutions.ways import dopant_ways, metal_cost, metal_mass
from labkit.solutions.weighing import Stage, StockPlan, Weighable, stock_plan, weighable

__all__ = ["PublishedLoading", "Recipe", "RecipeCheck", "Scaled", "Stage", "Step", "Steps", "StockPlan", "Weighable",
           "checked_recipe", "concentration_budget", "dopant_ways", "metal_cost", "metal_mass", "molarity_budget",
           "preparation_steps", "published_loadings", "recipe_check", "scaled", "stock_plan", "usual_recipe", "weighable",
           "BALANCE_STEP", "MELON", "METALS", "NOT_ALL_TAKEN_UP", "SALT_PER_POWDER", "anhydrous_from_hydrate",
           "diluted_concentration", "diluted_volume", "dopant_dose", "dopants", "dry_salt_mass",
           "hydrate_from_anhydrous", "loading_ceiling", "loading_curve", "mass_for_molarity", "metal_of", "metal_word", "molarity",
           "mole_ratio", "nominal_loading", "refuse_bare_loading", "refuse_insoluble", "salt_shares", "solubility",
           "stock_volume", "volume_for_molarity"]  # fmt: skip
