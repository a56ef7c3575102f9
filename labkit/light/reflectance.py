"""Diffuse reflectance of a powder, and how much it absorbs for what it scatters."""

from dataclasses import dataclass, field

import numpy as np

from labkit.data import value
from labkit.errors import RangeProblem
from labkit.units import Note, Q, number, takes, wrapped

FEWEST = 8  # points of a spectrum; our choice, as fewer show no edge
SHORTEST, LONGEST = 150.0, 5000.0  # nm: what is taken for a wavelength of light here
DARKEST, BRIGHTEST = -0.2, 2.0  # reflectance: beyond, a reading is no reflectance but a slip


@takes(reflectance="[] > 0")
def kubelka_munk(reflectance):
    r"""Return the Kubelka-Munk function of a reflectance: absorption over scattering of a powder.

    .. math:: F = K / S = (1 - R)^2 / 2 R

    Parameters
    ----------
    reflectance : number, quantity [] or text, above 0 and up to 1
        Of a layer so thick that more powder changes nothing; a fraction, or text such as ``"20 %"``.
        Scalar or array.

    Returns
    -------
    quantity []
        Follows the absorption coefficient only as far as scattering does not change with wavelength.

    Raises
    ------
    UnitProblem, RangeProblem
        If it is no plain number, not above zero, or above 1, as where the white reference is darker than the powder.

    References
    ----------
    kubelka_munk_1931

    Examples
    --------
    >>> print(f"{kubelka_munk('20 %').magnitude:.2f}")
    1.60
    """
    plain = reflectance.m_as("")
    if np.any(np.asarray(plain) > 1):
        raise RangeProblem(f"kubelka_munk() needs a reflectance up to 1, but it got {np.max(plain):.4g}. In percent, type for instance "
                           "reflectance='20 %'; if the powder is brighter than the white reference, clean or change that.")  # fmt: skip
    return Q((1 - plain) ** 2 / (2 * plain), "")


@takes(absorption="[] >= 0")
def reflectance_from_kubelka_munk(absorption):
    r"""Return the reflectance of a thick layer of powder from its Kubelka-Munk function.

    .. math:: R = 1 + F - \sqrt{F^2 + 2 F}

    Takes a number or array of zero or more, and returns a quantity [] from 0 to 1.  Source: kubelka_munk_1931.

    Examples
    --------
    >>> print(f"{reflectance_from_kubelka_munk(1.6).magnitude:.2f}")
    0.20
    """
    plain = absorption.m_as("")
    return Q(
        1 / (1 + plain + np.sqrt(plain**2 + 2 * plain)), ""
    )  # the same, without a small difference of large numbers


def energy_length():
    """Return h c in eV nm: what a wavelength times the energy of its photon is.

    >>> round(energy_length(), 3)
    1239.842
    """
    return number(value("constants", "Planck constant") * value("constants", "speed of light"), "eV*nm")


@dataclass(frozen=True)
class LeftOut:
    """A row that was left out: its line in the file (the first is 1), its text and why."""

    row: int
    text: str
    reason: str


@dataclass(frozen=True, eq=False, repr=False)
class Reflectance:
    """A spectrum of diffuse reflectance.

    Parameters
    ----------
    wavelength : array
        In nm, in any order; sorted here, and points at the same wavelength become their mean.
    reflectance : array
        A fraction: 0 is black, 1 as bright as the white reference.
    notes : tuple of str
        What was taken for what when it was read.
    doubts : tuple of str
        What may be wrong with it; no verdict calls a gap “usable” with one.
    left_out : tuple of LeftOut
        The first rows left out; ``counts`` has the number of all of them, by reason.

    Raises
    ------
    RangeProblem
        If there are fewer than 8 wavelengths, or numbers that are no wavelength of light or no reflectance.

    Examples
    --------
    >>> print(Reflectance([600, 550, 500, 450, 440, 430, 420, 400], [0.9, 0.9, 0.85, 0.5, 0.4, 0.3, 0.25, 0.2]))
    Reflectance at 8 wavelengths from 400 to 600 nm: 20.0 to
    90.0 %.
    """

    wavelength: np.ndarray
    reflectance: np.ndarray
    notes: tuple = ()
    doubts: tuple = ()
    left_out: tuple = ()
    counts: dict = field(default_factory=dict)

    def __post_init__(self):
        wavelength, reflectance = (np.asarray(values, dtype=float).ravel() for values in (self.wavelength, self.reflectance))  # fmt: skip
        if wavelength.size != reflectance.size:
            raise RangeProblem(f"A spectrum has as many wavelengths as reflectances, but these are {wavelength.size} and {reflectance.size}.")  # fmt: skip
        if not (np.isfinite(wavelength).all() and np.isfinite(reflectance).all()):
            raise RangeProblem("A spectrum has numbers only; leave out the points that have none.")
        if wavelength.size and not (SHORTEST <= wavelength.min() and wavelength.max() <= LONGEST):
            raise RangeProblem(f"Wavelengths are from {SHORTEST:.0f} to {LONGEST:.0f} nm here, but these go from {wavelength.min():.4g} to "
                               f"{wavelength.max():.4g}.")  # fmt: skip
        if wavelength.size and not (DARKEST <= reflectance.min() and reflectance.max() <= BRIGHTEST):
            raise RangeProblem(f"A reflectance is a fraction from 0 to about 1, but these go from {reflectance.min():.4g} to "
                               f"{reflectance.max():.4g}. Percent has to be divided by 100 first.")  # fmt: skip
        unique, place = np.unique(wavelength, return_inverse=True)
        if unique.size < FEWEST:
            raise RangeProblem(
                f"A spectrum needs at least {FEWEST} wavelengths, but there are {unique.size}. Measure it in smaller steps."
            )
        means = np.bincount(place.ravel(), reflectance) / np.bincount(place.ravel())
        for name, values in (("wavelength", unique), ("reflectance", means)):
            values.setflags(write=False)
            object.__setattr__(self, name, values)

    def __len__(self):
        return self.wavelength.size

    def __str__(self):
        low, high = self.reflectance.min() * 100, self.reflectance.max() * 100
        return wrapped(f"Reflectance at {len(self)} wavelengths from {self.wavelength[0]:.4g} to {self.wavelength[-1]:.4g} nm: "
                       f"{low:.1f} to {high:.1f} %.")  # fmt: skip

    def words(self):
        """Return in plain sentences what was read, what was left out and what was taken for what."""
        counts = {"rows": len(self), "kept": len(self), "reasons": {}} | self.counts
        reasons = ", ".join(f"{count} × {reason}" for reason, count in counts["reasons"].items() if count)
        out = counts["rows"] - counts["kept"]
        lines = [f"{counts['rows']} rows read, {counts['kept']} kept, {out} left out" + (f" ({reasons})." if reasons else "."),
                 *self.notes, *self.doubts]  # fmt: skip
        return Note("\n".join(lines))

    def __repr__(self):
        return repr(self.words())

    def _repr_html_(self):
        return self.words()._repr_html_()
