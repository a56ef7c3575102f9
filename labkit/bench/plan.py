"""A first batch on one page: what to weigh, what to expect, and how sure that is."""

import textwrap
from dataclasses import dataclass, replace
from functools import lru_cache
from html import escape

from labkit.bench.firing import as_schedule, heat_lines, heat_warnings, room_lines, room_warning
from labkit.bench.light import hydrogen_lines
from labkit.bench.line import Line
from labkit.bench.soaking import Soak, soak
from labkit.chemistry.formula import subscripted
from labkit.chemistry.thermolysis import (
    assumed_fraction,
    gases,
    gases_at_most,
    powder_from_precursor,
    route,
    usual_fraction,
)
from labkit.data import guess, row, value
from labkit.data.cautions import cautions, firing_steps
from labkit.errors import LabError, RangeProblem
from labkit.solutions import METALS, dopants, loading_ceiling, metal_of, refuse_bare_loading
from labkit.units import (
    Note,
    Q,
    Range,
    as_range,
    certain,
    checked,
    nominal,
    number,
    printed,
    printed_range,
    printed_up,
    range_from,
    unbroken,
    wrapped,
)

SECTIONS = ("Weigh", "In this order", "Firing", "Washing", "Expect", "Gas from the firing", "Room air", "Hydrogen")
BENCH_BATCH = Q(1, "kg")  # of precursor; our choice of where a garage ends
_BOUND = {  # what stands beside the most that the atoms allow
    "NH3": "plan the extraction for this",
    "HNCO": "isocyanic acid; no safe figure is known here, so none may reach a person",
    "HCN": "hydrogen cyanide, deadly; comes when overheated, and from thiourea in air",
    "CS2": "carbon disulfide, poisonous, lights at about 90 °C",
    "COS": "carbonyl sulfide, poisonous",
    "SO2": "sulfur dioxide, hurts the lungs",
}


@dataclass(frozen=True, repr=False)
class Plan:
    """A batch plan.  Print it, or take single results from ``lines`` and ``find``.

    ``steps`` are the steps whose cautions belong to it; ``remarks`` are to be read first.
    """

    title: str
    lines: tuple
    steps: tuple
    remarks: tuple = ()

    def find(self, item):
        """Return the Line called ``item``; LabError, naming the lines there are, if there is none."""
        for line in self.lines:
            if line.item == item:
                return line
        raise LabError(f"The plan has no line “{item}”; it has: {', '.join(line.item for line in self.lines)}.")

    def page(self):
        """Return the plan as text, without the cautions; notes stand under their lines."""
        width = max(len(line.item) for line in self.lines)
        indent = " " * (width + 6)
        parts = [self.title, *(wrapped(f"! {remark}", hanging="  ") for remark in self.remarks)]
        for section in SECTIONS:
            parts.append(f"\n{section}")
            for line in self.lines:
                if line.section == section:
                    parts.append(f"  {line.item:<{width}}  {line.text}")
                    parts += textwrap.wrap(line.note, 84, initial_indent=indent, subsequent_indent=indent)
        return "\n".join(parts)

    def rows(self):
        """Return the plan as rows of (item, value, note); the head of a section fills only its first place."""
        rows = []
        for section in SECTIONS:
            rows.append((section, "", ""))
            rows += [(line.item, line.text, line.note) for line in self.lines if line.section == section]
        return rows

    def __repr__(self):
        return self.page()

    def _repr_html_(self):
        left = 'style="text-align:left;vertical-align:top;padding:4px 14px 4px 0"'
        body = "".join(
            f"<tr><td {left}>{_cell(item)}</td><td {left}><b>{_cell(text)}</b></td><td {left}>{_cell(note)}</td></tr>"
            if text
            else f'<tr><th colspan="3" {left}>{escape(item)}</th></tr>'
            for item, text, note in self.rows()
        )
        remarks = "".join(Note(remark, "care")._repr_html_() for remark in self.remarks)
        return f"<p><b>{escape(self.title)}</b></p>{remarks}<table>{body}</table>"

    def cautions(self):
        """Return the cautions for every step of the batch, in the order of the work."""
        return cautions(*self.steps)

    def __str__(self):
        return f"{self.page()}\n\nCautions\n{wrapped(self.cautions(), hanging='  ')}"


def _cell(text):
    return escape(unbroken(text))


def batch_plan(
    doped_powder,
    area,
    time,
    *,
    precursor="urea",
    fraction=None,
    salt="FeCl3·6H2O",
    solvent=None,
    solvent_volume=None,
    loading="0.5 %",
    recovery=None,
    uptake=None,
    held=None,
    wash_volume=None,
    gap=None,
    case="plain",
    temperature="20 °C",
    pressure="1 atm",
    firing=None,
    power=None,
    duty=None,
    price=None,
    room=None,
    air_changes=None,
    mixing_factor=None,
):
    """Return the Plan for a wanted mass of doped powder and the light it will stand in.

    Parameters
    ----------
    doped_powder : quantity or text [mass]
        Wanted after washing and drying.
    area : quantity, text or Range
        Lit area.
    time : SunDay, SunYear, quantity, text or Range
        The light on it: a day of ``labkit.light.sun_day``, hours of full sun (AM1.5G), or irradiation such as
        ``"4.2 kWh/m²"``.
    precursor : str
        One of ``labkit.chemistry.thermolysis.precursors()``.
    fraction, recovery, uptake : Range or text, optional
        Fraction of theory that the firing gives; share of powder kept through washing; share of
        the metal taken up.  Defaults are from memory (yields.csv, handling.csv) and say so.  The
        uptake may be what ``labkit.uptake.taken_up`` found of an earlier batch.
    held, wash_volume : Range, quantity or text, optional
        Liquid that the wet powder holds, and fresh solvent of each wash.  Left out, a guess from memory
        (washing.csv) and 20 mL per gram.
    salt, solvent, solvent_volume : text
        The salt as it stands in the jar, hydrate included.  Without a solvent the usual one for its
        metal (dopants.csv); without a volume, 60 mL per gram.
    loading : quantity or text, in percent
        Metal over metal plus powder, if everything were taken up; at most ``loading_ceiling``.
    gap : Range or text [energy], optional
        The range for powder from the precursor (gaps.csv) if left out.
    case : str
        One of ``labkit.hydrogen.cases()``.
    firing : Schedule or list of text, optional
        The steps of the firing, such as ``["to 550 °C at 3 °C/min", "hold 3 h"]``; the usual ones if left out.
    power, duty : Range, quantity or text, optional
        Of the kiln, and the share of the time it is on.  Defaults are guesses and say so.
    price : text, optional
        Such as ``"0.30 €/kWh"``.
    room, air_changes, mixing_factor : Range, quantity or text, optional
        Volume of the room that someone may think of firing in, its air changes (``"0.5 to 2 /h"``)
        and how badly it mixes (1 to 10).  An example garage if left out.

    Raises
    ------
    LabError
        Naming the input that can't be used and what to type instead.

    Notes
    -----
    Ranges are worst case against worst case (``labkit.units.range_from``).  The gases "at most" are
    for the high end of what may be weighed; they bound each gas alone.
    """
    doped_powder = nominal(checked(doped_powder, "[mass] > 0", "doped powder", "batch_plan"))
    loading = nominal(checked(loading, "[] >= 0", "loading", "batch_plan"))
    refuse_bare_loading(loading, "batch_plan")
    solvent = _usual_solvent(salt) if solvent is None else solvent
    loading, ceiling = loading.to("percent"), loading_ceiling(metal_of(salt))
    if loading > ceiling:
        raise RangeProblem(f"A loading of {printed(loading)} is more than the powder has places for, "
                           f"{printed(ceiling)}. Type for instance loading='0.5 %'.")  # fmt: skip
    temperature = nominal(checked(temperature, "[temperature]", "temperature", "batch_plan"))
    pressure = nominal(checked(pressure, "[pressure] > 0", "pressure", "batch_plan"))
    recovery_range = _share(recovery, "recovery")
    support = (doped_powder * (1 - loading.to("").magnitude)).to("g")
    weighed = _weighing_lines(support, recovery_range, precursor, fraction)
    fired = (support / recovery_range.likely).to("g")
    kept = weighed[-1].span
    soaked = soak(fired, kept, salt, solvent, solvent_volume, loading, uptake, held, wash_volume) if loading else Soak()
    gap = guess("gaps", f"your powder from {precursor}") if gap is None else gap
    most, heat = weighed[0].span.high, as_schedule(firing)
    air = room_lines(most, precursor, heat, room, air_changes, mixing_factor)
    lines = [
        *weighed,
        *soaked.weigh,
        *soaked.expect,
        *_order_lines(solvent, soaked.wash),
        *heat_lines(heat, firing is None, power, duty, price),
        *soaked.washing,
        *_gas_lines(weighed[0].span, precursor),
        *air,
        *hydrogen_lines(gap, area, time, case, kept, temperature, pressure),
    ]
    title = f"Batch plan: {printed(doped_powder)} of doped powder from {precursor}, {subscripted(salt)} in {solvent}"
    other = () if metal_of(salt) in METALS else ("other metals",)
    steps = (*firing_steps(precursor), "kiln", "room", "powder", *other, "chlorides", "solvent", "hydrogen", "light")
    return Plan(
        title,
        tuple(lines),
        steps,
        (*filter(None, (*heat_warnings(heat), room_warning(air))), *_remarks(fraction, most, precursor)),
    )


def _usual_solvent(salt):
    """Return the solvent that dopants.csv names first for the metal of a salt."""
    known = {metal_of(other): solvent for other, solvent in reversed(list(dopants().values()))}
    if metal_of(salt) not in known:
        raise RangeProblem(f"labkit knows a usual solvent for {' and '.join(sorted(known))} only. Give one for {salt}, "
                           "as in solvent='ethanol'.")  # fmt: skip
    return known[metal_of(salt)]


def _remarks(fraction, most, precursor):
    if fraction is None:
        yield ("Your yield is not known yet. Fire a small trial, weigh what comes out, and plan again with your own "
               "fraction of theory.")  # fmt: skip
    if most > BENCH_BATCH:
        yield (f"{printed_up(most)} of {precursor} may be needed: beyond a bench batch. Its gas and solvent are work "
               "for licensed people.")  # fmt: skip


def _order_lines(solvent, wash):
    """Return the steps of the work in order; times and temperatures are common practice."""
    steps = (
        ("1 fire", "lid on, loose; steps under Firing", "outdoors or under extraction that leads outside"),
        ("2 cool, weigh", "the powder that is there", "it decides the mass of salt"),
        (
            "3 dissolve",
            f"the salt in {solvent}, slowly",
            "in glass, cool; then add the powder. Outdoors or in a hood; no flame, no spark, no heater",
        ),
        ("4 stir", "some hours, jar closed", "common practice; open it now and then, mouth turned away"),
        (
            "5 wash",
            wash,
            "and until the last rinse looks like fresh solvent; keep the rinses for disposal. Outdoors or in a hood, as before",
        ),
        (
            "6 dry, weigh",
            "in moving air, without heat",
            "outdoors or in a hood; write the mass down: it is your yield from now on",
        ),
    )
    return [Line("In this order", item, text, None, note) for item, text, note in steps]


def _share(given, name):
    """Return a share as typed, or the remembered guess; refuse more than all."""
    span = guess("handling", name) if given is None else as_range(given, "[] > 0", name)
    if not Q(0, "percent") < span.low <= span.high <= Q(100, "percent"):
        raise RangeProblem(f"The {name} is a share, from more than 0 % to 100 %; type for instance 60 % to 90 %.")
    return span


def _origin(given, name):
    return f"{name} from memory" if given is None else f"{name} as you gave it"


def _weighing_lines(support, recovery, precursor, fraction):
    theory = route(precursor).mass_yield
    guesses = {"fraction_of_theory": assumed_fraction(fraction, precursor), "recovery": recovery}
    # Plain numbers in the sums: they are worked out for every corner of the guesses at every keystroke of a panel.
    shares = {name: Range(*(Q(end) for end in span.m_as("dimensionless"))) for name, span in guesses.items()}
    made, grams = number(theory, "dimensionless"), number(support, "g")
    wanted = range_from(lambda fraction_of_theory, recovery:
                        Q(grams / (made * fraction_of_theory.magnitude * recovery.magnitude), "g"), **shares)  # fmt: skip
    weighed = wanted.likely
    fired = powder_from_precursor(weighed, precursor, fraction)
    kept = range_from(lambda fraction_of_theory, recovery:
                      Q(weighed.magnitude * made * fraction_of_theory.magnitude * recovery.magnitude, "g"), **shares)  # fmt: skip
    return [
        Line("Weigh", precursor, printed(weighed), wanted,
             f"{printed_range(wanted)}, driven by the {wanted.driver or 'weighing alone'} ({_origin(fraction, 'yield')}; a "
             f"covered firing of {precursor} is remembered to give {printed_range(usual_fraction(precursor))} of theory). "
             "The high end reaches the target even in a poor firing, and makes the most gas."),
        Line("Expect", "powder from the kiln", printed_range(fired), fired,
             f"theory is {printed(theory, 4)} of the precursor's mass, as melon"),
        Line("Expect", "powder after washing", printed_range(kept), kept, f"driven by the {kept.driver or 'weighing alone'}"),
    ]  # fmt: skip


def _gas_lines(wanted, precursor):
    """Return the gas of the mass to weigh by the usual route, and the bounds for the most one may weigh."""
    limit, found = value("limits", "ammonia 10 h"), row("limits", "ammonia 10 h")
    lines = [
        Line("Gas from the firing", subscripted(gas.formula), f"{printed(gas.amount)}, {printed(gas.mass)}, "
             f"{printed(gas.volume)} at 25 °C", certain(gas.amount),
             f"from {printed(wanted.likely)} of {precursor}, if all went by the usual route")
        for gas in _scaled(_per_gram(precursor)[0], wanted.likely)
    ]  # fmt: skip
    most = f"from {printed_up(wanted.high)} of {precursor}, the most that this range could ask for, by its atoms"
    for gas in _scaled(_per_gram(precursor)[1], wanted.high):
        lines.append(Line("Gas from the firing", f"{subscripted(gas.formula)} at most",
                          f"{printed_up(gas.amount)}, {printed_up(gas.mass)}, {printed_up(gas.volume)} at 25 °C",
                          certain(gas.amount), f"{most}; {_BOUND[gas.formula]}"))  # fmt: skip
        if gas.formula == "NH3":
            air = (gas.volume / limit).to("m**3")
            lines.append(Line("Gas from the firing", "air to thin the ammonia", printed_up(air), certain(air),
                              f"to {printed(limit, 2)} ({found['body']}, {found['averaging']}); a room cannot carry it: outdoors or extraction"))  # fmt: skip
    return lines


@lru_cache(16)  # a panel asks at every keystroke, and gas goes with the mass
def _per_gram(precursor):
    """Return the gases of a gram by the usual route, and those at most."""
    return tuple(gases("1 g", precursor)), tuple(gases_at_most("1 g", precursor))


def _scaled(of_a_gram, mass):
    grams = number(mass, "g")
    return [
        replace(
            gas,
            **{
                part: Q(getattr(gas, part).magnitude * grams, getattr(gas, part).units)
                for part in ("amount", "mass", "volume")
            },
        )
        for gas in of_a_gram
    ]
