"""Exposure limits of gases in air: which body says what, and the same limit in mg/m³.

A limit is an upper bound for trained people at work, watched by others; it is no promise that air
below it does no harm.  Limits move, so each is printed with its body and year.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from labkit.chemistry.formula import molar_mass, subscripted
from labkit.chemistry.gas import gas_volume
from labkit.data import row, table
from labkit.errors import RangeProblem, UnitProblem, chosen
from labkit.units import Note, Q, checked, is_quantity, nominal, printed, printed_down, takes

LIMITS_MOVE = "Limits move: look up the one in force where you are. It is an upper bound for work, and no promise."
ESCAPE = "IDLH means immediately dangerous to life or health: at that level get out, and do not go in."
NO_ESCAPE = "No escape limit (IDLH) of it is known here: get out at any figure over the limits above."
SKIN = "It goes in through the skin too (skin notation in the limits of Ontario, secondary copy)."
LARGEST = 0.05  # of the air; no body has an exposure limit so high, so it is a slip of the unit
AVERAGING = {  # asked for: averaging as printed
    "8 h": ("8 h", "up to 10 h"),
    "15 min": ("15 min",),
    "ceiling": ("ceiling",),
    "escape": ("escape",),
}


@dataclass(frozen=True)
class Limit:
    """One exposure limit: gas, value (ppm), body, year, averaging, and where it was read.

    ``reference_temperature`` is the one at which the body itself turns ppm into mg/m³.  ``kind`` is
    ``"published"`` or ``"from memory"``.
    """

    name: str
    gas: str
    value: object
    body: str
    year: str
    averaging: str
    reference_temperature: object
    source: str
    kind: str
    note: str = ""

    @property
    def mass_concentration(self):
        """The limit in mg/m³, at the reference temperature of its own body."""
        return mass_concentration(self.value, self.gas, self.reference_temperature)

    @property
    def label(self):
        """Body, year, averaging and whether it is only remembered: ``NIOSH REL of 1994, up to 10 h``."""
        body = f"{self.body} of {self.year}" if self.year else f"{self.body}, year not known"
        return ", ".join(part for part in (body, self.averaging, "" if self.kind == "published" else self.kind) if part)

    def __str__(self):
        return (f"{printed_down(self.value)} ({printed_down(self.mass_concentration.to('mg/m**3'), 4)} at "
                f"{self.reference_temperature.magnitude:g} °C): {self.label}")  # fmt: skip


def known_gases():
    """Return the names of the gases that labkit has limits or a word for.

    >>> known_gases()[:3]
    ['NH3', 'CO2', 'CO']
    """
    return [found["name"] for found in table("gases")]


def gas_name(gas):
    """Return the name of a gas as limits.csv has it: a formula or word, in any case of letters.

    Raises ChoiceProblem, which lists the gases there are.

    >>> gas_name("Ammonia"), gas_name("NH3")
    ('NH3', 'NH3')
    """
    if isinstance(gas, str):
        for found in table("gases"):
            if gas.strip().lower() in (found["name"].lower(), found["words"]):
                return found["name"]
    return chosen(gas, known_gases(), "gas called")


def gas_words(gas):
    """Return what a gas is called in a sentence: ``ammonia (NH₃)``.  Raises ChoiceProblem as ``gas_name`` does.

    >>> gas_words("NH3"), gas_words("ethanol")
    ('ammonia (NH₃)', 'ethanol')
    """
    name = gas_name(gas)
    words = row("gases", name)["words"]
    return words if words == name else f"{words} ({subscripted(name)})"


def limits(gas):
    """Return the list of Limits of a gas, lowest first; empty where labkit knows none.

    Of two as low the published one comes first.  For a gas without any see ``no_safe_figure``.  Rows marked ``from memory`` were not checked
    against a printed list.

    Raises
    ------
    ChoiceProblem
        If labkit has no such gas; the message lists those there are.

    References
    ----------
    niosh_ammonia, niosh_idlh_1994, osha_acetone_2008, eh40_2013, ontario_limits, hcn_sheet_2011, osha_cs2_2009,
    so2_sheet_2002; limits.csv has one for each.

    Examples
    --------
    >>> print(limits("acetone")[0])
    250 ppm (593.4 mg/m³ at 25 °C): NIOSH REL of 2008, up to 10 h
    >>> limits("HNCO")
    []
    """
    name = gas_name(gas)
    found = [_limit(found) for found in table("limits") if found["gas"] == name]
    return sorted(found, key=lambda limit: (limit.value.m_as("ppm"), limit.kind != "published"))


def _limit(found):
    plain = {key: found[key] for key in ("name", "gas", "body", "year", "averaging", "source", "kind", "note")}
    return Limit(
        value=Q(float(found["value"]), found["unit"]),
        reference_temperature=Q(float(found["reference_degC"]), "degC"),
        **plain,
    )


def strictest(gas, averaging=None, kind=None):
    """Return the lowest Limit of a gas, a published one before a remembered one that is as low.

    Parameters
    ----------
    gas : str
    averaging : str, optional
        ``"8 h"`` (limits for up to 10 h count too), ``"15 min"``, ``"ceiling"`` or ``"escape"``.
        Without it the lowest of all but escape.
    kind : str, optional
        ``"published"`` leaves remembered limits out.

    Raises
    ------
    ChoiceProblem
        If there is no such gas or averaging.
    RangeProblem
        If labkit knows no such limit of the gas.

    Examples
    --------
    >>> strictest("NH3", "8 h").label, strictest("NH3", "8 h", "published").label
    ('EU IOELV of 2000, 8 h, from memory', 'NIOSH REL of 1994, up to 10 h')
    """
    allowed = AVERAGING[chosen(averaging, AVERAGING, "averaging called")] if averaging is not None else None
    if kind is not None:
        chosen(kind, ("published", "from memory"), "kind of limit")
    fitting = [
        limit
        for limit in limits(gas)
        if (limit.averaging in allowed if allowed else limit.averaging != "escape") and kind in (None, limit.kind)
    ]
    if not fitting:
        why = row("gases", gas_name(gas))["without_limit"]
        raise RangeProblem(f"labkit knows no such limit of {gas_words(gas)}. {why}".strip())
    return fitting[0]  # they come lowest first


def no_safe_figure(gas="HNCO"):
    """Return the sentence that stands where a gas has no limit here.

    Raises
    ------
    ChoiceProblem
        If the gas is not known, or has limits: then see ``limits``.

    References
    ----------
    tinnerberg_2024, cameo_hydrogen

    Examples
    --------
    >>> no_safe_figure("HNCO")[:48]
    'Isocyanic acid (HNCO) has no safe figure here. S'
    """
    name = gas_name(gas)
    without = [found["name"] for found in table("gases") if found["without_limit"]]
    return row("gases", chosen(name, without, "gas without any limit called"))["without_limit"]


def limits_text(gas):
    """Return the limits of a gas as a Note, one to a line, lowest first, with a warning that limits move.

    It also says what an escape limit is, or that none is known, and whether the skin lets the gas in.  Raises ChoiceProblem as ``limits`` does.

    >>> print(limits_text("CS2").splitlines()[0])
    Carbon disulfide (CS₂)
    """
    words = gas_words(gas)
    found = limits(gas)
    lines = [f"• {limit}{f'; {limit.note}' if limit.note else ''}" for limit in found]
    if found:
        lines.append(ESCAPE if any(limit.averaging == "escape" for limit in found) else NO_ESCAPE)
        lines += [SKIN] if row("gases", gas_name(gas))["skin"] else []
    closing = LIMITS_MOVE if found else no_safe_figure(gas)
    return Note("\n".join([words[0].upper() + words[1:], *lines, closing]), "care")


@takes(fraction="[] >= 0", temperature="[temperature] > 0", pressure="[pressure] > 0")
def mass_concentration(fraction, gas, temperature="25 °C", pressure="1 atm"):
    r"""Return the mass per volume of a gas that is a fraction of the air, :math:`x\,pM/(RT)`.

    Parameters
    ----------
    fraction : quantity [plain number, percentage or ppm], by volume
        At most 1, all of the air.
    gas : str
        One of ``known_gases()``, or its word.
    temperature : quantity [thermometer reading]
        At which the volume is taken.  Bodies differ: 25 °C in the United States, 20 °C in Europe;
        ``Limit.mass_concentration`` takes the body's own.
    pressure : quantity [pressure]

    Returns
    -------
    quantity [mass / volume], in mg/m³
        Ideal gas, good to 1 % for what is thin in air.  Single or array.

    Raises
    ------
    UnitProblem, RangeProblem, ReadingProblem, ChoiceProblem
        If an argument is of another kind, negative, or can't be read, a fraction is more than the
        air, or the gas is not known.

    Examples
    --------
    >>> print(f"{mass_concentration('500 ppm', 'acetone'):.0f~P}", f"{mass_concentration('500 ppm', 'acetone', '20 °C'):.0f~P}")
    1187 mg/m³ 1207 mg/m³
    """
    highest = float(np.max(nominal(fraction).m_as("dimensionless"), initial=0.0))
    if highest > 1 + 1e-9:
        raise RangeProblem(f"A fraction is at most 1, all of the air, but this one is {highest:.4g}. Did you mean ppm? Type for "
                           "instance fraction='25 ppm'.")  # fmt: skip
    return (fraction.to("") / volume_per_mole(temperature, pressure) * _molar_mass(gas)).to("mg/m**3")


@takes(concentration="[mass concentration] >= 0", temperature="[temperature] > 0", pressure="[pressure] > 0")
def volume_fraction(concentration, gas, temperature="25 °C", pressure="1 atm"):
    """Return the fraction by volume of a gas from its mass per volume, in ppm; the inverse of ``mass_concentration``.

    Raises what that does; RangeProblem too if there is more of it than pure gas weighs.

    >>> print(f"{volume_fraction('1187 mg/m³', 'acetone'):.0f~P}")
    500 ppm
    """
    fraction = (concentration / _molar_mass(gas) * volume_per_mole(temperature, pressure)).to("ppm")
    highest = float(np.max(nominal(fraction).m_as("dimensionless"), initial=0.0))
    if highest > 1 + 1e-9:
        raise RangeProblem(f"A volume of air can't hold that much: it would be {highest:.4g} times all of the air. Did you mean "
                           "mg/m³? Type for instance concentration='18 mg/m³'.")  # fmt: skip
    return fraction


def volume_per_mole(temperature="25 °C", pressure="1 atm"):
    """Return the volume of a mole of ideal gas, in L/mol, from quantities or text; a ± stays, and an array does.

    Raises what ``labkit.chemistry.gas.gas_volume`` does.

    >>> print(f"{volume_per_mole():.2f~P}, {volume_per_mole('20 °C'):.2f~P}")
    24.47 L/mol, 24.06 L/mol
    """
    return gas_volume(Q(1.0, "mol"), temperature, pressure) / Q(1.0, "mol")


@lru_cache(64)  # a panel asks at every keystroke
def molar_volume(celsius, atmospheres):
    """Return the volume of a mole of gas in m³, from plain numbers.

    >>> round(molar_volume(25.0, 1.0), 5)
    0.02447
    """
    return volume_per_mole(Q(celsius, "degC"), Q(atmospheres, "atm")).m_as("m**3/mol")


def _molar_mass(gas):
    return nominal(molar_mass(row("gases", gas_name(gas))["formula"]))


def limit_fraction(limit):
    """Return the plain fraction of a limit, which may be a Limit, a quantity or text such as ``"25 ppm"``.

    Raises
    ------
    UnitProblem, ReadingProblem, RangeProblem
        If it is no such thing, not more than zero, more than one value, or carries a ``±``; if it
        has no unit, or is 5 % of the air or more, as no exposure limit is.

    >>> round(limit_fraction("25 ppm"), 9)
    2.5e-05
    """
    value = single(limit.value if isinstance(limit, Limit) else limit, "[] > 0", "limit")
    refuse_large(value, "limit")
    return value.m_as("dimensionless")


def refuse_large(value, name):
    """Raise LabError unless a quantity, a limit or what fresh air carries in, is plainly a small share of the air.

    A bare 25 would be 25 times the air, and every answer would then read as harmless.
    """
    highest = float(np.max(nominal(value).m_as("dimensionless"), initial=0.0))
    if not highest:
        return
    word = name.replace(" ", "_")
    if value.units == Q(1.0, "dimensionless").units:
        meant = (
            f"so it would be {highest:.4g} times the air. Did you mean {highest:.4g} ppm?"
            if highest >= 1
            else "and might be anything."
        )
        raise UnitProblem(f"The {name} has no unit, {meant} Type it with its unit, for instance {word}='25 ppm'.")
    if highest >= LARGEST * (1 - 1e-9):
        raise RangeProblem(f"A {name} of {printed(Q(100 * highest, 'percent'))} of the air is taken for a slip of the unit. Did you "
                           f"mean ppm? Type for instance {word}='25 ppm'.")  # fmt: skip


def single(value, need, name):
    """Return ``value`` as one quantity of dimension ``need``, without array or ``±``: a hazard is not averaged.

    ``name`` is in words, ``"air changes"``; what to type is said with the argument's own, ``air_changes``.
    """
    value = checked(value, need, name.replace(" ", "_"))
    if getattr(value.magnitude, "shape", ()) or not isinstance(value.magnitude, (int, float)):
        shown = printed(value) if is_quantity(value) and not getattr(value.magnitude, "shape", ()) else "an array"
        raise RangeProblem(f"One plain value is needed for ‘{name}’, but it is {shown}. For a guess with two ends "
                           "there is room_ranges().")  # fmt: skip
    return Q(float(value.magnitude), value.units)
