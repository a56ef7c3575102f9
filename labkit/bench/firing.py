"""The firing of a batch: its schedule, energy and cost, and what the air of a room would come to."""

from dataclasses import dataclass
from functools import lru_cache
from types import NoneType

from labkit.air.danger import deadly_sentence
from labkit.air.guessed import printed_range_up, room_ranges
from labkit.air.limits import gas_words
from labkit.air.release import GAS_FROM, GAS_TO, firing_release, judged_gases
from labkit.air.verdict import OUTSIDE, room_verdict, time_text
from labkit.bench.line import Line
from labkit.chemistry.formula import subscripted
from labkit.data import guess, value
from labkit.errors import RangeProblem, ReadingProblem
from labkit.heat.energy import cost, firing_energy, usual_tariff
from labkit.heat.schedule import Schedule, schedule, usual_schedule
from labkit.heat.stages import heat_remarks
from labkit.units import Q, Range, as_range, certain, clock_text, number, printed_down, printed_range, printed_up

EXAMPLE_ROOM = "30 m³"  # our example of a one-car garage
WHEN = f"from {GAS_FROM:g} to {GAS_TO:g} °C on the way up"


def as_schedule(firing):
    """Return a Schedule: as given, from a list of steps in words, or the usual one for None.

    Raises
    ------
    ReadingProblem
        If it is something else, or as ``labkit.heat.schedule.schedule`` does.

    Examples
    --------
    >>> print(as_schedule(["to 550 °C in 3 h", "hold 3 h"]).duration)
    6.0 hour
    """
    if firing is None:
        return _usual()
    if isinstance(firing, Schedule):
        return firing
    if not isinstance(firing, (list, tuple)) or not all(isinstance(step, str) for step in firing):
        raise ReadingProblem("A firing is a list of steps in words. Type for instance firing=['to 550 °C at 3 °C/min', "
                             "'hold 3 h', 'cool to 60 °C with 80 min'].")  # fmt: skip
    return schedule(*firing)


@lru_cache(maxsize=1)
def _usual():
    return usual_schedule()


def heat_lines(firing, usual, power=None, duty=None, price=None):
    """Return the Lines of a firing: its steps, its time in the window, energy and cost.

    Parameters
    ----------
    firing : Schedule
    usual : bool
        Whether it is labkit's usual one, of which the rates are from memory.
    power, duty : Range, quantity or text, optional
        Of the kiln, and the share of the time its elements are on; guesses if left out.
    price : text, optional
        Such as ``"0.30 €/kWh"``; the average of EU households, with its year, if left out.

    Raises
    ------
    LabError
        If a value can't be read or is of another kind.
    """
    lines = (
        _heat_lines
        if all(isinstance(given, (str, Range, NoneType)) for given in (power, duty, price))
        else _heat_lines.__wrapped__
    )
    return list(lines(firing, usual, power, duty, price))


@lru_cache(maxsize=16)  # the firing stays while a panel changes the rest of a batch
def _heat_lines(firing, usual, power, duty, price):
    origin = "aim and hold are common practice; the rates are from memory" if usual else "as you gave it"
    lines, passed = [], Q(0, "min")
    for step in firing.steps:
        passed = passed + step.duration
        lines.append(Line("Firing", step.text, clock_text(step.duration), certain(step.duration),
                          f"done {clock_text(passed)} after the start"))  # fmt: skip
    low, high, losses, lost = (value("firing", name) for name in ("window low", "window high", "losses", "lost"))
    inside = firing.trace.time_inside(low, high)
    held = guess("holds", "hold")
    given, spent = (
        power,
        guess("kilns", "power of a bench kiln") if power is None else as_range(power, "[power] > 0", "power"),
    )
    energy = firing_energy(firing, spent, duty)
    bill = cost(energy, price)
    where = f"at {usual_tariff()}, EU households, {usual_tariff().why}" if price is None else "at the price you gave"
    return lines + [
        Line("Firing", "the whole firing", clock_text(firing.duration), certain(firing.duration), f"{origin}; lid on, loose"),
        Line("Firing", "time in the window", clock_text(inside), certain(inside),
             f"{number(low, 'degC'):g} to {number(high, 'degC'):g} °C; {printed_range(held)} is common practice. From about "
             f"{number(losses, 'degC'):g} °C powder is being lost, with more hydrogen cyanide; above {number(lost, 'degC'):g} °C all is lost"),
        Line("Firing", "energy", printed_range(energy), energy,
             f"{printed_range(spent)} {'from memory: read the plate of your kiln' if given is None else 'of power'}, on for "
             f"{printed_range(guess('duty', 'firing')) + ' of the time (common practice)' if duty is None else 'the share you gave'}"
             f"; driven by the {energy.driver or 'time alone'}"),
        Line("Firing", "cost", str(bill), bill.amount, f"of the electricity alone, {where}"),
    ]  # fmt: skip


@lru_cache(maxsize=16)
def heat_warnings(firing):
    """Return what is wrong with a firing, as a tuple of sentences; none if nothing is."""
    return tuple(
        remark for remark in heat_remarks(firing) if remark.startswith(("Too ", "Above ")) or "being lost" in remark
    )


def room_lines(precursor_mass, precursor, firing, room=None, air_changes=None, mixing_factor=None):
    """Return the Lines on the air of a room in which a mass of precursor is fired without extraction.

    For the most that the atoms allow, released while the schedule rises through ``WHEN``, and for
    the worst room of what is guessed: fewest air changes, poorest mixing.

    Parameters
    ----------
    precursor_mass : quantity [mass]
        The most that may be weighed.
    precursor : str
    firing : Schedule
    room : Range, quantity or text [volume], optional
        A one-car garage of 30 m³ as our example if left out.
    air_changes, mixing_factor : Range, quantity or text, optional
        A closed garage's, and 1 to 10, if left out (air_changes.csv).

    Raises
    ------
    LabError
        If a value can't be read or is of another kind.
    """
    return list(_room_lines(_Exact((precursor_mass, room, air_changes, mixing_factor)), precursor, firing))


@dataclass(frozen=True, eq=False)
class _Exact:
    """Values as a key that keeps 4 h and 240 min apart, which as quantities are equal and yet print differently."""

    values: tuple

    def __eq__(self, other):
        return repr(self) == repr(other)

    def __hash__(self):
        return hash(repr(self))


@lru_cache(16)  # a panel comes back with the same room at each keystroke
def _room_lines(asked, precursor, firing):
    precursor_mass, room, air_changes, mixing_factor = asked.values
    volume = as_range(EXAMPLE_ROOM if room is None else room, "[volume] > 0", "room")
    origin = "a closed garage of our example" if room is None else "your room"
    changes = "air changes as published for closed garages" if air_changes is None else "air changes as you gave them"
    ranges = {gas: _ranges(precursor_mass, precursor, gas, firing, volume, air_changes, mixing_factor)
              for gas in judged_gases(precursor)}  # fmt: skip
    worst = next(iter(ranges.values())).worst
    verdict = room_verdict(precursor_mass, worst, precursor=precursor, profile=firing)
    lines = [
        Line("Room air", "fired in a room", verdict.level, None,
             f"{origin}, {printed_range(volume)}, {changes}; {printed_up(precursor_mass)} of {precursor}, the most this plan could "
             f"ask for, without extraction. {deadly_sentence(precursor_mass, precursor, worst)} {OUTSIDE}".replace("  ", " "))
    ]  # fmt: skip
    for figures in verdict.figures:
        found, name = ranges[figures.gas], subscripted(figures.gas)
        limit = printed_down(figures.limit.value)
        over = sum(check.over for check in figures.checks)
        driver = f"; driven by the {found.time_to_clear.driver}" if found.time_to_clear.driver else ""
        lines += [
            Line("Room air", f"{name} at its peak", printed_range_up(found.peak), found.peak,
                 f"in mixed air, if it comes {WHEN}; more near the kiln. In the worst of these rooms at or over {over} of "
                 f"{len(figures.checks)} limits; the lowest is {limit} ({figures.limit.label})"),
            Line("Room air", f"{name} back under {limit}", time_text(found.time_to_clear.high), found.time_to_clear,
                 f"after the last of it, in the worst of these rooms{driver}. Not a time to go back in: gas goes on through the "
                 "hold, and isocyanic acid may still be there"),
            Line("Room air", f"fresh air to keep {name} at {limit}", printed_up(figures.flow_needed), certain(figures.flow_needed),
                 "all through the release, in the worst of these rooms. A well-made hood at the kiln can do with "
                 "less; measure its face velocity"),
        ]  # fmt: skip
    return (
        *lines,
        Line("Room air", gas_words("HNCO"), "no safe figure", None, f"it may come whatever the rest says. {OUTSIDE}"),
    )


def _ranges(precursor_mass, precursor, gas, firing, volume, air_changes, mixing_factor):
    try:
        release = firing_release(precursor_mass, precursor, gas=gas, share="at most", profile=firing)
    except RangeProblem:
        raise RangeProblem(f"These steps never pass through {WHEN}, so they are no firing. Type for instance firing=['to 550 °C "
                           "at 3 °C/min', 'hold 3 h', 'cool to 60 °C with 80 min'].") from None  # fmt: skip
    return room_ranges(release, volume, air_changes, mixing_factor)


def room_warning(lines):
    """Return what the Lines of ``room_lines`` come to, as a sentence to be read first; empty if nothing stands against it."""
    level = next(line.text for line in lines if line.item == "fired in a room")
    return "" if level.startswith("under") else f"Not in a room: {level}. {OUTSIDE}"
