"""The whole chain from light to millilitres: every link with its range, its words and its source."""

from dataclasses import dataclass, field
from html import escape
from types import MappingProxyType

from labkit.data import guess, row
from labkit.errors import RangeProblem, chosen
from labkit.hydrogen.amount import refuse_narrow
from labkit.hydrogen.cases import case_evidence, cases, printed_hydrogen
from labkit.hydrogen.links import (
    FALLING,
    LAYER,
    UNITS,
    absorbed_share,
    chain_factors,
    chain_total,
    ends_and_drivers,
    input_ends,
    layer_given,
    light_given,
    load_of,
)
from labkit.hydrogen.spread import spread_from
from labkit.units import DRAWS, Note, Q, Range, as_range, number_text, printed_range, range_from, unbroken, wrapped

_WELL_FILLED = (
    "The yield is taken per photon absorbed, as in a cell that lets nothing through: every photon above the gap counts "
    "as absorbed. A thin or dilute layer absorbs less: give its load."
)
_LOADED = (
    "Published yields count the photons that arrive at cells which let next to nothing through; with a load they are "
    "taken per photon absorbed, and not multiplied by that share a second time. How strongly powder absorbs is a guess."
)
_FLATTERS = "A yield measured at one wavelength is used for all photons above the gap, which flatters the result."
_NOTHING = "Without noble metal and donor the likely answer is nothing; the upper end is a guess, so this says little more than that."
_DONOR = (
    "The donor is used up: this is not splitting of water, and no solar-to-hydrogen efficiency may be given for it."
)
_VENT = "A few millilitres at most, vented outdoors: no closed glass, no flame."
_WITH_OXYGEN = f"The volume is of hydrogen alone. Half as much oxygen comes with it where water is split, and the two can detonate. {_VENT}"
_LIGHTS = f"Hydrogen lights in air from 4 % upward. {_VENT}"


@dataclass(frozen=True)
class Link:
    """One link: its ``factor``, the ``value`` that is left after it, in ``words`` what that is, and the ``source``.

    ``told`` are words for the factor where they say more than its number.
    """

    name: str
    words: str
    factor: Range
    value: Range
    source: str
    told: str = ""


@dataclass(frozen=True, eq=False, repr=False)
class Chain:
    """Hydrogen from light, link by link.

    ``links`` are in the order of the light; ``hydrogen`` (µmol) and ``volume`` (mL) are what comes out, with their
    drivers; ``ceiling`` and ``ceiling_volume`` are what the same light gives if every photon above the gap moves one
    electron.  ``hours`` of full sun are None for a lamp; ``inputs`` are the Ranges that went in.
    """

    case: str
    conditions: str
    links: tuple
    hydrogen: Range
    volume: Range
    ceiling: Range
    ceiling_volume: Range
    state: str
    kind: str
    evidence: str
    notes: tuple
    hours: Range | None
    powder: Range | None
    inputs: dict = field(default_factory=dict)
    plain: dict = field(default_factory=dict)
    asked: dict = field(default_factory=dict)

    @property
    def per_area(self):
        """Hydrogen per lit area, a Range in µmol/m²."""
        return self._result("µmol/m**2", 1e6, chain_total(self.plain, ("area", "molar volume")))

    @property
    def per_gram(self):
        """Hydrogen per gram of powder, a Range in µmol/g; needs ``powder=`` or ``load=``."""
        if self.powder is not None:
            return range_from(
                lambda hydrogen, powder: (hydrogen / powder).to("µmol/g"), hydrogen=self.hydrogen, powder=self.powder
            )
        if "absorption" not in self.inputs:
            raise RangeProblem("Hydrogen per gram needs the mass of the powder. Type for instance powder='0.3 g'.")
        total = chain_total(self.plain, ("area", "molar volume"))
        # A thicker layer absorbs more, but each gram in it gets less light.
        return self._result("µmol/g", 1e6, lambda values: total(values) / load_of(values), (*FALLING, *LAYER))

    def over(self, light, time=None):
        """Return the same chain in other light, such as ``chain.over("1100 to 1500 h")`` for the sun of a year."""
        return hydrogen_chain(**{**self.asked, "light": light, "time": time})

    def spread(self, count=DRAWS, seed=1, detection=None):
        """Return the Spread of random draws: what comes out if each guess is as likely as it says.

        Parameters
        ----------
        count, seed : int
            The same seed gives the same figures.  A million draws take less than a second.
        detection : quantity or text [volume], optional
            The smallest volume that can be told from nothing, for the share of the draws below it.

        Notes
        -----
        Each input is drawn on its own as ``labkit.units.draws`` does: half below its likely value, half above.  The
        median is therefore the likely volume only if one input is uncertain, or the ranges are not lopsided.
        """
        inputs = {name: Range(*(Q(end, UNITS[name]) for end in span.m_as(UNITS[name]))) for name, span in self.inputs.items()}  # fmt: skip
        return spread_from(inputs, lambda values: chain_factors(values, **self.plain), count, seed, detection)

    def _result(self, unit, scale, total, falling=FALLING):
        return _result(_plain_ends(self.inputs, falling), unit, scale, total)

    @property
    def sentence(self):
        """The result in words, with what drives it."""
        drives = f" The spread comes mostly from the {self.volume.driver}." if self.volume.driver else ""
        if not self.volume.likely.magnitude:
            drives = ""
        return (f"With {self.conditions}: {link_text(self.volume)} of hydrogen ({self.state}; {self.kind}); the "
                f"ceiling of the light is {printed_range(self.ceiling_volume)}.{drives}")  # fmt: skip

    def rows(self):
        """Return the links as rows of text: what is left, how much, by which factor, and where that is from."""
        return [(link.words, link_text(link.value), link.told or link_text(link.factor), link.source) for link in self.links]  # fmt: skip

    def __str__(self):
        lines = [f"  {words}: {left}" for words, left, _, _ in self.rows()]
        return "\n".join(
            [wrapped(self.sentence), *(wrapped(line, "    ") for line in lines), *map(wrapped, self.notes)]
        )

    __repr__ = __str__

    def _repr_html_(self):
        left = 'style="text-align:left;vertical-align:top;padding:4px 14px 4px 0"'
        head = ("Link", "What is left", "Factor", "Where the factor is from")
        body = "".join(
            "<tr>" + "".join(f"<{tag} {left}>{escape(unbroken(cell))}</{tag}>" for cell in cells) + "</tr>"
            for tag, cells in [("th", head), *(("td", row) for row in self.rows())]
        )
        return f"{Note(self.sentence)._repr_html_()}<table>{body}</table>{Note(chr(10).join(self.notes))._repr_html_()}"


def hydrogen_chain(gap, area, light, case="plain", *, time=None, load=None, depth=None, powder=None, absorption=None,
                   quantum_yield=None, temperature="20 °C", pressure="1 atm", over_water=False):  # fmt: skip
    """Return the Chain from light to a volume of hydrogen.

    Parameters
    ----------
    gap : quantity, text or Range [energy]
        Band gap of the powder.
    area : quantity, text or Range [area]
        Lit area that faces the light.
    light : quantity, text or Range
        Hours of full sun [time]; or irradiation such as 4.5 kWh/m², which is as many hours; or with ``time``, the
        irradiance of sunlight, or the photon flux of a lamp above the gap.  Or the sun of a day or of a whole year,
        as ``labkit.light`` has it.
    case : str
        One of ``cases()``; its quantum yield is used unless ``quantum_yield`` is given.
    time : quantity, text or Range [time], optional
        How long, for an irradiance or a photon flux.
    load, depth : quantity, text or Range, optional
        Powder under the light: [mass / area], or [mass concentration] with a depth [length].
    powder : quantity, text or Range [mass], optional
        Mass of powder in the cell, for the hydrogen per gram only.
    absorption : quantity, text or Range [area / mass], optional
        How strongly the powder absorbs; the guess of absorption.csv if left out.
    quantum_yield : quantity, text or Range, optional
        Electrons that end in hydrogen per absorbed photon, at most 1.
    temperature, pressure : quantity, text or Range
        Of the gas.
    over_water : bool
        True to count the water vapour in the gas.

    Returns
    -------
    Chain
        One value of each input at a time, or a range of it; no arrays.

    Raises
    ------
    ChoiceProblem, UnitProblem, ReadingProblem, RangeProblem
        If an input can't be used; says what to type.

    Notes
    -----
    An hour of full sun is 1 kWh/m² in the shape of ASTM G173-03.  All links multiply, so the ends of the result are
    those of all links together, as if all bad luck, or all good, fell on one day; ``Chain.spread`` says how likely
    that is.  An *apparent* yield already counts the photons that its cell did not absorb: with a load it is taken
    per photon absorbed, so that no share is counted twice.

    References
    ----------
    astm_g173, iupac_photocatalysis_2011; quantum_yields.csv, absorption.csv

    Examples
    --------
    >>> chain = hydrogen_chain("2.75 eV", "120 cm²", "4 h", "donor and platinum")
    >>> print(chain.volume, "| ceiling", chain.ceiling_volume)
    0.76 to 33 mL, likely 2.4 mL | ceiling 759 mL
    >>> print(chain.over("1300 h").volume)
    250 to 11000 mL, likely 760 mL
    """
    asked = dict(locals())
    found = row("quantum_yields", chosen(case, cases(), "case"))
    gap = as_range(gap, "[energy] > 0", "gap")
    refuse_narrow(gap.low, "hydrogen_chain")
    given, hours, photons, told = light_given(light, time)
    inputs = {
        "light": photons,
        "area": as_range(area, "[area] > 0", "area"),
        "gap": gap,
        **layer_given(load, depth, absorption),
        "quantum yield": _yield(quantum_yield, case),
        "temperature": as_range(temperature, "[temperature]", "temperature"),
        "pressure": as_range(pressure, "[pressure] > 0", "pressure"),
    }
    plain = {"given": given, "over_water": bool(over_water)}
    ends = _plain_ends(inputs)
    factors = [chain_factors(values, **plain) for values in ends]
    best = [{**part, "absorbed share": 1.0, "quantum yield": 1.0} for part in factors]
    gas = f"{printed_range(inputs['temperature'], 2, 'degC')} and {printed_range(inputs['pressure'], 3, 'hPa')}"
    powder = None if powder is None else as_range(powder, "[mass] > 0", "powder")
    own = quantum_yield is not None
    return Chain(
        case=case,
        conditions="the quantum yield given" if own else found["conditions"],
        links=_links(factors, _sources(found, given, inputs, own), told),
        hydrogen=_result(ends, "µmol", 1e6, chain_total(plain, ("molar volume",))),
        volume=_result(ends, "mL", 1, chain_total(plain)),
        ceiling=_running(best, "electrons", "µmol", 1e6),
        ceiling_volume=_running(best, "molar volume", "mL"),
        state=f"{'over water' if over_water else 'dry'}, {gas}",
        kind="with a yield of your own" if own else found["kind"],
        evidence="" if own else f"Published: {case_evidence(case)}",
        notes=_notes(case, inputs, powder, own),
        hours=hours,
        powder=powder,
        inputs=MappingProxyType(inputs),
        plain=MappingProxyType(plain),
        asked=MappingProxyType(asked),
    )


def link_text(span):
    """Return a Range in words; a likely value that all but meets an end costs it no further figures.

    >>> link_text(Range(Q(72.8, "mmol"), Q(84.23999, "mmol"), Q(84.24, "mmol")))
    '73 to 84 mmol, likely 84 mmol'
    """
    low, likely, high = span.m_as(span.likely.units)
    if low != high and min(likely - low, high - likely) < 0.005 * high:
        likely = low if likely - low < high - likely else high
        span = Range(*(Q(size, span.likely.units) for size in (low, likely, high)))
    return printed_hydrogen(span)


def _yield(quantum_yield, case):
    if quantum_yield is None:
        return guess("quantum_yields", case)
    span = as_range(quantum_yield, "[] >= 0", "quantum yield")
    if span.m_as("dimensionless")[2] > 1:
        most = span.m_as("dimensionless")[2]
        raise RangeProblem(f"A quantum yield for hydrogen can't be over 100 %. If {most:g} was meant in percent, type "
                           f"quantum_yield='{most:g} %'.")  # fmt: skip
    return span


def _plain_ends(inputs, falling=FALLING):
    return input_ends({name: span.m_as(UNITS[name]) for name, span in inputs.items()}, falling)


def _result(ends, unit, scale, total):
    """Return the Range of a sum over the ends of the inputs, with its drivers, in a unit."""
    sizes, drivers = ends_and_drivers(total, ends)
    drivers = tuple((name, Q(low * scale, unit), Q(high * scale, unit)) for name, low, high in drivers)
    return Range(*(Q(size * scale, unit) for size in sizes), drivers=drivers)


def _running(factors, last, unit, scale=1):
    """Return the Range of the product of the factors up to one of them."""
    sizes = []
    for part in factors:
        size = scale
        for name, factor in part.items():
            size *= factor
            if name == last:
                break
        sizes.append(Q(float(size), unit))
    return Range(*sizes)


_LINKS = (  # name of the factor, what is left after it, the unit of the factor and of what is left
    ("light", "photons on each square metre", "mol/m**2", "mol/m**2"),
    ("area", "photons on the lit area", "m**2", "mol"),
    ("gap", "photons above the gap", "percent", "mol"),
    ("absorbed share", "photons absorbed", "percent", "mol"),
    ("quantum yield", "electrons in hydrogen", "percent", "mol"),
    ("electrons", "hydrogen", "dimensionless", "mol"),
    ("molar volume", "volume of hydrogen", "mL/mol", "mL"),
)


def _links(factors, sources, told):
    links = []
    for name, words, unit, left in _LINKS:
        scale = 100 if unit == "percent" else 1
        factor = Range(*(Q(float(part[name]) * scale, unit) for part in factors))
        links.append(
            Link(name, words, factor, _running(factors, name, left), sources[name], told if name == "light" else "")
        )
    return tuple(links)


def _sources(found, given, inputs, own):
    load = f"{inputs['absorption'].why.partition(':')[0] or 'typed'}: 1 - exp(-absorption × load)" if "absorption" in inputs else "taken as all: no load given"  # fmt: skip
    return {
        "light": "typed" if given else "in the spectrum of ASTM G173-03, all wavelengths",
        "area": "typed",
        "gap": "counted above the gap already" if given else "computed for the sunlight of ASTM G173-03",
        "absorbed share": load,
        "quantum yield": "typed" if own else f"{found['kind']}: {found['note']}",
        "electrons": "two for each molecule",
        "molar volume": "ideal gas, computed",
    }


def _notes(case, inputs, powder, own):
    notes = [_LOADED if "absorption" in inputs else _WELL_FILLED]
    if powder is not None and "absorption" not in inputs:
        taken = guess("absorption", "carbon nitride above its gap").m_as("m**2/g")
        loads = [mass / area for mass, area in zip(powder.m_as("g"), reversed(inputs["area"].m_as("m**2")))]
        low, high = (absorbed_share({"absorption": end, "load": load}) for end, load in ((taken[0], loads[0]), (taken[2], loads[2])))  # fmt: skip
        if low < 0.9:
            notes.append(f"This powder spread over this area is about {number_text(loads[1], 2)} g/m², which would absorb "
                         f"{number_text(100 * low, 2)} to {number_text(100 * high, 2)} % of the light (a guess): give load= to count that.")  # fmt: skip
    if not own:
        notes += [_FLATTERS, _NOTHING if case == "plain" else _DONOR]
    notes.append(_WITH_OXYGEN if case == "plain" else _LIGHTS)
    return tuple(notes)
