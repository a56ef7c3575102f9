"""Balancing: the smallest whole numbers for which no atom and no charge is lost.

An equation is typed as ``CO(NH2)2 -> C3N4 + NH3 + CO2``; ``→`` and ``=`` do as well as ``->``.
Formulas are read by ``labkit.chemistry.formula``; a state such as ``(s)`` or ``(aq)`` after a formula
is dropped.
"""

import re
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from math import gcd, lcm

from labkit.chemistry.formula import atom_counts, charge, plain_text, subscripted
from labkit.errors import BalanceProblem

LONGEST, MOST_SPECIES, MOST_COEFFICIENT = 900, 12, 1_000_000
_TWO_WAY = re.compile(r"<-+>|<=+>|[⇌⇄⇆↔⟷]")
_ARROW = re.compile(r"\s-{1,3}>|[-=]>|[→⟶=]")
# a plus between formulas, not the charge in “H+ + OH-” or “Fe^2++H^+”
_PLUS = re.compile(r"\s\+\s*|\+(?=\s*[0-9]*\s*[A-Z(\[])")
_STATE = re.compile(r"\s*\((?:s|l|g|aq)\)")
_COEFFICIENT = re.compile(r"([0-9]+)\s*(?=[A-Z(\[])")


@dataclass(frozen=True)
class Reaction:
    """A balanced reaction: two tuples of (coefficient, formula), formulas in plain text.

    Raises BalanceProblem when made from numbers that do not balance, so every Reaction does.
    ``print`` shows it with lowered counts: ``6 CO(NH₂)₂ → C₃N₄ + 8 NH₃ + 3 CO₂``.
    """

    reactants: tuple
    products: tuple

    def __post_init__(self):
        if not all(isinstance(number, int) and number > 0 for number, _ in self.reactants + self.products):
            raise BalanceProblem(f"The coefficients of a reaction are whole numbers from 1 up: {self}.")
        difference = _difference(self.reactants, self.products)
        if difference:
            raise BalanceProblem(f"{self} does not balance: {_in_words(difference)}.")

    def __str__(self):
        return f"{_side_text(self.reactants)} → {_side_text(self.products)}"

    @property
    def formulas(self):
        """All formulas, reactants first."""
        return tuple(formula for _, formula in self.reactants + self.products)

    def coefficient(self, formula):
        """Return the number before a formula, whatever side it stands on and however it is spelled.

        Raises BalanceProblem if the formula does not take part.
        """
        wanted = plain_text(formula)
        for number, known in self.reactants + self.products:
            if known == wanted:
                return number
        names = ", ".join(subscripted(known) for known in self.formulas)
        raise BalanceProblem(f"{subscripted(formula)} does not take part in {self}. There are: {names}.")


def balanced(equation):
    """Return the reaction with the smallest whole coefficients that conserve atoms and charge.

    Parameters
    ----------
    equation : str
        At most 12 formulas.  Whole numbers typed before them are dropped and found anew; to check
        the numbers of a printed equation use ``imbalance``.

    Returns
    -------
    Reaction

    Raises
    ------
    BalanceProblem
        If an element is on one side only, if nothing balances, if it balances only with a formula
        on the other side, or if there is more than one independent way (two of them are shown).
    FormulaProblem
        If a formula cannot be read.

    Notes
    -----
    Exact: the null space of the table of atoms is found in whole numbers.  That an equation balances
    says nothing about whether the reaction happens.

    Examples
    --------
    >>> print(balanced("CO(NH2)2 -> C3N4 + NH3 + CO2"))
    6 CO(NH₂)₂ → C₃N₄ + 8 NH₃ + 3 CO₂
    >>> print(balanced("Cr2O7^2- + Fe^2+ + H+ -> Cr^3+ + Fe^3+ + H2O"))
    Cr₂O₇²⁻ + 6 Fe²⁺ + 14 H⁺ → 2 Cr³⁺ + 6 Fe³⁺ + 7 H₂O
    """
    return _balanced(_checked(equation))


def imbalance(equation):
    """Return what an equation with typed coefficients makes or loses: element to (right minus left).

    Empty if it balances.  A missing coefficient is 1; charge is listed as ``"charge"``.

    Examples
    --------
    A line that is printed somewhere and does not balance, one carbon too many and four hydrogens lost:

    >>> imbalance("3 C3H4N4O2 -> C6H6N10 + CH2N2 + 3 CO2")
    {'C': 1, 'H': -4}
    """
    return _difference(*_sides(_checked(equation)))


# ---------------------------------------------------------------- reading


def _checked(equation):
    if not isinstance(equation, str):
        kind = type(equation).__name__
        raise BalanceProblem(f"An equation is text such as 'H2 + O2 -> H2O', but this is of type {kind}.")
    if len(equation) > LONGEST:
        raise BalanceProblem(f"The equation is {len(equation)} characters long; at most {LONGEST} are read.")
    return equation.strip()


def _sides(text):
    """Return both sides as tuples of (typed coefficient or 1, formula in plain text)."""
    if _TWO_WAY.search(text):
        raise BalanceProblem("A two-way arrow does not say which side is made. Type -> for the direction you mean.")
    sides = _ARROW.split(text)
    if len(sides) != 2:
        number = "no arrow" if len(sides) < 2 else f"{len(sides) - 1} arrows"
        raise BalanceProblem(f"The equation has {number}. Type it as in H2 + O2 -> H2O.")
    pieces = [_PLUS.split(side) for side in sides]
    count = sum(map(len, pieces))
    if count > MOST_SPECIES:
        raise BalanceProblem(f"The equation has {count} formulas; at most {MOST_SPECIES} are balanced.")
    left, right = (tuple(_species(piece.strip()) for piece in side) for side in pieces)
    _check_once(left, right)
    return left, right


def _species(piece):
    if not piece:
        raise BalanceProblem("A formula is missing beside a plus or an arrow. Type it as in H2 + O2 -> H2O.")
    if re.match(r"[0-9]*\s*[½¼¾⅓⅔/.,]", piece):
        raise BalanceProblem(f"“{piece[:30]}”: coefficients are whole numbers; multiply the whole equation instead.")
    number = _COEFFICIENT.match(piece)
    state = _STATE.search(piece)
    formula = piece[number.end() if number else 0 : state.start() if state and state.end() == len(piece) else None]
    if re.fullmatch(r"[0-9]*\s*e\^?[-−⁻]", formula):
        raise BalanceProblem("Free electrons are not read. Type the whole equation, with both half-reactions in it.")
    coefficient = int(number[1]) if number else 1
    if not 0 < coefficient <= MOST_COEFFICIENT:
        raise BalanceProblem(f"“{piece[:30]}”: a coefficient lies between 1 and {MOST_COEFFICIENT}.")
    return coefficient, plain_text(formula)


def _check_once(left, right):
    seen = {}
    for side, species in (("left", left), ("right", right)):
        for _, formula in species:
            if formula in seen:
                where = f"twice on the {side}" if seen[formula] == side else "on both sides"
                raise BalanceProblem(
                    f"{subscripted(formula)} stands {where}. Leave it once, or out if it stays as it is."
                )
            seen[formula] = side


# ---------------------------------------------------------------- balancing


@lru_cache(maxsize=1024)
def _balanced(text):
    left, right = _sides(text)
    left, right = ([formula for _, formula in side] for side in (left, right))
    rows = _atom_rows(left, right)
    _check_both_sides(rows, left, right)
    basis = _null_space(list(rows.values()), len(left) + len(right))
    if len(basis) == 1 and min(basis[0]) > 0:
        return _reaction(basis[0], left, right)
    raise _no_single_way(list(rows.values()), basis, left, right)


def _atom_rows(left, right):
    """Return element to its number in each formula, products counted negative; and so for charge."""
    rows = {}
    for place, formula in enumerate([*left, *right]):
        sign = 1 if place < len(left) else -1
        for element, count in [*atom_counts(formula).items(), ("charge", charge(formula))]:
            if count:
                rows.setdefault(element, [0] * (len(left) + len(right)))[place] = sign * count
    return rows


def _check_both_sides(rows, left, right):
    for element, row in rows.items():
        if min(row) < 0 < max(row):
            continue
        if element == "charge":
            raise BalanceProblem("The charge cannot balance: "
                                 f"{_list(row, left, right)} would leave one side charged.")  # fmt: skip
        side, other = ("left", "right") if max(row) > 0 else ("right", "left")
        raise BalanceProblem(f"{element} is on the {side} only, in {_list(row, left, right)}. "
                             f"Something with {element} is missing on the {other}.")  # fmt: skip


def _null_space(rows, width):
    """Return whole-number vectors that span all x with rows·x = 0, each in lowest terms."""
    reduced, pivots = [], []
    for row in rows:
        for pivot, done in zip(pivots, reduced):
            row = _cleared(row, done, pivot)
        lead = next((place for place, number in enumerate(row) if number), None)
        if lead is not None:
            reduced = [_cleared(done, row, lead) for done in reduced] + [row]
            pivots.append(lead)
    basis = []
    for free in sorted(set(range(width)) - set(pivots)):
        scale = lcm(*(row[pivot] for pivot, row in zip(pivots, reduced)))
        vector = [0] * width
        vector[free] = scale
        for pivot, row in zip(pivots, reduced):
            vector[pivot] = -row[free] * scale // row[pivot]
        basis.append(_lowest(vector))
    return basis


def _cleared(row, by, place):
    """Return ``row`` with a zero at ``place``, made with the row ``by``."""
    if not row[place]:
        return row
    return _lowest([by[place] * a - row[place] * b for a, b in zip(row, by)])


def _lowest(vector):
    """Return a vector divided by its common factor, more of it positive than negative."""
    factor = gcd(*vector) or 1
    if sum(number < 0 for number in vector) * 2 > sum(number != 0 for number in vector):
        factor = -factor
    return [number // factor for number in vector]


def _simplest_ways(rows, width):
    """Return every balanced way that no part of would balance by itself, simplest first.

    Each uses as few formulas as it can, all on the side they were typed on.  At most 12 formulas
    are tried in all their combinations, in about a tenth of a second.
    """
    ways = []
    for size in range(2, width + 1):
        for chosen in combinations(range(width), size):
            if any(all(place in chosen for place, number in enumerate(way) if number) for way in ways):
                continue
            basis = _null_space([[row[place] for place in chosen] for row in rows], size)
            if len(basis) == 1 and min(basis[0]) > 0:
                numbers = dict(zip(chosen, basis[0]))
                ways.append([numbers.get(place, 0) for place in range(width)])
    return sorted(ways, key=lambda way: (sum(map(bool, way)), sum(way)))


def _no_single_way(rows, basis, left, right):
    """Return the problem of an equation with no, or more than one, balanced way."""
    formulas = [*left, *right]
    if not basis:
        return BalanceProblem("No coefficients balance this equation: some reactant or product is missing, "
                              "or a formula is not right.")  # fmt: skip
    ways = _simplest_ways(rows, len(formulas))
    idle = [subscripted(formula) for formula, *numbers in zip(formulas, *ways) if not any(numbers)] if ways else []
    if ways and idle:
        return BalanceProblem(f"It balances only without {' and '.join(idle)}: {_reaction(ways[0], left, right)}.")
    if ways:
        return BalanceProblem(
            f"It balances in {len(basis)} independent ways, which can run side by side in any proportion: "
            f"{_reaction(ways[0], left, right)}; and {_reaction(ways[1], left, right)}. "
            "Leave a formula out, or balance each by itself."
        )
    if len(basis) > 1:
        return BalanceProblem("It balances only with some formulas on the other side of the arrow.")
    return _on_the_other_side(basis[0], left, right)


def _on_the_other_side(numbers, left, right):
    """Return the problem of an equation whose one balanced way needs some formulas moved across."""
    wrong, sides = [], ([], [])
    for place, (number, formula) in enumerate(zip(numbers, [*left, *right])):
        if number < 0:
            wrong.append(subscripted(formula))
        if number:
            sides[(place < len(left)) != (number > 0)].append((abs(number), formula))
    moved = Reaction(*map(tuple, sides))
    return BalanceProblem(f"It balances only with {' and '.join(wrong)} on the other side of the arrow: {moved}.")


def _reaction(numbers, left, right):
    used = [(number, formula) for number, formula in zip(numbers, [*left, *right])]
    sides = used[: len(left)], used[len(left) :]
    return Reaction(*(tuple(pair for pair in side if pair[0]) for side in sides))


# ---------------------------------------------------------------- words


def _difference(left, right):
    totals = {}
    for sign, side in ((-1, left), (1, right)):
        for number, formula in side:
            for element, count in [*atom_counts(formula).items(), ("charge", charge(formula))]:
                totals[element] = totals.get(element, 0) + sign * number * count
    return {element: total for element, total in totals.items() if total}


def _in_words(difference):
    return ", ".join(f"{element} {total:+d}" for element, total in difference.items()) + " on the right"


def _side_text(side):
    return " + ".join(f"{number} {subscripted(formula)}" if number != 1 else subscripted(formula)
                      for number, formula in side)  # fmt: skip


def _list(row, left, right):
    names = [subscripted(formula) for formula, number in zip([*left, *right], row) if number]
    return " and ".join(names)
