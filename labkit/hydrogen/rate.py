"""The rate at which gas came, with what a blank, a leak, warming and the barometer leave of it."""

from dataclasses import dataclass, field
from functools import cached_property
from math import hypot, sqrt

import numpy as np
from uncertainties import ufloat

from labkit.data import guess, value
from labkit.data.cautions import cautions
from labkit.errors import RangeProblem
from labkit.hydrogen.drift import amount_factor
from labkit.hydrogen.readings import GasReadings, read_gas
from labkit.hydrogen.slope import SCATTER, Setting, Slope, slope_of
from labkit.units import Note, Q, as_range, certain, checked, clock_text, nominal, number, printed, wrapped
from labkit.units.dimensions import is_reading
from labkit.units.propagation import coverage_factor, effective_freedom
from labkit.units.straight_line import straight_line

DETECTION = 3.0  # standard uncertainties of what a run without hydrogen shows: common practice
_ONE_SIDED = 0.90  # a two-sided share of 90 % leaves 5 % above: Currie's decision limit, in outline from memory
_BLANK, _LEAK = "blank", "leak"
_RECTANGLE = sqrt(3)


@dataclass(frozen=True, eq=False, repr=False)
class GasRate:
    """How fast gas came, and what of it is more than a blank.

    ``rate`` (as read) and ``net`` (less the blank or the leak) carry standard uncertainties, in mL/h at the ``setting``;
    ``parts`` are (what, mL/h) of the uncertainty of ``net``, widest first; ``dof`` its effective degrees of freedom;
    ``decision_limit``: a net rate below it may be nothing; ``detection_limit``: what is larger will be seen nearly always.
    ``start``, ``end``: of the straight part; ``induction``: time before gas came, ``plateau``: time from which none came, None if not
    seen.  ``blank`` and ``leak`` are what was taken for them, None without.  ``remarks`` are sentences.
    """

    rate: object
    net: object
    parts: tuple
    dof: float
    decision_limit: object
    detection_limit: object
    start: object
    end: object
    induction: object
    plateau: object
    slope: Slope
    setting: Setting
    blank: object = None
    leak: object = None
    powder: object = None
    area: object = None
    remarks: tuple = field(default=())

    @property
    def factor(self):
        """By what the standard uncertainty is multiplied to cover 95 %."""
        return coverage_factor(0.95, self.dof)

    @cached_property
    def amount_rate(self):
        """Net rate of dry gas as an amount, µmol/h with its standard uncertainty: of all gas, whatever it is."""
        worth = amount_factor(
            *(_uncertain(span) for span in (self.setting.temperature, self.setting.pressure)), self.setting.over_water
        )
        return (self.net * worth / value("constants", "gas constant")).to("µmol/h")

    @property
    def per_powder(self):
        """Net amount per mass of powder, µmol/h/g; RangeProblem if no mass was given."""
        return (self.amount_rate / self._given("powder")).to("µmol/h/g")

    @property
    def per_area(self):
        """Net amount per lit area, mmol/h/m²; RangeProblem if no area was given."""
        return (self.amount_rate / self._given("area")).to("mmol/h/m**2")

    def _given(self, name):
        found = getattr(self, name)
        if found is None:
            raise RangeProblem(f"Per {name} needs the {name}. Type it in gas_rate(), for instance "
                               f"{name}={'80 mg' if name == 'powder' else '60 cm²'!r}.")  # fmt: skip
        return found

    @property
    def is_gas(self):
        """True if the net rate is over the decision limit: more than a run without hydrogen would show in 95 of 100 cases."""
        return bool(_middle(self.net) > self.decision_limit.magnitude)

    @property
    def sentence(self):
        """The rate in words."""
        when = (
            f"from {clock_text(self.start)} to {clock_text(self.end)}"
            if self.start.magnitude
            else f"over {clock_text(self.end)}"
        )
        said = f"Gas came at {_rate_text(self.rate)} {when}. "
        off = {True: "Less the blank", False: "With the loss of the leak put back"}[self.blank is not None]
        if self.blank is not None or self.leak is not None:
            said += f"{off} it is {_rate_text(self.net)}. "
        if not self.is_gas:
            return (
                said
                + f"That is not more than a run without hydrogen may show, up to {_rate_text(self.decision_limit)}."
            )
        return said + (f"That is {printed(self.amount_rate, unit='µmol/h')} of dry gas, whatever gas it is; ± is one standard "
                       f"uncertainty, most of it from the {self.parts[0][0]}.")  # fmt: skip

    def rows(self):
        """Return the figures as rows of (what, value)."""
        rows = [("rate as read", _rate_text(self.rate)),
                ("straight part", f"{clock_text(self.start)} to {clock_text(self.end)}, {self.slope.line.count} readings"),
                ("before gas came", clock_text(self.induction) if self.induction is not None else self._unseen()),
                ("no more gas from", clock_text(self.plateau) if self.plateau is not None else self._unseen()),
                ("blank", _rate_text(self.blank) if self.blank is not None else "none was run"),
                ("loss by leak", _rate_text(self.leak) if self.leak is not None else "not tested"),
                ("net rate", _rate_text(self.net)), ("net, dry gas", printed(self.amount_rate, unit="µmol/h"))]  # fmt: skip
        rows += [("per gram of powder", printed(self.per_powder, unit="µmol/h/g"))] if self.powder is not None else []
        rows += [("per lit area", printed(self.per_area, unit="mmol/h/m**2"))] if self.area is not None else []
        rows += [("decision limit", _rate_text(self.decision_limit)), ("detection limit", _rate_text(self.detection_limit)),
                 ("95 % of cases", f"± {printed(Q(self.factor * _spread(self.net), 'mL/h'), 2, 'mL/h')}")]  # fmt: skip
        return rows + [(f"± from the {what}", f"{printed(u, 2, 'mL/h')}") for what, u in self.parts if u.magnitude]

    def _unseen(self):
        return "not seen" if self.slope.found.told else "cannot tell"

    def cautions(self):
        """Return the cautions that belong to hydrogen."""
        return cautions("hydrogen")

    def words(self):
        """Return the sentence and the remarks as a Note."""
        return Note("\n".join([self.sentence, *self.remarks]))

    def __str__(self):
        rows = self.rows()
        width = max(len(what) for what, _ in rows)
        lines = [f"  {what:<{width}}  {text}" for what, text in rows]
        return "\n".join([wrapped(self.sentence), *lines, *(wrapped(remark) for remark in self.remarks)])

    __repr__ = __str__

    def _repr_html_(self):
        from html import escape

        left = 'style="text-align:left;vertical-align:top;padding:4px 14px 4px 0"'
        body = "".join(
            f"<tr><td {left}>{escape(a)}</td><td {left}><b>{escape(b)}</b></td></tr>" for a, b in self.rows()
        )
        return f"{self.words()._repr_html_()}<table>{body}</table>"


def gas_rate(readings, blank=None, leak=None, *, headspace=None, temperature=None, pressure=None, over_water=True,
             temperature_move=None, pressure_move=None, part=None, step=None, powder=None, area=None):  # fmt: skip
    """Return the GasRate of a run.

    Parameters
    ----------
    readings : GasReadings, or what ``read_gas`` takes
        Temperatures and pressures that were read with it are put right; else the moves below widen the uncertainty.
    blank : GasReadings, GasRate, or quantity or text [volumetric flow], optional
        A run in the same tube in the dark, or in the light without powder; ``"0.02 ± 0.03 mL/h"``.
    leak : GasReadings, or quantity or text [volumetric flow], optional
        A hold of the closed tube with gas in it and no light: what it loses; as a number, the loss (more than 0).  With a
        blank in the same tube it is not counted a second time.
    headspace : Range, quantity or text [volume], optional
        All gas above the water at the first reading, in flask, tubing and tube.
    temperature, pressure : Range, quantity or text, optional
        Of the gas, and of the air as a barometer there shows it: a weather report gives that of sea level, 12 % too much
        at 1000 m; ``pressure_at_altitude("1000 m", "1014 hPa")`` takes it down.  Those read with the run come first.
    over_water : bool
        False for dry gas.
    temperature_move : quantity or text [temperature change], optional
        How far, up or down, the gas may have warmed from start to end.
    pressure_move : quantity or text [pressure], optional
        The same for the air pressure.
    part : Range or text [time], optional
        Straight part chosen by hand: ``"40 to 200 min"``.
    step : quantity or text [volume], optional
        Smallest step that can be read; as found in the readings if left out.
    powder : quantity or text [mass], optional
    area : quantity or text [area], optional
        Lit.

    Raises
    ------
    LabError
        If an argument can't be used; says what to type.

    Notes
    -----
    Moves, strays and the step are taken as rectangular: their half over the root of three.  What is left out is taken
    from gas_run.csv (from memory), and a remark says so; of the gas above the water then the most.  Limits after L. A.
    Currie, Pure Appl. Chem. 67 (1995) 1699, in outline from memory: decision at 5 % false alarms; detection at three
    standard uncertainties (common practice), or more with few readings.

    Examples
    --------
    >>> run = read_gas("min;mL;°C;hPa\\n0;0.10;21;1009\\n30;0.32;21;1009\\n60;0.55;21;1009\\n90;0.77;21;1009\\n120;1.00;21;1009")
    >>> print(gas_rate(run, "0.01 ± 0.02 mL/h", headspace="40 mL").sentence[:42])
    Gas came at (0.450 ± 0.020) mL/h over 2 h.
    """
    readings = readings if isinstance(readings, GasReadings) else read_gas(readings)
    setting, remarks = _setting(
        readings, headspace, temperature, pressure, over_water, temperature_move, pressure_move, step
    )
    slope = slope_of(readings, setting, part)
    (blank, blank_dof), (leak, leak_dof) = _taken_off(blank, setting), _loss(leak, setting)
    parts, off = list(slope.parts), 0.0
    if blank is not None:
        off = _middle(blank)
        parts.append((_BLANK, _spread(blank), blank_dof))
    elif leak is not None:
        off = -_middle(leak)
        parts.append((_LEAK, _spread(leak), leak_dof))
    u = sqrt(sum(size**2 for _, size, _ in parts))
    dof = effective_freedom([size for _, size, _ in parts], [free for *_, free in parts], u, True)
    decision = coverage_factor(_ONE_SIDED, dof)
    minutes, found = slope.minutes, slope.found
    return GasRate(
        rate=_with(slope.size, slope.u),
        net=_with(slope.size - off, u),
        parts=tuple((what, Q(size, "mL/h")) for what, size, _ in sorted(parts, key=lambda row: -row[1])),
        dof=dof,
        decision_limit=Q(decision * u, "mL/h"),
        detection_limit=Q(DETECTION * u * decision / coverage_factor(_ONE_SIDED), "mL/h"),
        start=Q(float(minutes[found.start]), "min"),
        end=Q(float(minutes[found.end]), "min"),
        induction=None if found.begins is None else Q(found.begins, "min"),
        plateau=None if found.stops is None else Q(found.stops, "min"),
        slope=slope,
        setting=setting,
        blank=blank,
        leak=leak,
        powder=None if powder is None else checked(powder, "[mass] > 0", "powder", "gas_rate"),
        area=None if area is None else checked(area, "[area] > 0", "area", "gas_rate"),
        remarks=(*_course_remarks(slope, part), *_off_remarks(blank, leak), *remarks),
    )


def _setting(readings, headspace, temperature, pressure, over_water, temperature_move, pressure_move, step):
    """Return the Setting and remarks on what had to be guessed."""
    guessed, remarks = [], []
    if headspace is None:
        guessed.append("gas above the water")
    headspace = (
        guess("gas_run", "gas above the water")
        if headspace is None
        else as_range(headspace, "[volume] >= 0", "headspace")
    )
    spans = []
    for name, given, need, column, unit in (
        ("temperature", temperature, "[temperature]", readings.celsius, "degC"),
        ("air pressure", pressure, "[pressure] > 0", readings.hectopascals, "hPa"),
    ):
        if column is not None:
            spans.append(certain(Q(float(column[0]), unit)))
        elif given is not None:
            spans.append(as_range(given, need, name))
        else:
            spans.append(guess("gas_run", name))
            guessed.append(name)
    for name, given, column in (
        ("move of the temperature", temperature_move, readings.celsius),
        ("move of the air pressure", pressure_move, readings.hectopascals),
    ):
        if given is None and column is None:
            guessed.append(name)
    if guessed:
        listed = "; ".join(f"{name} {_guess_text(name)}" for name in guessed)
        remarks.append(f"Not given, so guessed (from memory): {listed}.")
    moves = (
        None
        if temperature_move is None
        else abs(checked(temperature_move, "[temperature change]", "temperature_move", "gas_rate")),
        None if pressure_move is None else abs(checked(pressure_move, "[pressure]", "pressure_move", "gas_rate")),
    )
    step = None if step is None else number(checked(step, "[volume] >= 0", "step", "gas_rate"), "mL")
    return Setting(headspace, *spans, over_water, *moves, step), remarks


def _guess_text(name):
    span = guess("gas_run", name)
    if name.startswith("move"):
        return f"± {printed(span.likely, 2, 'hPa' if 'pressure' in name else 'K')}"
    return f"{span} (near sea level)" if name == "air pressure" else str(span)


def _taken_off(given, setting):
    """Return (rate of a blank with its uncertainty in mL/h, degrees of freedom); None for the rate without one."""
    if given is None:
        return None, np.inf
    if isinstance(given, GasRate):
        return given.rate, given.slope.dof
    return _typed_rate(given, setting, "blank")


def _loss(given, setting):
    """Return (what a closed tube loses in mL/h with its uncertainty, degrees of freedom); None for the loss without one."""
    if given is None:
        return None, np.inf
    found, dof = _typed_rate(given, setting, "leak")
    return (-found if isinstance(given, GasReadings) else found), dof


def _typed_rate(given, setting, name):
    if isinstance(given, GasReadings):
        slope = slope_of(given, setting, whole=True)
        return _with(slope.size, slope.u), slope.dof
    return _uncertain(as_range(given, "[volumetric flow]", name), spread=1.0).to("mL/h"), np.inf


def _uncertain(span, spread=_RECTANGLE):
    """Return a Range as a quantity with a standard uncertainty: half of it over the root of three, as for a rectangle.

    A typed ± is a Range of one standard uncertainty, so there ``spread`` is 1.
    """
    unit = "K" if is_reading(span.likely) else span.likely.units
    low, likely, high = span.m_as(unit)
    return _with(likely, (high - low) / 2 / spread, unit)


def _with(size, u, unit="mL/h"):
    """Return a quantity with its standard uncertainty, or without where that is nothing."""
    size = 0.0 if abs(size) < u / 20 else float(size)  # and no “-0.000”
    return Q(ufloat(size, u) if u > 0 else size, unit)


def _middle(quantity):
    return nominal(quantity).magnitude


def _spread(quantity):
    return getattr(quantity.magnitude, "std_dev", 0.0)


def _course_remarks(slope, part):
    found, remarks = slope.found, []
    if part is not None:
        return ["The straight part was chosen by hand."]
    if not found.told:
        remarks.append(
            "With so few readings nobody can tell where gas began to come or stopped: all of them are in the rate."
        )
    if found.begins is not None:
        remarks.append(
            f"For the first {clock_text(Q(found.begins, 'min'))} no gas came: the first of it dissolves, or the powder needs time."
        )
    if found.stops is not None:
        tail = slice(found.end + 1, None)
        remarks.append(f"From {clock_text(Q(found.stops, 'min'))} on no more came{_tail_words(slope, tail)}")
    if abs(found.bend) > 4:
        way = (
            "ever slower: a leak, or something used up"
            if found.bend < 0
            else "ever faster: warming does so, as well as a slow start"
        )
        remarks.append(f"The straight part is not quite straight: the gas comes {way}.")
    return remarks


def _tail_words(slope, tail):
    hours, volumes = slope.minutes[tail] / 60, slope.millilitres[tail]
    usual = ": the light went, or something was used up."
    if hours.size < 3:
        return usual
    end = straight_line(hours, volumes)
    u = hypot(end.u_slope, sum(u for name, u, _ in slope.parts if name != SCATTER))
    if end.slope < -2 * u:
        return f", and the volume falls by {printed(Q(-end.slope, 'mL/h'), 2, 'mL/h')}: a leak, or cooling."
    return usual


def _off_remarks(blank, leak):
    remarks = []
    if blank is None:
        remarks.append("There is no blank: gas that comes without powder or light is not taken off. Run one.")
    elif not _spread(blank):
        remarks.append("The blank has no ±, so it is taken as exact. Type for instance 0.02 ± 0.03 mL/h.")
    if leak is not None and blank is not None:
        remarks.append("The leak is in the blank too, so it is not counted twice.")
    if leak is not None and _middle(leak) > 2 * _spread(leak):
        remarks.append(f"The tube leaks: it lost {_rate_text(leak)}. Mend it first.")
    return remarks


def _rate_text(rate):
    return printed(rate, 2, "mL/h")
