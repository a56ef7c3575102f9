"""A sum as one of plain arrays: its slopes at the values given, and random draws through it."""

import numpy as np

from labkit.errors import LabError, RangeProblem
from labkit.units.conversion import converted
from labkit.units.registry import Q, is_quantity, nominal

FIRST, STEP = 0.01, 0.1  # of a standard uncertainty: steps for slopes, and for what bends


def coverage_factor(coverage, dof=np.inf):
    """Return by how much a standard uncertainty is multiplied for an interval: 1.96 for 95 % of a bell.

    From Student's t with the degrees of freedom rounded down (jcgm_100_2008, G.3.3 and G.4.1).

    >>> round(coverage_factor(0.95), 2), round(coverage_factor(0.99, 16.7), 2)
    (1.96, 2.92)
    """
    from scipy.special import ndtri, stdtrit

    share = (1 + coverage) / 2
    return float(ndtri(share) if np.isinf(dof) else stdtrit(max(1, np.floor(dof + 1e-9)), share))


class Model:
    """The function as one of plain arrays."""

    def __init__(self, function, fixed, doubtful):
        self.function, self.fixed, self.doubtful = function, fixed, doubtful
        self.middle = np.array([found.middle for found in doubtful.values()])
        self.spread = np.array([found.spread for found in doubtful.values()])
        likely = function(**fixed, **{name: found.value for name, found in doubtful.items()})
        likely = nominal(likely if is_quantity(likely) else Q(likely))
        if np.ndim(likely.magnitude) or not np.isfinite(likely.magnitude):
            raise RangeProblem(f"budget() is of one finite result, but this function returns {likely:~P}.")
        self.value, self.unit = float(likely.magnitude), likely.units
        self.change = (Q(1, likely.units) - Q(1, likely.units)).units

    def at(self, columns):
        """Return the results, plain, for one array of plain numbers for each input."""
        inputs = {name: Q(column, found.value.units) for (name, found), column in zip(self.doubtful.items(), columns)}
        try:
            with np.errstate(all="ignore"):
                found = self.function(**self.fixed, **inputs)
                found = found if is_quantity(found) else Q(found)
            found = np.asarray(converted(nominal(found), self.unit).magnitude, dtype=float)
        except LabError:
            raise
        except Exception as trouble:
            raise RangeProblem("budget() gives its function arrays of many values at once, and this one cannot take them: "
                               f"{type(trouble).__name__}. Use numpy's functions in it.") from trouble  # fmt: skip
        size = len(columns[0])
        if found.shape not in ((), (size,)):
            raise RangeProblem("budget() needs a function that returns one result for each set of inputs.")
        return np.broadcast_to(found, size)

    def slopes(self):
        """Return slopes times standard uncertainties, the value, and the second-order part of the variance."""
        count, one = len(self.middle), np.eye(len(self.middle))
        pairs = [(i, j) for i in range(count) for j in range(i)]
        corners = [STEP * (a * one[i] + b * one[j]) for i, j in pairs for a in (1, -1) for b in (1, -1)]
        steps = [FIRST, -FIRST, STEP, -STEP, 2 * STEP, -2 * STEP]
        places = np.array([step * row for step in steps for row in one] + corners)
        found = self.at((self.middle + places * self.spread).T) - self.value
        near, back, up, down, far_up, far_down = found[: 6 * count].reshape(6, count)
        slopes = (near - back) / (2 * FIRST)
        bends = (up + down) / STEP**2
        twists = (far_up - 2 * up + 2 * down - far_down) / (2 * STEP**3)
        extra = float(np.sum(bends**2 / 2 + slopes * twists))
        for (i, j), (both, first, second, neither) in zip(pairs, found[6 * count :].reshape(-1, 4)):
            mixed = (both - first - second + neither) / (4 * STEP**2)
            # ∂³/∂i∂j² and ∂³/∂j∂i²
            third = [(both - 2 * up[i] + first - second + 2 * down[i] - neither) / (2 * STEP**3),
                     (both - 2 * up[j] + second - first + 2 * down[j] - neither) / (2 * STEP**3)]  # fmt: skip
            extra += mixed**2 + slopes[i] * third[0] + slopes[j] * third[1]
        if not np.isfinite(slopes).all():
            raise RangeProblem("budget() finds no slope there: the result is not finite beside the values given.")
        return slopes, self.value, extra


def correlation_matrix(names, correlations):
    """Return the matrix of correlations of named inputs; those not given are zero.

    Raises
    ------
    RangeProblem
        If a name is not among them, a correlation is beyond -1 to 1, or they contradict each other.

    Examples
    --------
    >>> correlation_matrix(["volts", "amps"], {("amps", "volts"): -0.4}).tolist()
    [[1.0, -0.4], [-0.4, 1.0]]
    """
    matrix = np.eye(len(names))
    for pair, size in correlations.items():
        if len(pair) != 2 or any(name not in names for name in pair) or pair[0] == pair[1] or not -1 <= size <= 1:
            raise RangeProblem("A correlation is between two uncertain inputs and from -1 to 1. Type for instance "
                               'correlations={("voltage", "current"): -0.36}.')  # fmt: skip
        first, second = (names.index(name) for name in pair)
        matrix[first, second] = matrix[second, first] = size
    if correlations and np.linalg.eigvalsh(matrix).min() < -1e-9:
        raise RangeProblem("These correlations contradict each other: no readings could have them all.")
    return matrix


def effective_freedom(slopes, freedoms, size, alone):
    """Return the degrees of freedom of the result (Welch and Satterthwaite)."""
    finite = [(slope, dof) for slope, dof in zip(slopes, freedoms) if np.isfinite(dof) and slope]
    if not finite or not size:
        return np.inf
    if not alone:  # the formula is for independent inputs
        return min(dof for _, dof in finite)
    return float(size**4 / sum(slope**4 / dof for slope, dof in finite))


def drawn_results(model, doubtful, matrix, count, seed, coverage):
    """Return what random draws of all inputs give: sorted results, their mean, spread and intervals, and how many were lost.

    Parameters
    ----------
    model : Model
    doubtful : dict of Uncertain
        The inputs, in the order of ``matrix``.
    matrix : array
        Their correlations; those that have any are drawn by a normal copula.
    count, seed, coverage : as for ``labkit.units.budget``

    Raises
    ------
    RangeProblem
        If more than half of the draws have no finite result.
    """
    generator, columns = np.random.default_rng(seed), {}
    bound = [place for place, row in enumerate(matrix) if np.count_nonzero(row) > 1]
    if bound:
        from scipy.special import ndtr

        sizes, axes = np.linalg.eigh(matrix[np.ix_(bound, bound)])
        normals = axes @ (np.sqrt(np.clip(sizes, 0, None))[:, None] * generator.standard_normal((len(bound), count)))
        columns = dict(zip(bound, normals))
    for place, found in enumerate(doubtful.values()):
        if place not in columns:
            columns[place] = found.drawn(generator, count)
        elif found.shape == "normal" and np.isinf(found.dof):
            columns[place] = found.middle + found.spread * columns[place]
        else:
            columns[place] = found.at(ndtr(columns[place]))
    numbers = model.at([columns[place] for place in range(len(doubtful))])
    numbers = np.sort(numbers[np.isfinite(numbers)])
    if numbers.size < max(2, count / 2):
        raise RangeProblem("More than half of the draws give no result. Are the uncertainties too wide for this sum?")
    numbers.setflags(write=False)
    held = min(max(1, round(coverage * numbers.size)), numbers.size - 1)
    start = (numbers.size - held) // 2
    first = int(np.argmin(numbers[held:] - numbers[:-held]))
    return {"mean": float(numbers.mean()), "spread": float(numbers.std(ddof=1)), "draws": numbers, "lost": count - numbers.size,
            "symmetric": (float(numbers[start]), float(numbers[start + held])),
            "shortest": (float(numbers[first]), float(numbers[first + held]))}  # fmt: skip
