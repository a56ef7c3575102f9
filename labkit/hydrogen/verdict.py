"""Does a claim of hydrogen hold?  A measured rate beside the ceiling of its light, its blank and what has been published.

No answer here says that hydrogen was proved: a volume does not name its gas.
"""

from dataclasses import dataclass
from functools import lru_cache
from html import escape

from labkit.air.vapour import saturated_fraction
from labkit.chemistry.gas import dry_pressure, water_vapour_pressure
from labkit.data import guess, value
from labkit.data.cautions import cautions
from labkit.errors import LabError, UnitProblem, chosen
from labkit.hydrogen.amount import ELECTRONS_PER_HYDROGEN
from labkit.hydrogen.cases import case_evidence, cases
from labkit.hydrogen.dissolved import air_from_warming
from labkit.hydrogen.drift import amount_factor, drift_volume
from labkit.hydrogen.incident import apparent_yield, photons_with_doubt
from labkit.hydrogen.rate import GasRate
from labkit.hydrogen.slope import left_open
from labkit.units import Note, Q, as_range, nominal, number, printed, printed_range, rounded_up, wrapped

ABOVE, EXTRAORDINARY, CLOSER, PLAUSIBLE, BELOW, WITHIN, UNTOLD = LEVELS = (
    "above the ceiling",
    "extraordinary: repeat with a blank",
    "plausible, look closer",
    "plausible",
    "below the detection limit",
    "within the blank",
    "cannot tell",
)
SPLIT_WATER = 2 / 3  # of 2 H2O -> 2 H2 + O2
NAMELESS = "A volume does not say which gas it is."
WOULD_TELL = (
    "What would tell: a gas chromatograph, a mass spectrometer or a hydrogen sensor. The same run in the dark, and lit "
    "without powder, tells what is not due to powder and light.",
    "A pop at a flame is no measurement, and with oxygen the gas can detonate: no flame near it.",
)
MIXTURE = (
    "Split water comes as two parts of hydrogen to one of oxygen, a mixture that can detonate: a few millilitres at most, vented "
    "outside, no closed glass, no flame near."
)
_ALSO_OXYGEN = (
    "If this is split water, half as much oxygen has to come with the hydrogen: without it, it is something else."
)


@dataclass(frozen=True)
class Impostor:
    """Gas that is no hydrogen: its ``name`` for a table, the same in ``words``, and the most it may bring, ``rate`` in mL/h."""

    name: str
    words: str
    rate: object


@dataclass(frozen=True, eq=False, repr=False)
class GasVerdict:
    """Whether a claim holds: ``level`` (one of ``LEVELS``), ``sentence`` and what they rest on.

    ``apparent_yield`` (percent) is what the gas would be if all of it, or two thirds for split water, were hydrogen;
    ``ceiling`` the most dry gas that the light allows; ``impostors`` are those of gas that is
    no hydrogen, as much as may have come in this run, largest first; ``remarks`` are sentences.
    """

    level: str
    sentence: str
    apparent_yield: object
    ceiling: object
    case: str
    impostors: tuple
    rate: GasRate
    remarks: tuple = ()

    @property
    def would_tell(self):
        """What would tell the gas, in sentences."""
        return (*WOULD_TELL, *((_ALSO_OXYGEN, MIXTURE) if self.case == "plain" else ()))

    def rows(self):
        """Return the figures as rows of (what, value)."""
        span = guess("quantum_yields", self.case)
        gained = nominal(self.rate.amount_rate).magnitude > 0
        return [
            ("dry gas, net", printed(self.rate.amount_rate, unit="µmol/h")),
            ("ceiling", printed(self.ceiling, 3, "µmol/h")),
            ("yield, if hydrogen", printed(self.apparent_yield, unit="%") if gained else "none: the net volume does not rise"),
            ("usual yield", f"{_case_text(span)}"),
            ("detection limit", printed(self.rate.detection_limit, 2, "mL/h")),
            *((f"or {one.name}", f"up to {_at_most(one.rate)}") for one in self.impostors if one.rate.magnitude > 0),
        ]  # fmt: skip

    def cautions(self):
        """Return the cautions that belong to hydrogen."""
        return cautions("hydrogen")

    def words(self):
        """Return the verdict and the remarks as a Note."""
        return Note("\n".join([f"{self.level.capitalize()}: {self.sentence}", *self.remarks, *self.would_tell]))

    def __str__(self):
        rows = self.rows()
        width = max(len(what) for what, _ in rows)
        head, *rest = (wrapped(line) for line in self.words().splitlines())
        return "\n".join([head, *(f"  {what:<{width}}  {text}" for what, text in rows), *rest])

    __repr__ = __str__

    def _repr_html_(self):
        left = 'style="text-align:left;vertical-align:top;padding:4px 14px 4px 0"'
        body = "".join(
            f"<tr><td {left}>{escape(a)}</td><td {left}><b>{escape(b)}</b></td></tr>" for a, b in self.rows()
        )
        return f"{self.words()._repr_html_()}<table>{body}</table>"


def gas_verdict(rate, light, case="plain", *, water=None):
    """Return the GasVerdict on a measured rate of gas.

    Parameters
    ----------
    rate : GasRate
        From ``gas_rate``.
    light : quantity, Range or text [amount rate]
        Photons above the gap that arrive per time, as from ``incident_photons``.
    case : str
        What is in the water with the powder, one of ``labkit.hydrogen.cases()``.  Under “plain” two thirds of the gas are
        taken to be hydrogen, since oxygen comes with it; with a donor all of it.
    water : quantity or text [volume], optional
        Under the gas: it gives up air when it warms.  100 mL if left out.

    Raises
    ------
    LabError
        If the rate is no GasRate, the light is of another kind, or there is no such case.

    Notes
    -----
    In this order: a net rate that is negative beyond its decision limit, or none at all, cannot be judged; below the decision limit it is within
    the blank (below the detection limit if there is none), below the detection limit it is called so.  Above it, a yield of more
    than 100 % is above the ceiling, more than the top of the case is extraordinary, and more than its likely value,
    or a run without blank, of fewer than ten readings or with a temperature that nobody read, asks for a closer look.

    References
    ----------
    quantum_yields.csv (from memory; evidence as cited), iupac_photocatalysis_2011

    Examples
    --------
    >>> from labkit.hydrogen.rate import gas_rate
    >>> run = "min;mL\\n0;0\\n30;4\\n60;8\\n90;12"
    >>> found = gas_verdict(gas_rate(run, headspace="40 mL", temperature="21 °C", pressure="1009 hPa"), "200 µmol/h")
    >>> print(found.level)
    above the ceiling
    """
    if not isinstance(rate, GasRate):
        raise UnitProblem("gas_verdict() needs what gas_rate() returns. Type gas_verdict(gas_rate(readings), light).")
    chosen(case, cases(), "case")
    photons, share = photons_with_doubt(light), SPLIT_WATER if case == "plain" else 1.0
    water = as_range("100 mL" if water is None else water, "[volume] >= 0", "water").high
    found = apparent_yield(rate.amount_rate, photons, share)
    ceiling = nominal(photons) / ELECTRONS_PER_HYDROGEN / share
    span = guess("quantum_yields", case)
    impostors = _ranked(rate, number(water, "mL"), case)
    level = _level(rate, number(found, "percent"), span.m_as("percent"))
    return GasVerdict(level, _sentence(level, rate, found, ceiling, case, impostors), found, ceiling, case, impostors, rate,
                      _remarks(level, rate, found, case, photons))  # fmt: skip


def _level(rate, percent, usual):
    net, decision, detection = (number(size, "mL/h") for size in (rate.net, rate.decision_limit, rate.detection_limit))
    if net < -decision:
        return UNTOLD
    if net <= decision:
        return WITHIN if rate.blank is not None else BELOW
    if percent > 100:  # so much gas is no hydrogen, however ill it was measured
        return ABOVE
    if net <= detection:
        return BELOW
    if percent > usual[2]:
        return EXTRAORDINARY
    well_run = rate.blank is not None and rate.slope.found.told and not rate.slope.found.falls and _warming_known(rate)
    return PLAUSIBLE if well_run and percent <= usual[1] else CLOSER


def _warming_known(rate):
    """Return True if the temperature was read, or its move told: a blank in the dark does not show what light warms."""
    return "temperature" in rate.slope.corrected or rate.setting.temperature_move is not None


@lru_cache(8)  # another light leaves them alone
def _ranked(rate, millilitres, case):
    """Return the Impostors of a run over so many mL of water, largest first."""
    return tuple(sorted(_impostors(rate, Q(millilitres, "mL"), case), key=lambda one: -number(one.rate, "mL/h")))


def _impostors(rate, water, case):
    """Yield Impostors: gas that is no hydrogen, as much as may have come in the straight part of this run."""
    setting, hours, read = rate.setting, (rate.end - rate.start).to("h"), rate.slope.corrected
    warm, air, gas = setting.temperature.likely, setting.pressure.likely, setting.headspace.high
    at = {"temperature": warm, "pressure": air, "over_water": setting.over_water}
    warmer, higher = left_open(setting, read, most=True)
    kelvin, hectopascals = printed(warmer, 2, "K"), printed(higher, 2, "hPa")
    beyond = " more than was read" if "temperature" in read else ""
    yield Impostor(
        f"warming by {kelvin}", f"gas that warmed by {kelvin}{beyond}", drift_volume(gas, warmer, **at) / hours
    )
    yield Impostor(
        f"barometer down {hectopascals}",
        f"a barometer that fell by {hectopascals}",
        drift_volume(gas, "0 K", -higher, **at) / hours,
    )
    if "temperature" in read:
        warmer = Q(float(max(rate.slope.read_celsius) - rate.slope.read_celsius[0]), "delta_degC")
    if setting.over_water:
        # Its table ends at 60 °C: beyond it little more air comes, for little is left.
        start, hot = (Q(min(number(warm, "degC") + up, 60.0), "degC") for up in (0.0, warmer.m_as("delta_degC")))
        given_up = (
            air_from_warming(water, start, hot, air) * value("constants", "gas constant") / amount_factor(warm, air)
        )
        yield Impostor(
            "air out of the water",
            f"air that {printed(water, 2)} of water gave up on warming by {printed(warmer, 2, 'K')}",
            given_up.to("mL") / hours,
        )
        vapour = gas * water_vapour_pressure(warm) / dry_pressure(air, warm)
        yield Impostor("water vapour", "water vapour, if the gas was dry at the start", vapour.to("mL") / hours)
    if case != "plain":
        try:
            part = number(saturated_fraction("ethanol", warm, air), "dimensionless")
        except LabError:  # too cold or too hot for its table
            return
        wet = number(water_vapour_pressure(warm) / air, "dimensionless") if setting.over_water else 0.0
        if part + wet < 1:  # else it boils
            vapour = gas * part / (1 - part - wet)  # what is there already makes room for it at the same pressure
            yield Impostor(
                "alcohol vapour", "vapour of the donor, if it is an alcohol (as pure ethanol)", vapour.to("mL") / hours
            )


def _sentence(level, rate, percent, ceiling, case, impostors):
    net, share = printed(rate.net, 2, "mL/h"), printed(percent, unit="%")
    if level == UNTOLD:
        return f"the volume falls, by {printed(-rate.net, 2, 'mL/h')}: a leak or cooling. Nothing can be said of hydrogen before that is mended."
    if level == WITHIN:
        return (f"{net} is not more than the blank leaves open, {printed(rate.decision_limit, 2, 'mL/h')}. No hydrogen can be claimed; "
                f"more than {_at_most(rate.detection_limit)} would have been seen.")  # fmt: skip
    if level == BELOW:
        why = "" if rate.blank is not None else " There is no blank."
        return (f"{net} is too little to be told from nothing: this run would show {_at_most(rate.detection_limit)} or more.{why} "
                f"Most of the doubt is from the {rate.parts[0][0]}.")  # fmt: skip
    gas = f"{printed(rate.amount_rate, unit='µmol/h')} of dry gas"
    if level == ABOVE:
        return (f"{gas} is more than the light allows, {printed(ceiling, 2, 'µmol/h')} with every photon used. So it is not hydrogen from this light alone: it is "
                f"{_likeliest(impostors)}, or a leak that lets air in, or a slip (µL taken for mL is a factor of 1000, minutes for hours 60).")  # fmt: skip
    whole = "all of it" if case != "plain" else "two thirds of it"
    usual = f"usual for {cases()[case]} is {_case_text(guess('quantum_yields', case))} (from memory)"
    said = f"{gas} would be an apparent quantum yield of {share} if {whole} were hydrogen; {usual}. "
    return (
        said
        + {
            EXTRAORDINARY: f"That is more than the most that is taken for its kind here. Before it is believed: a blank, another thermometer, and the gas named. It may be {_likeliest(impostors)}.",
            CLOSER: "It can be so. " + _closer(rate),
            PLAUSIBLE: "It can be so.",
        }[level]
        + f" {NAMELESS}"
    )


def _closer(rate):
    reasons = [*(["there is no blank"] if rate.blank is None else []),
               *([] if rate.slope.found.told else ["the readings are few"]),
               *([] if _warming_known(rate) else ["nobody read the temperature, and light warms gas"]),
               *(["the volume falls in the end"] if rate.slope.found.falls else [])]  # fmt: skip
    return f"Look closer, for {' and '.join(reasons)}." if reasons else "Look closer, for it is more than is likely."


def _remarks(level, rate, percent, case, photons):
    remarks = list(rate.remarks)
    if nominal(photons) is photons:
        remarks.append(
            "The light was given without a range, so the yield carries no doubt of it: give one, such as 8 to 10 mmol/h."
        )
    if level in (EXTRAORDINARY, CLOSER, PLAUSIBLE):
        remarks.append(f"Published on this case: {case_evidence(case)}")
    middle, u = number(percent, "percent"), getattr(percent.magnitude, "std_dev", 0.0)
    if level == ABOVE and middle - rate.factor * u < 100:
        remarks.append("Within its uncertainty it may lie below the ceiling: first the light and the rate have to be known better.")  # fmt: skip
    return tuple(remarks)


def _likeliest(impostors):
    return ", or ".join(f"{one.words} (up to {_at_most(one.rate)})" for one in impostors[:2])


def _at_most(rate):
    return f"{rounded_up(number(rate, 'mL/h'), 2)} mL/h"


def _case_text(span):
    if not span.likely.magnitude:
        return f"nothing, at most {printed(span.high, 2, '%')}"
    return printed_range(span, unit="%")
