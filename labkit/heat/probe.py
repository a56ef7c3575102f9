"""The type K probe of a kiln: its voltage, the temperature that it means, and how far it may be wrong.

A thermocouple feels the difference between its hot end and the junction at the meter.  Voltages
add up, temperatures do not: what belongs to the junction is added in millivolts before anything is
looked up.  With the junction at 25 °C and the hot end at 550 °C, adding its 25 degrees to the answer
instead is wrong by 1.5 °C, and leaving them out by more than 23 °C.
Functions and coefficients: nist_monograph_175.
"""

from functools import cache

import numpy as np

from labkit.data import table, value
from labkit.errors import RangeProblem, chosen
from labkit.units import Q, nominal, number, takes

_STEP = 0.05  # °C between the points of the inverse; straight lines between them are good to 0.0001 °C


@takes(temperature="[temperature]", junction="[temperature]")
def probe_voltage(temperature, junction="0 °C"):
    """Return the voltage of a type K probe.

    Parameters
    ----------
    temperature : quantity or text [temperature]
        Of the hot end, -270 to 1372 °C.  Single or array.
    junction : quantity or text [temperature]
        Of the cold junction, where the wires of the probe end.  0 °C gives the values of the tables.

    Returns
    -------
    quantity [voltage], in mV
        Negative when the hot end is the colder one.

    Raises
    ------
    RangeProblem
        Outside -270 to 1372 °C, or for a reading with a ±: try both of its ends.

    References
    ----------
    nist_monograph_175

    Examples
    --------
    >>> print(probe_voltage("550 °C").round(3), probe_voltage("550 °C", junction="25 °C").round(3))
    22.776 millivolt 21.776 millivolt
    """
    _refuse_spread("probe_voltage", temperature=temperature, junction=junction)
    hot, cold = (number(_inside(reading, "probe_voltage"), "degC") for reading in (temperature, junction))
    return Q(emf(hot) - emf(cold), "mV")


@takes(voltage="[voltage]", junction="[temperature]")
def probe_temperature(voltage, junction="0 °C"):
    """Return the temperature that the voltage of a type K probe means.

    Parameters
    ----------
    voltage : quantity or text [voltage]
        As measured.  Single or array.
    junction : quantity or text [temperature]
        Of the cold junction, where the wires of the probe end; its own voltage is added first.

    Returns
    -------
    quantity [temperature], in °C
        Within 0.001 °C of the reference function.

    Raises
    ------
    RangeProblem
        If the voltage, with that of the junction, is beyond what -270 to 1372 °C can give, or for a value with a ±.

    References
    ----------
    nist_monograph_175

    Examples
    --------
    >>> print(probe_temperature("21.776 mV", junction="25 °C").round(1), probe_temperature("21.776 mV").round(1))
    550.0 degree_Celsius 526.5 degree_Celsius
    """
    _refuse_spread("probe_temperature", voltage=voltage, junction=junction)
    cold = emf(number(_inside(junction, "probe_temperature"), "degC"))
    total = number(voltage, "mV") + cold
    found = celsius_of(total)
    if np.isnan(found).any():
        low, high = emf(np.array(_limits())) - np.max(cold)
        raise RangeProblem(f"probe_temperature() works from {low:.3f} to {high:.3f} mV with the junction at that "
                           "temperature, but a voltage lies outside. Was it typed in mV, and is the probe whole?")  # fmt: skip
    return Q(found if np.ndim(found) else float(found), "degC")


def probes():
    """Return the names of the grades of probe, as ``probe_tolerance`` takes them.

    >>> probes()
    ['ASTM standard', 'ASTM special', 'IEC class 1', 'IEC class 2', 'unknown']
    """
    return [row["name"] for row in table("probes")]


@takes(temperature="[temperature]")
def probe_tolerance(temperature, grade="unknown"):
    """Return how far a new type K probe may read from the truth, either way.

    Parameters
    ----------
    temperature : quantity or text [temperature]
        Of the hot end.  Single or array.
    grade : str
        One of ``probes()``; what stands on its packet.  ``"unknown"`` is our guess, from memory.

    Returns
    -------
    quantity [temperature change], in K
        The printed limit as bought.  Heat makes a probe drift, so an old one may be worse.

    Raises
    ------
    ChoiceProblem
        If there is no such grade.
    RangeProblem
        Outside the temperatures for which the standard gives a tolerance.

    References
    ----------
    astm_e230, iec_60584_2

    Examples
    --------
    >>> print(probe_tolerance("550 °C", "IEC class 2"))
    4.125 kelvin
    """
    _refuse_spread("probe_tolerance", temperature=temperature)
    _, _, low, high = grade_of(grade)
    celsius = number(temperature, "degC")
    if not np.all((celsius >= low) & (celsius <= high)):
        raise RangeProblem(f"The tolerance of “{grade}” is given from {low:g} to {high:g} °C only. "
                           "Choose a temperature inside, or another grade.")  # fmt: skip
    found = _tolerance(celsius, grade)
    return Q(found if np.ndim(found) else float(found), "K")


def grade_of(name):
    """Return (least in K, share of the reading, lowest, highest in °C) of a grade; ChoiceProblem if there is none.

    >>> grade_of("IEC class 2")
    (2.5, 0.0075, -40.0, 1200.0)
    """
    chosen(name, probes(), "grade of probe")
    found = next(row for row in table("probes") if row["name"] == name)
    least, percent, low, high = (
        float(found[column]) for column in ("least_K", "share_percent", "lowest_degC", "highest_degC")
    )
    return least, percent / 100, low, high


def _tolerance(celsius, grade):
    """Return the tolerance in K at plain numbers in °C, without a look at the range."""
    least, share, _, _ = grade_of(grade)
    return np.maximum(least, share * np.abs(celsius))


def _refuse_spread(function, **arguments):
    """Raise RangeProblem for a value with a ±, which would be lost on the way through the tables."""
    for name, given in arguments.items():
        if nominal(given) is not given:
            raise RangeProblem(
                f"{function}() takes ‘{name}’ without ±. Call it once for each end, such as 545 °C and 555 °C."
            )


@cache
def _limits():
    return tuple(number(value("thermocouple", name), "degC") for name in ("lowest", "highest"))


def _inside(temperature, function):
    low, high = _limits()
    celsius = number(temperature, "degC")
    if not np.all((celsius >= low) & (celsius <= high)):
        raise RangeProblem(f"{function}() works from {low:g} to {high:g} °C, where type K is defined. "
                           "Is the reading in the right unit?")  # fmt: skip
    return temperature


@cache
def _coefficients():
    """Return the coefficients below and above 0 °C, highest power first, and those of the bump."""
    rows = {row["name"]: row for row in table("thermocouple")}
    below, above = (
        [float(rows[f"c{power} {branch}"]["value"]) if f"c{power} {branch}" in rows else 0.0 for power in range(11)]
        for branch in ("below", "above")
    )
    return below[::-1], above[::-1], [float(rows[name]["value"]) for name in ("a0", "a1", "a2")]


def emf(celsius):
    """Return the voltage in mV against a junction at 0 °C, for plain numbers in °C.

    >>> round(float(emf(550.0)), 3)
    22.776
    """
    below, above, (a0, a1, a2) = _coefficients()
    celsius = np.asarray(celsius, dtype=float)
    cold, hot = np.minimum(celsius, 0.0), np.maximum(celsius, 0.0)
    bumped = np.polyval(above, hot) + a0 * np.exp(a1 * (hot - a2) ** 2)
    return np.where(celsius < 0, np.polyval(below, cold), bumped)[()]


@cache
def _inverse():
    low, high = _limits()
    celsius = np.linspace(low, high, round((high - low) / _STEP) + 1)
    return emf(celsius), celsius


def celsius_of(millivolts):
    """Return °C for plain numbers in mV against a junction at 0 °C; NaN where type K can't give them.

    >>> round(float(celsius_of(22.776)), 1)
    550.0
    """
    return np.interp(millivolts, *_inverse(), left=np.nan, right=np.nan)
