"""Extraction: air through an opening, what it carries away, and how much air a limit asks for."""

import numpy as np

from labkit.air.limits import limit_fraction, refuse_large, single, volume_per_mole
from labkit.data import guess
from labkit.errors import RangeProblem
from labkit.units import Note, converted, printed_down, printed_up, takes

OUTLET = Note(  # the metals: icsc_ammonia
    "What a hood takes from the room it gives to the air outside, all of it. Let the outlet end high and in the open, away from "
    "windows, doors, air intakes and neighbours, and never in a loft, a stairwell or a shared duct. White sublimate can block the "
    "duct: look, and clear it cold. Ammonia attacks copper, zinc and aluminium (ICSC 0414): no galvanised duct. A hood that only "
    "filters and blows back takes none of it out. (The rest is common practice.)",
    "care",
)
_EDGE = 1e-9


@takes(face_velocity="[velocity] > 0", width="[length] > 0", height="[length] > 0", area="[area] > 0")
def extraction_flow(face_velocity, width=None, height=None, area=None):
    """Return the air that passes an opening, in m³/h: its area times the speed through it.

    Parameters
    ----------
    face_velocity : quantity [velocity]
        Mean over the opening, measured with everything in place; 0.3 to 0.6 m/s is usual
        (``usual_face_velocity``).  Print the flow with ``printed_down``.
    width, height : quantity [length]
        Of the open part; both, or else ``area``.
    area : quantity [area]

    Returns
    -------
    quantity [volume / time], in m³/h

    Raises
    ------
    RangeProblem
        If neither both lengths nor an area alone are given, or a value is not more than zero.
    UnitProblem, ReadingProblem
        If an argument is of another kind or can't be read.

    Examples
    --------
    >>> print(f"{extraction_flow('0.5 m/s', '1.2 m', '0.5 m'):.0f~P}")
    1080 m³/h
    """
    lengths = (width, height)
    if (area is None) == any(length is None for length in lengths) or (area is not None and any(
        length is not None for length in lengths)):  # fmt: skip
        raise RangeProblem("extraction_flow() needs the opening: width and height, as in width='1.2 m', height='0.5 m', "
                           "or the area alone, as in area='0.6 m²'.")  # fmt: skip
    return (face_velocity * (area if area is not None else width * height)).to("m**3/h")


def usual_face_velocity(name="hood opening"):
    """Return the Range of usual speeds through an opening, in m/s, from face_velocities.csv.

    Raises SourceProblem, which lists the names there are.

    References
    ----------
    hood_velocity_copies

    >>> from labkit.units import printed_range
    >>> printed_range(usual_face_velocity(), 3)
    '0.305 to 0.635 m/s, likely 0.508 m/s'
    """
    return guess("face_velocities", name).to("m/s")


def face_velocity_verdict(face_velocity):
    """Return in words whether a speed through an opening is usual: gas escapes from a slow one and a fast one.

    Bodies differ at the low end; from there to what ANSI Z9.5 asks for it says so.  Raises LabError if it
    is no single velocity.

    References
    ----------
    hood_velocity_copies

    >>> print(face_velocity_verdict("0.2 m/s").splitlines()[0])
    Too slow: under 0.31 m/s gas drifts out past whoever stands there.
    """
    speed, usual = single(face_velocity, "[velocity] > 0", "face velocity"), usual_face_velocity()
    stricter = usual_face_velocity("hood opening by Z9.5").low
    # An end typed in ft/min may be off in the last digit; it belongs to the range.
    if speed < usual.low * (1 - _EDGE):
        said, kind = f"Too slow: under {printed_up(usual.low)} gas drifts out past whoever stands there.", "care"
    elif speed > usual.high * (1 + _EDGE):
        said, kind = f"Too fast: over {printed_down(usual.high)} eddies can pull gas back out.", "care"
    elif speed < stricter * (1 - _EDGE):
        said, kind = (
            f"At the low end of usual: some advise {printed_up(usual.low)} and up, ANSI Z9.5 {printed_up(stricter)} (as quoted in "
            "1997, secondary copies). With a gas that has no safe figure keep to the higher one.", "care")  # fmt: skip
    else:
        said, kind = "A usual speed. It holds only while nobody walks past and no window blows across it.", "plain"
    return Note(f"{said}\nTry it with smoke; a strip of paper at the edge shows day by day that it still draws.", kind)


@takes(release_rate="[amount rate] >= 0", flow="[volumetric flow] > 0", background="[] >= 0",
       temperature="[temperature] > 0", pressure="[pressure] > 0")  # fmt: skip
def exhaust_concentration(release_rate, flow, background="0 ppm", temperature="25 °C", pressure="1 atm"):
    """Return the fraction of a gas in the air drawn off, in ppm, if all of it is caught and mixed in.

    Parameters
    ----------
    release_rate : quantity [amount / time]
        Such as ``Release.highest_rate``.
    flow : quantity [volume / time]
        Of the air drawn off, at ``temperature`` and ``pressure``.
    background : quantity [plain number or ppm]
        Already in the air that comes in; under 5 %, with its unit.

    Returns
    -------
    quantity, in ppm
        Print it with ``printed_up``.  What the outlet gives to the air outside (``OUTLET``).  The mean: close to the source it is higher.  At very high
        fractions slightly too high, since the gas takes up room itself.

    Raises
    ------
    UnitProblem, RangeProblem, ReadingProblem
        If an argument is of another kind, has the wrong sign, or can't be read.

    Examples
    --------
    0.4 mol of ammonia per hour into 500 m³ of air per hour (invented):

    >>> print(f"{exhaust_concentration('0.4 mol/h', '500 m³/h'):.1f~P}")
    19.6 ppm
    """
    refuse_large(background, "background")
    return (release_rate * volume_per_mole(temperature, pressure) / flow).to("ppm") + converted(background, "ppm")


@takes(release_rate="[amount rate] >= 0", mixing_factor="[] > 0", background="[] >= 0",
       temperature="[temperature] > 0", pressure="[pressure] > 0")  # fmt: skip
def flow_needed(
    release_rate, limit, mixing_factor=1, background="0 ppm", temperature="25 °C", pressure="1 atm"
):  # fmt: skip
    """Return the fresh air that holds a steady release at a limit, in m³/h.

    Parameters
    ----------
    release_rate : quantity [amount / time]
    limit : Limit, quantity or text
        Such as ``strictest("NH3", "8 h")`` or ``"25 ppm"``.
    mixing_factor : number
        1 for perfect mixing to 10 for very poor: up to ten times as much air.
    background : quantity [plain number or ppm]
        Already in the fresh air; less than the limit.

    Returns
    -------
    quantity [volume / time], in m³/h
        Print it with ``printed_up``.

    Raises
    ------
    RangeProblem
        If the mixing factor is under 1, the limit or background is 5 % or more, or the fresh air itself is at the limit already.
    UnitProblem, ReadingProblem
        If an argument is of another kind or can't be read.

    Examples
    --------
    >>> print(printed_up(flow_needed("0.4 mol/h", "25 ppm")), "|", printed_up(flow_needed("0.4 mol/h", "25 ppm", 3)))
    400 m³/h | 1200 m³/h
    """
    refuse_mixing(mixing_factor)
    refuse_large(background, "background")
    spare = limit_fraction(limit) - background.to("")
    if np.any(spare.magnitude <= 0):
        raise RangeProblem("The fresh air is at the limit already, so no amount of it is enough. Check the background.")
    return (release_rate * volume_per_mole(temperature, pressure) * mixing_factor / spare).to("m**3/h")


def refuse_mixing(mixing_factor):
    """Raise RangeProblem for a mixing factor that promises more than perfect mixing."""
    if np.any(mixing_factor.m_as("dimensionless") < 1):
        raise RangeProblem("The mixing factor is 1 for perfect mixing and up to 10 for very poor; under 1 there is nothing. "
                           "Type for instance mixing_factor=3.")  # fmt: skip
