"""Whatever stands in the place of an argument of solutions and uptake: an answer, or a kind refusal."""

import inspect
import warnings

import pytest
from hostile import HOSTILE

import labkit.solutions
import labkit.uptake
from labkit.errors import LabError
from labkit.solutions import Recipe
from labkit.units import Q
from labkit.uptake import LANGMUIR

PHOTO = "c / mg/L;R;G;B\nwhite;250;250;250\n0;240;240;235\n5;240;236;200\n10;239;232;170\n20;238;225;125\n40;235;210;60"
GOOD = {
    "formula": "FeCl3", "salt": "FeCl3", "metal": "Fe", "solvent": "acetone", "liquid": "water", "tube": "polypropylene",
    "mass": "1.2 g", "salt_mass": "0.3 g", "powder_mass": "1 g", "wet": "5 g", "dry": "2 g", "damp": "5 g", "first": "38 g",
    "second": "39 g", "mass_difference": "0.3 g", "offered": "100 mg", "step": "10 mg", "volume": "50 mL", "held": "5 mL",
    "added": "20 mL", "total": "90 mL", "portions": ["20 mL", "20 mL"], "stock_volume": "5 mL", "diluted_volume": "50 mL",
    "loading": "1 %", "target": "1 %", "molarity": "0.1 mol/L", "stock_concentration": "1 mol/L", "diluted_concentration": "0.1 mol/L",
    "concentration": "20 mg/L", "before": "100 ± 1 mg/L", "after": "80 ± 1 mg/L", "supernatant": ("50 mg/L", "100 mL"),
    "washes": 3, "time": "4 h", "height": "5 cm", "radius": "9 cm", "inner": "5 cm", "outer": "9 cm", "diameter": "1 µm",
    "speed": "3000 rpm", "force": "1000 × g", "rated_force": "2000 × g", "powder_density": "2 g/cm³",
    "density_difference": "1 g/cm³", "viscosity": "1 mPa·s", "price": "3 €/g", "recipe": Recipe("0.3 g", "FeCl3", "2 g", "60 mL", "acetone"),
    "standards": ([0, 1, 2, 3.0], [0, 0.1, 0.2, 0.3]), "picture": PHOTO, "curve": LANGMUIR, "x": [1, 2, 3, 4, 5.0],
    "y": [1, 1.6, 2, 2.3, 2.5], "source": "min;mg/g\n1;2\n2;3\n3;4", "name": "iron by soaking",
}  # fmt: skip
ODD = [*HOSTILE[::15], "", None, float("nan"), float("inf"), -1, 0, [], {}, Q(float("nan"), "g"), Q([1, 2], "g"), Q(-1, "mL"),
       "1e-300 g", "٣ g", "<b>1</b> g", "5 %", "-3 mL", "1e999 g"]  # fmt: skip
OF_CODE = {
    "read_columns",
    "refuse_bare_loading",
}  # take columns, or the name of a function, and not what somebody types


def functions():
    found = {
        f"{room.__name__}.{name}": getattr(room, name)
        for room in (labkit.solutions, labkit.uptake)
        for name in room.__all__
        if inspect.isfunction(getattr(room, name)) and name not in OF_CODE
    }
    assert len(found) > 50
    return found


@pytest.mark.parametrize("name", functions())
def test_odd_arguments_are_answered_or_refused(name):
    function = functions()[name]
    needed = [
        argument.name
        for argument in inspect.signature(function).parameters.values()
        if argument.default is argument.empty
        and argument.kind in (argument.POSITIONAL_OR_KEYWORD, argument.KEYWORD_ONLY)
    ]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for odd_one in needed:
            for odd in ODD:
                try:
                    str(function(**{argument: GOOD.get(argument, "1 g") for argument in needed} | {odd_one: odd}))
                except LabError as refusal:
                    assert str(refusal).strip()
