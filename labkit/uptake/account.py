"""Where the metal went: offered, poured off, rinsed out, still dissolved in the powder, and taken up by difference."""

from dataclasses import dataclass
from math import floor, log10

from labkit.chemistry.formula import subscripted
from labkit.errors import RangeProblem, chosen
from labkit.solutions import loading_ceiling, metal_word
from labkit.units import DRAWS, Q, Range, budget, nominal, number, printed, printed_up, rounded, wrapped
from labkit.units.budget import Budget, printed_ends
from labkit.units.spread import Uncertain
from labkit.uptake.taken_up import NO_PROOF, at_most
from labkit.uptake.typed import (
    IMPOSSIBLE,
    NOT_SEEN,
    OF,
    interval,
    line_correlation,
    metal_per_millilitre,
    middle_of,
    seen_level,
    typed_concentration,
    typed_value,
)

MOST_RINSES = 50
_KEPT = "taken up"


@dataclass(frozen=True)
class AccountRow:
    """One line of an account: what it is, the metal in it (mg), its standard uncertainty, and its share of the metal offered."""

    name: str
    metal: object
    uncertainty: object
    share: object


@dataclass(frozen=True, eq=False, repr=False)
class Account:
    """Where the metal of a doping went.

    ``rows`` add up: offered = supernatant + rinses + still dissolved + taken up.  ``taken_up`` is the Range for 95 % of
    the metal that stayed with the powder, by difference, ``level`` what that says ("seen", "seen, but roughly",
    "not seen", "impossible"); ``before_washing`` is the same before the first wash, and ``came_off`` what the rinses took
    from the powder itself, beyond the liquid it held; None without rinses or without a held volume.  ``uptake`` and ``loading`` need the powder's
    mass.  ``gap`` is what is missing if the metal in the powder was ``measured`` as well, else None.
    """

    salt: str
    rows: tuple
    taken_up: Range
    level: str
    budget: Budget
    before_washing: Range | None
    came_off: Range | None
    uptake: Range | None
    loading: Range | None
    gap: Range | None
    waste: object
    waste_salt: object
    notes: tuple = ()

    @property
    def metal(self):
        """The metal in words."""
        return metal_word(self.salt)

    @property
    def sentence(self):
        """What stayed with the powder, in words."""
        ends = f"{_ends(self.taken_up, 'mg')} for 95 %"
        if self.level == IMPOSSIBLE:
            return f"More {self.metal} came out than was offered ({ends}): a concentration, a dilution or a volume is wrong."
        if self.level == NOT_SEEN:
            # An estimate below zero says nothing: from zero on, the half width is what may hide.
            most = f"{printed_up(Q(at_most(self.taken_up.m_as('mg')), 'mg'))} of {self.metal}"
            return f"By difference nothing is seen to have stayed: {ends}. The powder kept at most {most}."
        loading = f", a loading of {_ends(self.loading, 'percent')}" if self.loading else ""
        return f"By difference the powder kept {ends} of {self.metal}{loading}. Most of the doubt comes from the {self.budget.driver}."

    def table(self):
        """Return the account as rows of text under a head: where, metal, share of what was offered."""
        head = ("Where", f"{self.metal.capitalize()} / mg", "Share of what was offered")
        return (head, *((row.name, _in_milligrams(row.metal, row.uncertainty), f"{rounded(number(row.share, 'percent'), 3)} %")
                        for row in self.rows))  # fmt: skip

    def __str__(self):
        head, *table = self.table()
        name, metal = max(len(row[0]) for row in table), max(len(row[1]) for row in (head, *table))
        lines = [f"  {'':<{name}}  {head[1]:>{metal}}  {'share':>7}"]
        lines += [f"  {row[0]:<{name}}  {row[1]:>{metal}}  {row[2]:>7}" for row in table]
        return "\n".join([wrapped(self.sentence), *lines, *map(wrapped, self.notes)])

    __repr__ = __str__


def metal_account(salt, offered, supernatant, rinses=(), *, held="0 mL", of="metal", powder_mass=None, measured=None, correlation=0.0, line=None,
                  count=DRAWS, seed=1):  # fmt: skip
    r"""Return the Account of the metal of a doping.

    .. math:: m_\mathrm{kept} = m_\mathrm{offered} - c_s V_s - \sum_i c_i V_i - c_n h

    Parameters
    ----------
    salt : str
        Formula of what was weighed, crystal water included.
    offered : text or quantity [mass], or a pair (concentration, volume)
        Salt that went in, with ±, or the solution before the powder.
    supernatant : pair (concentration, volume)
        Liquid poured off before the first wash: ``("488 ± 5 mg/L", "67 ± 1 mL")``.
    rinses : sequence of such pairs
        In order, up to 50.
    held : text, quantity or Range [volume]
        Liquid that the powder keeps after each pouring off; the last of it is still there, as strong as the last rinse.
        0 for powder that was dried since, whose salt then stayed in it and counts as taken up.
    of : str
        ``"metal"`` or ``"salt"``, what a mass concentration is the mass of.
    powder_mass : text or quantity [mass], optional
        Before doping, for uptake and loading.
    measured : text or quantity [mass], optional
        Metal found in the powder by another method, for the ``gap``.
    correlation : number, 0 to below 1
        Of all concentrations with each other, if they were read from one calibration line.
    line : Calibration, optional
        That all concentrations were read from, if they are its own results; the interval is then Student's.
    count, seed : int
        Of the random draws, as in ``labkit.units.budget``.

    Raises
    ------
    LabError
        If an argument can't be used, or nothing has a ±.

    Notes
    -----
    By difference all counts as taken up that is found nowhere else: ``NO_PROOF``.

    References
    ----------
    Balance of mass; doubt by jcgm_100_2008 and jcgm_101_2008.

    Examples
    --------
    >>> found = metal_account("FeCl3", "134 ± 1 mg", ("1.58 ± 0.02 g/L", "68 ± 0.5 mL"), [("0.28 ± 0.01 g/L", "31 ± 0.5 mL")],
    ...                       held="7 mL", of="salt", powder_mass="1.8 g")
    >>> print(found.level, found.taken_up)
    seen 4.2 to 6.8 mg, likely 5.5 mg
    """
    chosen(of, OF, "choice of what the concentration is of:")
    rinses = list(rinses)
    if len(rinses) > MOST_RINSES or not 0 <= correlation < 1:
        raise RangeProblem(f"metal_account() takes up to {MOST_RINSES} rinses and a correlation from 0 to below 1.")
    inputs, turn, raw = {}, {}, {}
    parts = [("supernatant", supernatant), *((f"rinse_{place}", pair) for place, pair in enumerate(rinses, start=1))]
    if isinstance(offered, (tuple, list)):
        parts.insert(0, ("offered", offered))
    else:
        inputs["salt_weighed"] = typed_value(offered, "[mass] > 0", "offered", "metal_account")
    for name, pair in parts:
        if not isinstance(pair, (tuple, list)) or len(pair) != 2:
            raise RangeProblem(f"metal_account() needs a concentration and a volume for the {name.replace('_', ' ')}. Type for instance "
                               "('488 ± 5 mg/L', '67 mL').")  # fmt: skip
        raw[name] = pair[0]
        inputs[f"{name}_concentration"] = typed_concentration(pair[0], name, "metal_account")
        inputs[f"{name}_volume"] = typed_value(pair[1], "[volume] >= 0", name, "metal_account")
        turn[name] = metal_per_millilitre(nominal(middle_of(inputs[f"{name}_concentration"])), salt, of)
    inputs["held_volume"] = typed_value(held, "[volume] >= 0", "held", "metal_account")
    if not any(isinstance(value, Uncertain) for value in inputs.values()):
        raise RangeProblem(
            "metal_account() needs a ± on what was weighed and read: a difference says nothing without its doubt."
        )
    in_salt = metal_per_millilitre(Q(1.0, "g/L"), salt, "salt")(Q(1.0, "g/L"))
    last = parts[-1][0]

    def terms(**given):
        """Return the metal of each row as plain mg, single or arrays."""
        strength = {name: turn[name](given[f"{name}_concentration"]) for name in turn}
        found = {name: strength[name] * number(given[f"{name}_volume"], "mL") for name in turn}
        if "offered" not in found:
            found = {"offered": number(given["salt_weighed"], "mg") * in_salt} | found
        liquid = number(given["held_volume"], "mL")
        found["still dissolved"] = strength[last] * liquid
        out = sum(found[name] for name, _ in parts if name != "offered") + found["still dissolved"]
        found[_KEPT] = found["offered"] - out
        found["before washing"] = found["offered"] - found["supernatant"] - strength["supernatant"] * liquid
        found["came off"] = found["before washing"] - found[_KEPT]
        return found

    bound = [name for name, value in inputs.items() if name.endswith("_concentration") and isinstance(value, Uncertain)]
    correlations = {}
    for place, first in enumerate(bound):
        for other in bound[:place]:
            pair = [raw[name.removesuffix("_concentration")] for name in (first, other)]
            size = correlation if line is None else line_correlation(line, *pair, "metal_account")
            correlations |= {(first, other): size} if size else {}
    if line is not None:
        count = 0

    def doubt(name, count=0):
        return budget(lambda **given: Q(terms(**given)[name], "mg"), correlations=correlations, count=count, seed=seed, **inputs)  # fmt: skip

    found = doubt(_KEPT, count)
    names = [name for name in terms(**{name: nominal(middle_of(value)) for name, value in inputs.items()}) if name not in ("before washing", "came off")]  # fmt: skip
    budgets = {name: found if name == _KEPT else doubt(name) for name in names}
    total = budgets["offered"].value
    if not total.magnitude > 0:
        raise RangeProblem("metal_account() needs metal that was offered. Type for instance offered='134 ± 1 mg'.")
    rows = tuple(AccountRow(name.replace("_", " "), one.value, one.uncertainty, (one.value / total).to("percent")) for name, one in budgets.items())  # fmt: skip
    washed = rinses and nominal(middle_of(inputs["held_volume"])).magnitude > 0
    before, off = (interval(doubt(name)) for name in ("before washing", "came off")) if washed else (None, None)
    span = interval(found)
    uptake = loading = None
    if powder_mass is not None:
        powder = typed_value(powder_mass, "[mass] > 0", "powder_mass", "metal_account")
        if isinstance(powder, Uncertain):
            each = budget(lambda powder_mass, **given: Q(terms(**given)[_KEPT] / number(powder_mass, "g"), "mg/g"), correlations=correlations,
                          count=count, seed=seed, powder_mass=powder, **inputs)  # fmt: skip
            uptake = interval(each)
        else:
            uptake = Range(*(Q(end / number(nominal(powder), "g"), "mg/g") for end in span.m_as("mg")))
        shares = [max(end / 1000, -0.9) for end in uptake.m_as("mg/g")]
        loading = Range(*(Q(100 * each / (1 + each), "percent") for each in shares))
    gap = None
    if measured is not None:
        other = typed_value(measured, "[mass] >= 0", "measured", "metal_account")
        gap = interval(budget(lambda measured, **given: Q(terms(**given)[_KEPT] - number(measured, "mg"), "mg"),
                              correlations=correlations, count=0, measured=other, **inputs))  # fmt: skip
    poured = [row for row in rows if row.name == "supernatant" or row.name.startswith("rinse")]
    waste = sum(number(nominal(middle_of(inputs[f"{name}_volume"])), "mL") for name, _ in parts if name != "offered")
    waste_salt = sum(number(row.metal, "mg") for row in poured) / in_salt
    level = seen_level(*span.m_as("mg"))
    doubtful = []
    if loading is not None and level not in (IMPOSSIBLE, NOT_SEEN) and loading.high > loading_ceiling(salt):
        over = loading.low > loading_ceiling(salt)
        doubtful.append(f"{'That is' if over else 'The interval reaches'} above one metal for each heptazine, {printed(loading_ceiling(salt), 3, 'percent')}: "
                        f"{'' if over else 'at least in part perhaps '}a second solid or hydrolysis, not doping.")  # fmt: skip
    if not nominal(middle_of(inputs["held_volume"])).magnitude > 0:
        doubtful.append(
            "No held liquid was told: the salt of the liquid that stayed in the powder counts as taken up here."
        )
    if "offered_volume" in inputs:
        put, held_back = (number(nominal(middle_of(inputs[name])), "mL") for name in ("offered_volume", "held_volume"))
        lost = put - held_back - number(nominal(middle_of(inputs["supernatant_volume"])), "mL")
        if abs(lost) > 0.02 * put:
            doubtful.append(f"Before the first wash the liquid was {printed_up(Q(abs(lost), 'mL'))} {'less' if lost > 0 else 'more'} than was put in: what "
                            "evaporated takes no metal along, but what was spilled counts as taken up here.")  # fmt: skip
    notes = (*doubtful, *_said(off, gap, metal_word(salt)), NO_PROOF,
             f"Collect for disposal: {printed_up(Q(waste, 'mL'))} of liquid with {printed_up(Q(max(waste_salt, 0.0), 'mg'))} of {subscripted(salt)}.")  # fmt: skip
    return Account(salt, rows, span, level, found, before, off, uptake, loading, gap, Q(waste, "mL"),
                   Q(waste_salt, "mg"), notes)  # fmt: skip


def _said(off, gap, metal):
    """Yield what the rinses and a second measurement say."""
    if off is not None:
        ends = _ends(off, "mg")
        level = seen_level(*off.m_as("mg"))
        if level == IMPOSSIBLE:
            yield (f"The rinses hold less than the liquid that the powder kept ({ends} of it): not fully mixed, less liquid held, or "
                   "metal that fell out while washing.")  # fmt: skip
        elif level == NOT_SEEN:
            yield f"The rinses carry no more than the liquid that the powder held ({ends}): nothing is seen to have come off the powder."
        else:
            yield f"{ends} of {metal} came off the powder itself with the rinses: that part was only loosely bound."
    if gap is not None:
        closes = number(gap.low, "mg") <= 0 <= number(gap.high, "mg")
        what = "The account closes" if closes else "The account does not close"
        yield f"{what}: what is left by difference, less what was measured, is {_ends(gap, 'mg')}."


def _in_milligrams(value, uncertainty):
    """Return ``5.37 ± 0.67``, with two figures of the uncertainty."""
    middle, size = number(value, "mg"), number(uncertainty, "mg")
    places = min(max(0, 1 - floor(log10(size))), 6) if size > 0 else 2
    return f"{middle:.{places}f} ± {size:.{places}f}"


def _ends(span, unit):
    low, high = printed_ends((span.low.to(unit), span.high.to(unit)))
    return f"{low} to {high}"
