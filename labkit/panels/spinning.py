"""Workbook 06: let it stand or spin it, how long that takes, and what rotor and tube stand."""

from math import pi

from labkit.air.vapour import solvents
from labkit.data.cautions import cautions
from labkit.panels.frame import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.plots.spinning import spinning_picture, spinning_words
from labkit.units import Q, number, number_text, printed, printed_up, rounded_up
from labkit.uptake.liquids import LIQUIDS
from labkit.uptake.rotor import highest_speed, imbalance_force, speed_down, tube_words, tubes
from labkit.uptake.settling import settling_time, smallest_settled, time_words
from labkit.uptake.sinking import plain_force
from labkit.uptake.spinning import NO_ACETONE, rotor_speed, time_to_pellet

ORDINARY, ALLOWED = "an ordinary one", "made for flammable liquids, says its maker"
_NIGHT = Q(24, "h")


def spinning_answer(liquid, temperature, diameter, powder_density, height, centrifuge, speed, inner_radius, outer_radius,
                    tube, rated_force, mass_difference):  # fmt: skip
    """Return the Answer for powder that is to come down: in a jar that stands, and in a centrifuge.

    ``diameter`` and ``powder_density`` are Ranges, ``centrifuge`` is True for one made for flammable liquids,
    ``rated_force`` of the tube a number; the rest are quantities or words.
    """
    settled = settling_time(height, diameter, powder_density, liquid, temperature)
    likely = settled.powder.powder_density.likely
    left = smallest_settled(height, _NIGHT, likely, liquid, temperature)
    rows = [
        ("What", "How much", "How sure"),
        (f"{printed(height)} of still {liquid}", time_words(settled.still), f"the {settled.still.driver or 'guess'} spreads it most"),
        ("stirred by warmth, 95 % down", time_words(settled.stirred), "as a jar in a room is"),
        ("finest solid grains all down after a day", printed_up(left), "what is finer goes with the liquid, in part"),
    ]  # fmt: skip
    steps = ("spinning", *(("solvent",) if liquid in solvents() else ()), "chlorides")
    if liquid in solvents() and not centrifuge:
        sentence, turning = f"{NO_ACETONE.format(liquid=liquid)} {settled.sentence}", None
        rows.append(("speed, tube and the rest below", "not used", "nothing is to be spun here"))
    else:
        sentence, turning = _spun(settled, liquid, temperature, diameter, powder_density, speed, inner_radius, outer_radius, tube,
                                  rated_force, mass_difference, rows)  # fmt: skip
    metres = number(height, "m")
    svg = spinning_picture(settled.powder, metres, turning, spinning_words(settled.powder, metres, turning))
    return Answer(sentence, svg, tuple(rows), cautions(*steps))


def _spun(
    settled,
    liquid,
    temperature,
    diameter,
    powder_density,
    speed,
    inner_radius,
    outer_radius,
    tube,
    rated_force,
    mass_difference,
    rows,
):
    """Return the sentence about spinning, dangers first, and how it turns; add to the rows."""
    pellet = time_to_pellet(speed, inner_radius, outer_radius, diameter, powder_density, liquid, temperature)
    pull = imbalance_force(mass_difference, speed, outer_radius)
    most, stands = highest_speed(rated_force, outer_radius), tube_words(tube, liquid)
    dangers = []
    if not stands.startswith("Tubes"):
        dangers.append(stands)
    if number(speed, "rpm") > number(most, "rpm") * (1 + 1e-9):
        dangers.append(
            f"Too fast: a tube for {number_text(rated_force, 2)} × g may turn at {speed_down(most)} at most."
        )
    if not pull.within:
        dangers.append(pull.sentence)
    turns = number_text(number(speed, "rpm"), 3)
    sentence = (f"Spun at {turns} rpm the powder is down after {time_words(pellet.time)}; in a jar that stands it takes "
                f"{time_words(settled.stirred)} until 95 % are. Most of that spread comes from the {pellet.time.driver or 'guess'}.")  # fmt: skip
    rows += [
        ("force at the bottom of the tube", f"{rounded_up(pellet.force, 2)} × g", "rounded up"),
        ("spun until the powder is down", time_words(pellet.time), "at full speed; running up comes on top"),
        ("highest speed for that tube", speed_down(most), "the sheets of rotor and tube rule, and the least of them"),
        ("pull of tubes out of balance", f"{rounded_up(number(pull.pull, 'N'), 2)} N" if pull.pull.magnitude else "none", f"the weight of {printed_up(pull.weight)}"),
        (f"tube of {tube} with {liquid}", "stands it" if stands.startswith("Tubes") else "no, or ask", "from memory: ask its maker"),
    ]  # fmt: skip
    omega = number(speed, "rpm") * 2 * pi / 60
    return " ".join([*dangers, sentence]), (omega, number(inner_radius, "m"), number(outer_radius, "m"))


class CountedBox(TypedBox):
    """A box for a number that is counted in something of its own, ``3800 rpm`` or ``1000 × g``; ``reader`` reads it."""

    def __init__(self, label, start, reader):
        self._reader = reader
        super().__init__(label, start, "[] > 0", hint=f"such as {start}")

    def _accepted(self, text):
        return self._reader(text), text.strip().rstrip(" .")


def spinning_panel():
    """Return the panel of workbook 06 about settling and spinning."""
    controls = {
        "liquid": Choice("Liquid", LIQUIDS, "acetone"),
        "temperature": UnitSlider("Temperature", "degC", 10, 40, 1, 22),
        "diameter": TypedBox("Width of the grains", "0.3 to 4 µm, likely 1 µm", "[length] > 0", ranged=True, hint="a range, such as 0.3 to 4 µm", least="1 nm", most="1 mm"),
        "powder_density": TypedBox("Density of the solid", "1.8 to 2.2 g/cm³", "[mass concentration] > 0", ranged=True, hint="without its pores, such as 1.8 to 2.2 g/cm³", most="30 g/cm³"),
        "height": TypedBox("Liquid in the jar", "6 cm", "[length] > 0", hint="its height, such as 6 cm", most="1 m"),
        "centrifuge": Choice("The centrifuge is", {ORDINARY: False, ALLOWED: True}, ORDINARY),
        "speed": CountedBox("Speed", "2600 rpm", rotor_speed),
        "inner_radius": TypedBox("Axis to the surface of the liquid", "5 cm", "[length] > 0", hint="such as 5 cm", most="1 m"),
        "outer_radius": TypedBox("Axis to the bottom of the tube", "9 cm", "[length] > 0", hint="such as 9 cm", most="1 m"),
        "tube": Choice("Tube of", tubes(), "polypropylene"),
        "rated_force": CountedBox("The tube is rated for", "1500 × g", plain_force),
        "mass_difference": TypedBox("Opposite tubes differ by", "0.05 g", "[mass] >= 0", hint="such as 0.05 g", most="1 kg"),
    }  # fmt: skip
    return Panel("Let it stand, or spin it?", controls, spinning_answer)
