"""Workbook 02: a schedule in a few words a step, what the heat does on the way, and what it costs."""

from labkit.data import guess, value
from labkit.data.cautions import cautions
from labkit.errors import LabError, ReadingProblem
from labkit.heat.energy import cost, firing_energy, tariff
from labkit.heat.kiln import Kiln
from labkit.heat.log import printed_times
from labkit.heat.schedule import schedule
from labkit.heat.stages import heat_remarks, stage_times
from labkit.panels.frame import Answer, Choice, Panel, TypedBox
from labkit.panels.texts import LinesBox
from labkit.plots.firing import firing_picture
from labkit.units import Q, certain, number

SHARE, LAG = "the share of the time it is on", "my kiln's time constant and ceiling"
START = "to 550 °C at 3 °C/min\nhold 3 h\ncool to 60 °C with 75 min"
# What a remark is about, by how it begins; the first of all is on the window.
_TOPICS = {
    "Too hot": "too hot",
    "It is": "loss",
    "Open": "no lid",
    "The lid": "the lid",
    "From": "gas",
    "No yield": "yield",
}


def read_schedule(text):
    """Return the Schedule of several lines, a step to each; empty lines are passed over.

    >>> print(read_schedule("to 550 °C at 5 °C/min\\n\\nhold 3 h").duration.round(2))
    4.77 hour
    """
    steps = [line for line in text.splitlines() if line.strip()]
    if not steps:
        raise ReadingProblem("A schedule needs a step, such as “to 550 °C at 3 °C/min”.")
    return schedule(*steps)


def firing_answer(steps, covered, power, basis, duty, time_constant, ceiling, price):
    """Return the Answer for a schedule: time inside the window, energy and cost, and what the heat does.

    Parameters
    ----------
    steps : Schedule
    covered : bool
        Under a loose lid.
    power, duty, time_constant, ceiling : Range
    basis : str
        ``"duty"`` or ``"kiln"``: where the energy comes from.
    price : Tariff
    """
    remarks = heat_remarks(steps, covered)
    overheated = number(steps.trace.time_above(value("firing", "losses")), "min") > 0
    # What loses powder stands first, with the gas it gives, then what an open crucible does; sources are left to the table.
    leads = [remarks[1].partition(";")[0] if overheated else remarks[0]]
    if overheated and leads[0].startswith("Too hot"):
        leads.append(remarks[2])
    leads += [remark.partition(". ")[0] for remark in remarks if remark.startswith("Open")]
    said = " ".join([f"{printed_times(certain(steps.duration))} in all.", *(f"{lead.rstrip('.')}." for lead in leads)])
    asked = {"duty": duty} if basis == "duty" else {"time_constant": time_constant, "ceiling": ceiling}
    trouble, spent = _spent(steps, power, asked, price)
    # A schedule that the kiln can't follow is not what the powder will get, so that comes first.
    said = f"{trouble} As written, the schedule does this: {said}" if trouble else said
    return Answer(
        f"{said} {spent}",
        svg=firing_picture(steps, covered),
        table=firing_table(steps, remarks),
        caution=cautions("firing", "kiln"),
    )


def _spent(steps, power, asked, price):
    """Return (why the kiln can't follow, or nothing; a sentence on energy and cost)."""
    if "duty" in asked and not asked["duty"].high.magnitude:
        return "", "A kiln that is on for 0 % of the time takes nothing, and stays cold."
    try:
        kiln = {} if "duty" in asked else {"kiln": Kiln(**asked)}
        energy = firing_energy(steps, power, **asked if "duty" in asked else kiln)
    except LabError as problem:
        return _out_of_reach(steps, power, problem, **asked), "No energy is given."
    widest = {"duty": "share of the time it is on"}.get(energy.driver, energy.driver)
    driver = f"; the widest guess is the {widest}" if widest else ""
    return "", f"It takes {energy} of electricity and costs {cost(energy, price)}{driver}."


def _out_of_reach(steps, power, problem, time_constant, ceiling):
    """Return a sentence on a schedule that a kiln can't follow, over the ranges that were typed."""
    peak = number(steps.trace.peak[0], "degC")
    low, high = (number(end, "degC") for end in (ceiling.low, ceiling.high))
    if low <= peak:
        never = "never gets" if high <= peak else "may never get"
        return (
            f"This kiln {never} to {peak:.0f} °C: its ceiling is {low:.0f}{f' to {high:.0f}' if low < high else ''} °C."
        )
    try:
        firing_energy(steps, power, kiln=Kiln(time_constant, ceiling).likely)
    except LabError:
        return str(problem)
    return f"At an end of your ranges: {str(problem)[0].lower()}{str(problem)[1:]}"


def firing_table(steps, remarks):
    """Return the rows: the steps with their times, what is said of the heat, and when each stage is entered."""
    rows, passed = [("Step", "Time")], 0.0
    for step in steps.steps:
        passed += number(step.duration, "min")
        rows.append((step.text, f"{_time(step.duration)}, done after {_time(Q(passed, 'min'))}"))
    rows.append(("What the heat does", ""))
    rows += [("window" if remark == remarks[0] else _topic(remark), remark) for remark in remarks]
    rows.append(("When each stage of urea begins", ""))
    for time in stage_times(steps):
        entered = f"after {_time(time.entered)}" if time.entered is not None else "not reached"
        rows.append(
            (f"{time.stage.name}, {number(time.stage.starts, 'degC'):g} °C", f"{entered} ({_where(time.stage)})")
        )
    return rows


def _time(time):
    return printed_times(certain(time))


def _topic(remark):
    return next((topic for opening, topic in _TOPICS.items() if remark.startswith(opening)), "also")


def _where(stage):
    if stage.kind != "published":
        return stage.kind
    vessel = "" if stage.where == "any" else f"seen {stage.where}, "
    return f"{vessel}{stage.source.partition(',')[0]}"


def firing_panel():
    """Return the panel of workbook 02 that builds a schedule.

    What is typed of the share or of the kiln switches the energy to it, so that nothing typed is passed over.
    """
    low, likely, high = guess("duty", "firing").m_as("percent")
    usual = f"{low:g} % to {high:g} %, likely {likely:g} %"
    basis = Choice("Energy from", {SHARE: "duty", LAG: "kiln"}, SHARE)

    controls = {
        "steps": LinesBox("Steps", START, read_schedule, "one a line; also “to 550 °C in 2 h”"),
        "covered": Choice("Lid", {"on, loose": True, "off": False}, "on, loose"),
        "power": TypedBox("Power of the kiln", "1.5 kW", "[power] > 0", name="The power", ranged=True,
                          hint="such as 1.5 kW, or a range"),
        "basis": basis,
        "duty": TypedBox("Share of the time on", usual, "[] >= 0", name="The share of the time on", ranged=True,
                           most="100 %", signed=True, hint="0 to 100 %, or a range"),
        "time_constant": TypedBox("Time constant", "70 to 76 min", "[time] > 0", name="The time constant",
                                    ranged=True, hint="from your own fit, or a range"),
        "ceiling": TypedBox("Ceiling", "780 to 805 °C", "[temperature]", name="The ceiling", ranged=True,
                              hint="where it would settle, left on"),
        "price": LinesBox("Tariff", "0.30 €/kWh", tariff, "such as 0.25 to 0.35 €/kWh", rows=1),
    }  # fmt: skip
    for name, words in (("duty", SHARE), ("time_constant", LAG), ("ceiling", LAG)):
        controls[name].used_with(basis, words, switch=True)
    return Panel(
        "What does this schedule do, how long does it take and what does it cost?",
        controls,
        firing_answer,
    )
