"""The links of the chain in plain numbers: what each factor is, its ends, and what drives the product.

Plain, because a slider has to be followed and a million draws have to be taken.  Each input has the unit of
``UNITS``; a number may be an array.
"""

from functools import cache, lru_cache
from math import prod

import numpy as np

from labkit.data import guess
from labkit.errors import RangeProblem, ReadingProblem, UnitProblem
from labkit.hydrogen.amount import ELECTRONS_PER_HYDROGEN, hydrogen_volume
from labkit.light import irradiance_total, photon_flux_above, photon_flux_total
from labkit.units import Q, Range, agrees, as_range, certain, in_words, is_quantity, number, printed_range, read_range
from labkit.units.ranges import spanned

UNITS = {"light": "mol/m**2", "area": "m**2", "gap": "eV", "absorption": "m**2/g", "load": "g/m**2",
         "concentration": "g/m**3", "depth": "m", "quantum yield": "dimensionless", "temperature": "K",
         "pressure": "Pa"}  # fmt: skip
FALLING = ("gap", "pressure")  # the inputs of which more gives less
LAYER = ("load", "concentration", "depth")  # the inputs that say how much powder is under the light
_TYPED = {"[time]": "4.5 h", "[irradiance]": "600 W/m²", "[amount flux]": "300 µmol/m²/s"}
_LIGHT_NEEDED = (
    "The light is hours of full sun, such as light='4.5 h', or kWh/m² of irradiation. With time= it is an irradiance, "
    "such as 600 W/m², or a photon flux above the gap, such as 300 µmol/m²/s."
)
_LOAD_NEEDED = "The load is a mass per area, such as load='20 g/m²', or a mass per volume with a depth: load='0.5 g/L', depth='3 cm'."  # fmt: skip


def chain_factors(values, given=False, over_water=False):
    """Return the factors of the chain, in its order; their product is mL, and without the last one mol.

    ``given`` is True if the light is already counted above the gap.

    Examples
    --------
    >>> values = {"light": 100.0, "area": 0.02, "gap": 2.7, "quantum yield": 0.001, "temperature": 293.15, "pressure": 101325}
    >>> [float(f"{factor:.3g}") for factor in chain_factors(values).values()]
    [100.0, 0.02, 0.0579, 1.0, 0.001, 0.5, 24100.0]
    """
    return {
        "light": values["light"],
        "area": values["area"],
        "gap": 1.0 if given else _share_above(values["gap"]),
        "absorbed share": absorbed_share(values),
        "quantum yield": values["quantum yield"],
        "electrons": 1 / ELECTRONS_PER_HYDROGEN,
        "molar volume": _molar_volume(values["temperature"], values["pressure"], over_water),
    }


def absorbed_share(values):
    """Return the share of the photons above the gap that a layer absorbs: 1 if nothing is said of it.

    >>> round(float(absorbed_share({"absorption": 1.0, "load": 2.0})), 4), absorbed_share({})
    (0.8647, 1.0)
    """
    if "absorption" not in values:
        return 1.0
    return -np.expm1(-values["absorption"] * load_of(values))


def load_of(values):
    """Return the grams of powder under a square metre."""
    return values["load"] if "load" in values else values["concentration"] * values["depth"]


def input_ends(inputs, falling=FALLING):
    """Return three dicts of numbers: the inputs that give least, the likely ones, and those that give most.

    ``inputs`` maps a name to (low, likely, high); more of those named in ``falling`` gives less.
    """
    least = {name: ends[2 if name in falling else 0] for name, ends in inputs.items()}
    most = {name: ends[0 if name in falling else 2] for name, ends in inputs.items()}
    return least, {name: ends[1] for name, ends in inputs.items()}, most


def ends_and_drivers(total, ends):
    """Return (low, likely, high) of a sum over the ends of its inputs, and its drivers, widest first.

    Each driver is (name, low, high) with the other inputs at their likely values.
    """
    least, likely, most = ends
    drivers = []
    for name in likely:
        if least[name] != most[name]:
            low, high = (float(total({**likely, name: end[name]})) for end in (least, most))
            if high > low:
                drivers.append((name, low, high))
    drivers.sort(key=lambda driver: driver[1] - driver[2])
    return tuple(float(total(values)) for values in ends), tuple(drivers)


def chain_total(plain, without=()):
    """Return the function from values to the product of the factors, but for those named in ``without``."""

    def total(values):
        return prod(factor for name, factor in chain_factors(values, **plain).items() if name not in without)

    return total


def _share_above(gap):
    if np.ndim(gap):
        return number(photon_flux_above(Q(gap, "eV")) / photon_flux_total(), "dimensionless")
    return _share_above_one(float(gap))


@lru_cache(256)  # the places of a slider
def _share_above_one(gap):
    return float(number(photon_flux_above(Q(gap, "eV")) / photon_flux_total(), "dimensionless"))


def _molar_volume(temperature, pressure, over_water):
    """Return the mL that a mole takes."""
    if np.ndim(temperature) or np.ndim(pressure):
        return hydrogen_volume(Q(1.0, "mol"), Q(temperature, "K"), Q(pressure, "Pa"), over_water).m_as("mL")
    return _molar_volume_one(float(temperature), float(pressure), over_water)


@lru_cache(256)
def _molar_volume_one(temperature, pressure, over_water):
    return float(hydrogen_volume(Q(1.0, "mol"), Q(temperature, "K"), Q(pressure, "Pa"), over_water).m_as("mL"))


# --------------------------------------------------------------------------------- what was typed
@cache
def photons_of_an_hour():
    """Return the photons of an hour of full sun, 1 kWh/m², in mol/m²; all wavelengths of ASTM G173-03 counted.

    >>> round(photons_of_an_hour(), 2)
    25.73
    """
    scale = 1000 / number(irradiance_total(), "W/m**2")
    return float(number(photon_flux_total(), "mol/m**2/s")) * 3600 * scale


def light_given(light, time=None):
    """Return (True if counted above the gap, hours of full sun or None, photons in mol/m², words) of a light.

    Raises
    ------
    ReadingProblem, UnitProblem, RangeProblem
        If the light is no time, irradiation, irradiance or photon flux, or the time is missing or one too many.
    """
    span = _light_span(light)
    if agrees(span.likely, "[time]") or _is_irradiation(span.likely):
        if time is not None:
            raise RangeProblem("Hours of full sun and irradiation count the time already: leave time= out, or give the "
                               "light as an irradiance such as 600 W/m².")  # fmt: skip
        hours = span if agrees(span.likely, "[time]") else _scaled(span, 1 / 1000, "W*h/m**2", "h")
        hours = hours.to("h")
        words = f"{printed_range(hours, unit='h')} of full sun"
        return False, hours, _scaled(hours, photons_of_an_hour(), "h", UNITS["light"]), words
    if time is None:
        raise RangeProblem("An irradiance or a photon flux needs to be told how long. Type for instance time='3 h'.")
    time = as_range(time, "[time] > 0", "time")
    lasted = printed_range(time, unit=time.likely.units)
    if agrees(span.likely, "[irradiance]"):
        parts = zip(span.m_as("W/m**2"), time.m_as("h"))
        hours = Range(*(Q(watts * hours / 1000, "h") for watts, hours in parts))
        words = f"sunlight of {printed_range(span, unit='W/m**2')} for {lasted}"
        return False, hours, _scaled(hours, photons_of_an_hour(), "h", UNITS["light"]), words
    parts = zip(span.m_as("mol/m**2/s"), time.m_as("s"))
    words = f"{printed_range(span, unit='µmol/m**2/s')} above the gap for {lasted}"
    return True, None, Range(*(Q(flux * seconds, UNITS["light"]) for flux, seconds in parts)), words


def _light_span(light):
    """Return the Range of a light, of whichever kind it is."""
    light = getattr(light, "irradiation", light)  # the sun of a day or of a year knows what all of it brings
    if isinstance(light, str):
        light = _typed_light(light)
    kind = spanned(light).likely if isinstance(spanned(light), Range) else light
    if not is_quantity(kind):
        raise UnitProblem(f"The light has no unit. {_LIGHT_NEEDED}")
    for need in _TYPED:
        if agrees(kind, need):
            return as_range(light, f"{need} > 0", "light")
    if not _is_irradiation(kind):
        raise UnitProblem(f"The light can't be {in_words(kind)}. {_LIGHT_NEEDED}")
    return _plain_span(light, "kWh/m**2", "light", "4.5 kWh/m²", _LIGHT_NEEDED)


def _typed_light(text):
    """Return the Range that was typed: hours, kWh/m², an irradiance or a photon flux."""
    for need, example in _TYPED.items():
        try:
            return read_range(text, need, "light", example)
        except ReadingProblem as problem:
            if any(words in str(problem) for words in ("lower end", "between the ends", "the word “to”", "either")):
                raise  # it is of this kind, and only the range is at fault
    return _plain_span(text, "kWh/m**2", "light", "4.5 kWh/m²", _LIGHT_NEEDED)


def _is_irradiation(quantity):
    return quantity.dimensionality == Q(1, "kWh/m**2").dimensionality


def _scaled(span, factor, unit, to):
    return Range(*(Q(size * factor, to) for size in span.m_as(unit)))


def layer_given(load, depth, absorption):
    """Return the inputs of a layer of powder: none, or its absorption with a load or a concentration and a depth.

    Raises
    ------
    RangeProblem, UnitProblem, ReadingProblem
        If a depth stands alone, is missing or is one too many, or the load is of another kind.
    """
    if load is None:
        if depth is not None or absorption is not None:
            raise RangeProblem(f"A depth or an absorption needs a load beside it. {_LOAD_NEEDED}")
        return {}
    taken = guess("absorption", "carbon nitride above its gap") if absorption is None else _as_area_per_mass(absorption)
    if depth is None:
        span = _per_area(load)
        return {"absorption": taken, "load": span}
    return {
        "absorption": taken,
        "concentration": as_range(load, "[mass concentration] > 0", "load"),
        "depth": as_range(depth, "[length] > 0", "depth"),
    }


def _per_area(load):
    return _plain_span(load, "g/m**2", "load", "20 g/m²", _LOAD_NEEDED)


def _as_area_per_mass(absorption):
    told = "The absorption is an area per mass. Type for instance absorption='0.5 to 5 m²/g'."
    return _plain_span(absorption, "m**2/g", "absorption", "2 m²/g", told)


def _plain_span(value, unit, name, example, told):
    """Return a Range, more than zero, of a kind of quantity that has no name of its own among the dimensions."""
    dimension = Q(1, unit).dimensionality
    if isinstance(value, str):
        try:
            value = read_range(value, str(dimension).replace(" ", ""), name, example)
        except (ReadingProblem, KeyError):
            raise ReadingProblem(f"The {name} could not be read. {told}") from None
    span = spanned(value)
    if not isinstance(span, Range):
        if not is_quantity(span):
            raise UnitProblem(f"The {name} has no unit. {told}")
        span = certain(span)
    if span.likely.dimensionality != dimension:
        raise UnitProblem(f"The {name} can't be {in_words(span.likely)}. {told}")
    if not span.low.magnitude > 0 or not np.isfinite(span.high.magnitude):
        raise RangeProblem(f"The {name} has to be more than zero. {told}")
    return span
