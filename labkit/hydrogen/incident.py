"""Photons that arrive on a lit area, and the apparent quantum yield of a measured rate, with its uncertainty."""

from math import sqrt

from labkit.data import value
from labkit.errors import RangeProblem
from labkit.hydrogen.amount import ELECTRONS_PER_HYDROGEN
from labkit.light import photon_flux_above, photon_flux_from_irradiance
from labkit.units import Q, Range, as_range, checked, is_quantity, number, takes


@takes(area="[area] > 0", irradiance="[irradiance] > 0", gap="[energy] > 0", wavelength="[length] > 0")
def incident_photons(area, irradiance=None, *, gap=None, wavelength=None):
    """Return the photons that arrive on an area per time, in µmol/h.

    Parameters
    ----------
    area : quantity [area]
        Facing the light.
    irradiance : quantity [irradiance], optional
        1000.37 W/m² of sunlight if left out; a lamp needs one that was measured.  May carry a ±.
    gap : quantity [energy], optional
        Sunlight: photons above it alone are counted.
    wavelength : quantity [length], optional
        A lamp of one colour: all its photons are counted.

    Raises
    ------
    RangeProblem
        If not exactly one of ``gap`` and ``wavelength`` is given, or a lamp has no irradiance.
    UnitProblem
        If an argument is of another kind.

    References
    ----------
    astm_g173; si_brochure

    Examples
    --------
    >>> from labkit.units import printed
    >>> printed(incident_photons('60 cm²', gap='2.7 eV'), 4, 'µmol/h')
    '8947 µmol/h'
    >>> printed(incident_photons('10 cm²', '1000 W/m²', wavelength='450 nm'), 5, 'µmol/h')
    '13542 µmol/h'
    """
    if (gap is None) == (wavelength is None):
        raise RangeProblem("incident_photons() needs either the gap, for sunlight, or the wavelength of a lamp of one "
                           "colour. Type for instance gap='2.7 eV'.")  # fmt: skip
    if wavelength is None:
        return (photon_flux_above(gap, irradiance) * area).to("µmol/h")
    if irradiance is None:
        raise RangeProblem("incident_photons() needs the irradiance of the lamp where the powder stands, measured: "
                           "irradiance='240 W/m²'.")  # fmt: skip
    return (photon_flux_from_irradiance(irradiance, wavelength) * area).to("µmol/h")


@takes(amount="[amount] >= 0", irradiance="[irradiance] > 0", area="[area] > 0", time="[time] > 0", wavelength="[length] > 0", electrons="[] > 0")  # fmt: skip
def apparent_yield_of_lamp(amount, irradiance, area, time, wavelength, electrons=ELECTRONS_PER_HYDROGEN):
    r"""Return the apparent quantum yield in light of one colour, in percent, from what is read on the bench.

    .. math:: \frac{2\,n\,N_\mathrm{A}\,h\,c}{P A t \lambda}

    Every argument may carry a ±.

    Raises
    ------
    UnitProblem, RangeProblem
        If an argument is of another kind or has the wrong sign.

    References
    ----------
    si_brochure: the constants are exact.  The quantity is what IUPAC calls photonic yield times the electrons per
    molecule (iupac_photocatalysis_2011).

    Examples
    --------
    >>> print(f"{apparent_yield_of_lamp('1 µmol', '1000 W/m²', '1 cm²', '1 h', '420 nm'):.4f~P}")
    0.1582 %
    """
    constants = [value("constants", f"{name} constant") for name in ("Avogadro", "Planck")]
    carried = amount * constants[0] * constants[1] * value("constants", "speed of light")
    return (electrons * carried / (irradiance * area * time * wavelength)).to("percent")


def photons_with_doubt(photons):
    """Return photons per time, given as quantity, text or Range, as a quantity in µmol/h with its standard uncertainty.

    Half of a Range over the root of three counts as one; a typed ± as it stands.

    >>> photons_with_doubt("9 ± 1 mmol/h").magnitude
    9000.0+/-1000.0
    """
    from uncertainties import ufloat

    if is_quantity(photons) and hasattr(photons.magnitude, "std_dev"):
        return checked(photons, "[amount rate] > 0", "light").to("µmol/h")
    flat = isinstance(photons, Range) or (isinstance(photons, str) and "±" not in photons)
    low, likely, high = as_range(photons, "[amount rate] > 0", "light").m_as("µmol/h")
    u = (high - low) / 2 / (sqrt(3) if flat else 1)
    return Q(ufloat(likely, u) if u > 0 else likely, "µmol/h")


def apparent_yield(amount_rate, photons, hydrogen_share=1.0):
    """Return the apparent quantum yield of a measured rate, in percent with its standard uncertainty.

    Parameters
    ----------
    amount_rate : quantity [amount rate]
        Of all dry gas, such as ``GasRate.amount_rate``; may carry a ±, and may be negative if it is nothing.
    photons : quantity, Range or text [amount rate]
        That arrive, as from ``incident_photons``.
    hydrogen_share : number
        Part of the gas that is hydrogen if all is well: 1 with a donor, 2/3 for split water.

    Examples
    --------
    >>> print(f"{apparent_yield(Q(12.0, 'µmol/h'), Q(8947.0, 'µmol/h')):.2f~P}")
    0.27 %
    """
    if not 0 < number(Q(hydrogen_share), "dimensionless") <= 1:
        raise RangeProblem("The share of hydrogen in the gas is more than 0 and at most 1.")
    return (ELECTRONS_PER_HYDROGEN * hydrogen_share * amount_rate / photons_with_doubt(photons)).to("percent")
