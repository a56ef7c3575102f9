"""The energy of one photon in all its spellings, and how many photons an energy is.

"Gap" is the energy a powder needs from one photon.  The same sums hold for the photons of a lamp:
a photon of 450 nm carries ``gap_from_wavelength("450 nm")``.
"""

from labkit.data import value
from labkit.units import takes


def _planck_times_light():
    return value("constants", "Planck constant") * value("constants", "speed of light")


@takes(gap="[energy] > 0")
def wavelength_from_gap(gap):
    r"""Return the edge: the longest wavelength of which one photon bridges a gap.

    .. math:: \lambda = h c / E

    Parameters
    ----------
    gap : quantity [energy] > 0
        Band gap, or the energy of one photon.  Scalar or array.

    Returns
    -------
    quantity [length], in nm
        In vacuum; in air 0.03 % shorter.

    Raises
    ------
    UnitProblem, RangeProblem
        If the gap is not an energy, or not more than zero.

    References
    ----------
    si_brochure: h, c and e are exact.

    Examples
    --------
    >>> print(f"{wavelength_from_gap('2.7 eV'):.1f~P}")
    459.2 nm
    """
    return (_planck_times_light() / gap).to("nm")


@takes(wavelength="[length] > 0")
def gap_from_wavelength(wavelength):
    """Return the gap that light of one wavelength just bridges: the energy of one photon.

    Parameters
    ----------
    wavelength : quantity [length] > 0
        In vacuum.  Scalar or array.

    Returns
    -------
    quantity [energy], in eV

    Raises
    ------
    UnitProblem, RangeProblem
        If the wavelength is not a length, or not more than zero.

    References
    ----------
    si_brochure

    Examples
    --------
    >>> print(f"{gap_from_wavelength('450 nm'):.3f~P}")
    2.755 eV
    """
    return (_planck_times_light() / wavelength).to("eV")


@takes(gap="[energy] > 0")
def frequency_from_gap(gap):
    """Return the frequency of light of which one photon carries ``gap``.

    Takes and refuses what ``wavelength_from_gap`` does; returns a quantity [frequency], in THz.
    Source: si_brochure.

    Examples
    --------
    >>> print(f"{frequency_from_gap('2.7 eV'):.1f~P}")
    652.9 THz
    """
    return (gap / value("constants", "Planck constant")).to("THz")


@takes(frequency="[frequency] > 0")
def gap_from_frequency(frequency):
    """Return the energy of one photon of a frequency, in eV.  Scalar or array; source: si_brochure.

    Raises
    ------
    UnitProblem, RangeProblem
        If the frequency is not one, or not more than zero.

    Examples
    --------
    >>> print(f"{gap_from_frequency('600 THz'):.3f~P}")
    2.481 eV
    """
    return (frequency * value("constants", "Planck constant")).to("eV")


@takes(gap="[energy] > 0")
def molar_energy_from_gap(gap):
    """Return the energy of one mole of photons of ``gap`` each, in kJ/mol.

    This is the number to hold against a reaction: splitting water takes 237 kJ per mole of
    hydrogen, which is two electrons and so at least two photons.  Source: si_brochure.

    Examples
    --------
    >>> print(f"{molar_energy_from_gap('2.7 eV'):.1f~P}")
    260.5 kJ/mol
    """
    return (gap * value("constants", "Avogadro constant")).to("kJ/mol")


@takes(molar_energy="[molar energy] > 0")
def gap_from_molar_energy(molar_energy):
    """Return the energy of one photon, in eV, if a mole of them carries ``molar_energy``.

    Source: si_brochure.

    Examples
    --------
    >>> print(f"{gap_from_molar_energy('250 kJ/mol'):.2f~P}")
    2.59 eV
    """
    return (molar_energy / value("constants", "Avogadro constant")).to("eV")


@takes(energy="[energy] >= 0", wavelength="[length] > 0")
def photons_from_energy(energy, wavelength):
    r"""Return how many photons of one wavelength an energy of light is.

    .. math:: n = E \lambda / (N_A h c)

    Parameters
    ----------
    energy : quantity [energy] >= 0
        Light, not the electricity that a lamp draws.
    wavelength : quantity [length] > 0

    Returns
    -------
    quantity [amount], in µmol

    Notes
    -----
    A lamp is not one wavelength: of a 460 nm diode 46 % of the photons lie above 2.7 eV, of a 470 nm
    one 15 % (computed for bell curves 22 and 25 nm wide at half height; ``lamp_share_above``).

    References
    ----------
    si_brochure

    Examples
    --------
    A 2 W blue beam for a minute (invented):

    >>> from labkit.units import printed
    >>> printed(photons_from_energy('120 J', '450 nm'), 3, unit='µmol')
    '451 µmol'
    """
    return (energy * wavelength / (_planck_times_light() * value("constants", "Avogadro constant"))).to("µmol")


@takes(irradiance="[irradiance] >= 0", wavelength="[length] > 0")
def photon_flux_from_irradiance(irradiance, wavelength):
    """Return the photon flux of light of one wavelength, such as a diode's, in µmol/m²/s.

    Parameters
    ----------
    irradiance : quantity [irradiance] >= 0
        Power of the light per area that it falls on.  A lux meter cannot give it: how many lumens
        a watt counts for depends on the wavelength (lumens.csv).
    wavelength : quantity [length] > 0
        One wavelength; see the note under ``photons_from_energy``.

    Returns
    -------
    quantity [amount flux], in µmol/m²/s

    References
    ----------
    si_brochure, cie_1924

    Examples
    --------
    >>> from labkit.units import printed
    >>> printed(photon_flux_from_irradiance('100 W/m²', '450 nm'), 3, unit='µmol/m**2/s')
    '376 µmol/m²/s'
    """
    return (irradiance * wavelength / (_planck_times_light() * value("constants", "Avogadro constant"))).to(
        "µmol/m**2/s"
    )
