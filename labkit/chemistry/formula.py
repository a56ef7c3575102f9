"""Formulas: what a substance is made of, and what one mole of it weighs.

What is read, spaces at the ends trimmed:

- element symbols and whole numbers in any order: ``CH4N2O``, ``CO(NH2)2``, ``K3[Fe(CN)6]``;
- crystal water and other addition compounds: ``FeCl3·6H2O``, ``FeCl3*6H2O``, ``FeCl3.6H2O``;
- raised and lowered digits: ``FeCl₃·6H₂O``, ``SO₄²⁻``;
- a charge at the end: ``Fe^3+``, ``Cr2O7^2-``, ``Fe+3``, ``SO4--``, ``H+``, ``OH-``, ``[Fe(CN)6]3-``.
  After a digit a lone sign is refused (``Fe3+``), because it can be read two ways.

Abbreviations of groups (Me, Et, Ph), isotopes (D, 13C), sequences and fractions of an atom are not
read: every symbol must be an element.  A few formulas that are right but never meant are refused
(``Co2``, ``Zn(OAc)2``), as are the elements from fermium on.
"""

import re
import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache
from math import sqrt

from labkit.data import table
from labkit.errors import FormulaProblem
from labkit.units import ureg

LONGEST, MOST, MOST_CHARGE = 60, 10_000, 20
HEAVIEST = 100  # from fermium on nobody has ever weighed any, and No for NO is a likely slip
_LOWERED, _RAISED = "₀₁₂₃₄₅₆₇₈₉", "⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻"
_TIDY = str.maketrans(_LOWERED + "−–•∙⋅*", "0123456789" + "--" + "····")
_TO_LOWERED = str.maketrans("0123456789", _LOWERED)
_TO_RAISED = str.maketrans("0123456789+-", _RAISED)
_FROM_RAISED = str.maketrans(_RAISED, "0123456789+-")
_RAISED_RUN, _DOT = re.compile(f"[{_RAISED}]+"), re.compile(r" ?· ?")
_TOKEN = re.compile(r"([A-Z][a-z]?)|([0-9]+)|([(\[])|([)\]])")
_SIGN = re.compile(r"[\^+-]")
# (what stands before the charge, its number, its sign); tried in this order
_CHARGES = (
    re.compile(r"(?P<body>.+)\^\{?(?P<number>[0-9]{0,3})(?P<sign>\++|-+)\}?"),  # Fe^3+, SO4^--
    re.compile(r"(?P<body>.+\])(?P<number>[0-9]{0,3})(?P<sign>\++|-+)"),  # [Fe(CN)6]3-
    re.compile(r"(?P<body>.+?)\^?(?P<sign>[+-])(?P<number>[0-9]{1,3})"),  # Fe+3
    re.compile(r"(?P<body>.*[A-Za-z)])(?P<number>)(?P<sign>\++|-+)"),  # H+, OH-
    re.compile(r"(?P<body>.+?)(?P<number>)(?P<sign>\+{2,}|-{2,})"),  # SO4--
)
# Right as they stand, but hardly ever what was meant; each would give a molar mass that is far off.
_SLIPS = (
    (re.compile(r"^Co2$"), "two atoms of cobalt. For carbon dioxide type CO2"),
    (re.compile(r"^Cs2$"), "two atoms of caesium. For carbon disulfide type CS2"),
    (re.compile(r"Ac.|.Ac"), "a compound of actinium. For acetate or acetyl write the atoms out: CH3COO, CH3CO"),
    (re.compile(r"OPr|PrOH|PrNH"), "a compound of praseodymium. For propyl write the atoms out: C3H7"),
)
_GRAM_PER_MOLE = ureg.Unit("g/mol")


def atom_counts(formula):
    """Return how many atoms of each element a formula has, in Hill order (C, H, then by letter).

    Raises
    ------
    FormulaProblem
        If the formula cannot be read; says where and what was probably meant.

    Examples
    --------
    >>> atom_counts("FeCl3·6H2O")
    {'Cl': 3, 'Fe': 1, 'H': 12, 'O': 6}
    """
    return dict(_read(formula).counts)


def charge(formula):
    """Return the charge of an ion in elementary charges, 0 for a neutral formula.

    >>> charge("Cr2O7^2-"), charge("Fe³⁺"), charge("H2O")
    (-2, 3, 0)
    """
    return _read(formula).charge


def molar_mass(formula, uncertain=False):
    """Return the mass of one mole of a substance.

    Parameters
    ----------
    formula : str
    uncertain : bool
        With True the magnitude carries a standard uncertainty (an ``uncertainties`` number).

    Returns
    -------
    quantity [molar mass], in g/mol
        For an ion the mass of the missing or extra electrons is taken into account.

    Raises
    ------
    FormulaProblem
        If the formula cannot be read; with ``uncertain=True`` also for a radioactive element that
        has no standard atomic weight (for these the mass is that of the longest-lived isotope).

    Notes
    -----
    The weights are means over natural isotope abundances as shipped with molmass.  Each of them lies
    within the uncertainty IUPAC prints for 2021 (a test shows it); in the fifth figure they differ
    from older or abridged tables.  IUPAC's ± is a bound, not a standard deviation, so it is read as
    the half-width of a rectangle, u = U/√3.  All atoms of one element share its error, so u grows
    with their number, also across formulas; different elements are independent.

    References
    ----------
    iupac_2021 for the uncertainties; rectangle: A. Possolo et al., Pure Appl. Chem. 90 (2018) 395,
    doi 10.1515/pac-2016-0402.

    Examples
    --------
    >>> from labkit.units import printed
    >>> print(printed(molar_mass("CO(NH2)2"), 4), "|", printed(molar_mass("CO(NH2)2", uncertain=True)))
    60.06 g/mol | (60.0553 ± 0.0018) g/mol
    """
    read = _read(formula)
    if not uncertain:
        return ureg.Quantity(read.mass, _GRAM_PER_MOLE)
    errors = sum(count * _error_of_weight(element) for element, count in read.counts)
    return ureg.Quantity(read.mass + errors, _GRAM_PER_MOLE)


def mass_fractions(formula):
    """Return the share of each element in the mass; the shares sum to 1 (electrons are left out).

    >>> {element: round(share, 4) for element, share in mass_fractions("C3N4").items()}
    {'C': 0.3914, 'N': 0.6086}
    """
    masses = {element: count * _read(element).mass for element, count in _read(formula).counts}
    total = sum(masses.values())
    return {element: mass / total for element, mass in masses.items()}


def atom_fractions(formula):
    """Return the share of each element in the number of atoms; the shares sum to 1.

    >>> atom_fractions("NH3")
    {'H': 0.75, 'N': 0.25}
    """
    counts = atom_counts(formula)
    total = sum(counts.values())
    return {element: count / total for element, count in counts.items()}


def split_hydrate(formula):
    """Return the formula without its crystal water, and the number of waters.

    Only water written after a dot counts: ``FeCl3(H2O)6`` is taken as it stands.

    >>> split_hydrate("FeCl3.6H2O"), split_hydrate("ZnCl2")
    (('FeCl3', 6), ('ZnCl2', 0))
    """
    read = _read(formula)
    first, *rest = read.parts
    waters = sum(number for number, part in rest if part == "H2O")
    dry = [first, *((number, part) for number, part in rest if part != "H2O")]
    return _joined(dry) + _charge_text(read.charge), waters


def plain_text(formula):
    """Return a formula in the one spelling labkit compares by: plain digits, ``·`` and ``^``.

    >>> plain_text(" FeCl₃.6H₂O "), plain_text("SO₄²⁻")
    ('FeCl3·6H2O', 'SO4^2-')
    """
    read = _read(formula)
    return _joined(read.parts) + _charge_text(read.charge)


def subscripted(formula):
    """Return a formula as it is printed, with lowered counts and a raised charge.

    >>> subscripted("FeCl3*6H2O"), subscripted("Cr2O7^2-")
    ('FeCl₃·6H₂O', 'Cr₂O₇²⁻')
    """
    read = _read(formula)
    body = _joined([(number, part.translate(_TO_LOWERED)) for number, part in read.parts])
    return body + _charge_text(read.charge)[1:].translate(_TO_RAISED)


# ---------------------------------------------------------------- reading


@dataclass(frozen=True)
class _Formula:
    """A formula once read: dotted parts with their numbers, charge, (element, count) pairs, g/mol."""

    parts: tuple
    charge: int
    counts: tuple
    mass: float


def _read(formula):
    if not isinstance(formula, str):
        raise FormulaProblem(f"A formula is text such as 'CO(NH2)2', but this is of type {type(formula).__name__}.")
    if len(formula) > 4 * LONGEST or len(formula.strip()) > LONGEST:
        raise FormulaProblem(f"A formula has at most {LONGEST} characters, but “{formula[:20]}…” has {len(formula)}.")
    return _parsed(formula.strip())


@lru_cache(maxsize=4096)
def _parsed(text):
    if not text:
        raise FormulaProblem("The formula is empty. Type for instance CO(NH2)2.")
    tidy = _RAISED_RUN.sub(lambda found: "^" + found[0].translate(_FROM_RAISED), text).translate(_TIDY)
    body, charge_number = _split_charge(_DOT.sub("·", tidy), text)
    parts = tuple(_part(piece, place, text) for place, piece in enumerate(_pieces(body, text)))
    for slip, reading in _SLIPS:
        if slip.search(body):
            raise FormulaProblem(f"“{text}” reads as {reading}.")
    return _weighed(parts, charge_number, text)


def _weighed(parts, charge_number, text):
    """Hand the checked text to molmass, which multiplies the brackets out and looks the weights up."""
    from molmass import Formula, FormulaError

    body = "".join(part if number == 1 else f"({part}){number}" for number, part in parts)
    ending = f"_{abs(charge_number)}{'+' if charge_number > 0 else '-'}" if charge_number else ""
    try:
        known = Formula(body + ending, parse_groups=False, parse_oligos=False, parse_fractions=False,
                        parse_arithmetic=False)  # fmt: skip
        counts = tuple((name, item[0]) for name, item in known.composition().asdict().items() if name != "e-")
        mass = known.mass
    except FormulaError as problem:  # nothing is known to get this far; a reader should still see a sentence
        raise FormulaProblem(f"“{text}” cannot be read as a formula: {problem.args[0]}.") from None
    if max(count for _, count in counts) > MOST:
        raise FormulaProblem(f"“{text}” has more than {MOST} atoms of one element. Type the formula unit only.")
    return _Formula(parts, charge_number, counts, mass)


def _split_charge(tidy, text):
    if not _SIGN.search(tidy):
        return tidy, 0
    for pattern in _CHARGES:
        found = pattern.fullmatch(tidy)
        if found:
            size = int(found["number"] or len(found["sign"]))
            if (found["number"] and len(found["sign"]) > 1) or not 0 < size <= MOST_CHARGE:
                raise FormulaProblem(f"“{text}”: the charge cannot be read. Write it as in Fe^3+ or SO4^2-.")
            return found["body"], size if found["sign"][0] == "+" else -size
    unclear = re.fullmatch(r"(.+?)([0-9]+)([+-])", tidy)
    if unclear:
        body, digits, sign = unclear.groups()
        other = f"{body}{digits[:-1]}^{digits[-1]}{sign}"
        raise FormulaProblem(f"“{text}” can be read two ways. Type {body}{digits}^{sign} for one charge, or {other}.")
    raise FormulaProblem(f"“{text}”: a charge is written last, as in Fe^3+ or SO4^2-.")


def _pieces(body, text):
    """Split at the dots; a point before a number counts as one only before water (``FeCl3.6H2O``)."""
    if re.search(r"\.[0-9]+(?!H2O(?:[·.]|$))(?![0-9])", body):
        raise FormulaProblem(
            f"“{text}”: the point can be read two ways. Counts are whole numbers; "
            "an addition compound is written with ·, as in CuSO4·5H2O."
        )
    return body.replace(".", "·").split("·")


def _part(piece, place, text):
    """Return (number, formula) of one dotted part, once every sign in it is known to be right."""
    found = re.match(r"([0-9]*) ?", piece) if place else None
    number, piece = (found[1] or "1", piece[found.end() :]) if found else ("1", piece)
    number = _count(number, text)
    if not piece:
        raise FormulaProblem(f"“{text}”: something is missing beside the dot. Write it as in FeCl3·6H2O.")
    opened, position, before = [], 0, "("
    while position < len(piece):
        token = _TOKEN.match(piece, position)
        if not token:
            raise _unread(piece, position, text)
        element, digits, opening, closing = token.groups()
        if element and element not in _elements():
            # “Hcl”: H is right and the fault starts at the c
            raise _unread(piece, position + (element[0] in _elements() and len(element) == 2), text)
        if digits:
            if before == "(":
                raise FormulaProblem(f"“{text}”: a count stands after its symbol, as in H2O; “{digits}” comes first.")
            _count(digits, text)
        elif opening:
            opened.append(opening)
        elif closing:
            if not opened or opened.pop() + closing not in ("()", "[]"):
                raise FormulaProblem(f"“{text}”: a “{closing}” has no bracket that it closes.")
            if before == "(":
                raise FormulaProblem(f"“{text}”: a pair of brackets is empty.")
        before, position = "(" if opening else "x", token.end()
    if opened:
        raise FormulaProblem(f"“{text}”: the bracket “{opened[-1]}” is not closed.")
    return number, piece


def _count(digits, text):
    if digits.startswith("0"):
        raise FormulaProblem(f"“{text}”: “{digits}” is not a count. Was the letter O meant?")
    if int(digits) > MOST:
        raise FormulaProblem(f"“{text}”: a count of more than {MOST} does not occur in a formula unit.")
    return int(digits)


def _unread(piece, position, text):
    """Return the problem with the sign at ``position``: a slip of letter case, or no element at all."""
    sign, pair = piece[position], piece[position : position + 2]
    if sign.isspace():
        return FormulaProblem(f"“{text}”: close the gap inside the formula; crystal water is written FeCl3·6H2O.")
    if not (sign.isascii() and sign.isalpha()):
        name = unicodedata.name(sign, "an unknown sign").lower()
        shown = sign if sign.isprintable() else "?"
        return FormulaProblem(f"“{text if text.isprintable() else piece[:position]}”: “{shown}” ({name}) "
                              "does not belong in a formula.")  # fmt: skip
    if pair in ("D", "T") or (sign in "DT" and not pair[1:].islower()):
        return FormulaProblem(f"“{text}”: {sign} is an isotope. labkit knows natural hydrogen only: write H.")
    if text.isalpha() and text.islower() and len(text) > 3:
        return FormulaProblem(f"“{text}” has no capital letters. Element symbols start with one: NaCl, not nacl.")
    shouted = piece[max(position - 1, 0) : position + 1]  # NACL: the N before the A
    windows = [shouted] if len(shouted) == 2 and shouted.isupper() else []
    for window in [*windows, pair, sign]:
        meant = window.capitalize()
        if meant in _elements() and meant != window:
            return FormulaProblem(f"“{text}”: “{window}” is not an element. Did you mean {meant}?")
    symbol = pair if pair[1:].islower() else sign
    return FormulaProblem(f"“{text}”: “{symbol}” is not an element labkit has a weight for.")


@cache
def _elements():
    from molmass import ELEMENTS

    return frozenset(element.symbol for element in ELEMENTS if element.number < HEAVIEST)


@cache
def _error_of_weight(element):
    from uncertainties import ufloat

    for row in table("atomic_weights"):
        if row["name"] == element:
            return ufloat(0, float(row["uncertainty"]) / sqrt(3), tag=f"atomic weight of {element}")
    raise FormulaProblem(
        f"{element} has no standard atomic weight, because all of it is radioactive and its mix of isotopes depends "
        "on where it was made. So there is no uncertainty to give; leave uncertain=True out."
    )


def _joined(parts):
    return "·".join(part if number == 1 else f"{number}{part}" for number, part in parts)


def _charge_text(charge_number):
    if not charge_number:
        return ""
    return f"^{abs(charge_number) if abs(charge_number) > 1 else ''}{'+' if charge_number > 0 else '-'}"
