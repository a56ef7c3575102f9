"""The colour of a powder beside white paper: which gaps could have made it."""

import ipywidgets

from labkit.data.cautions import cautions
from labkit.light import COLOUR_IS_ROUGH, colour_seen, colour_verdict, srgb_from_text, wavelength_from_gap
from labkit.light.observer import hex_from_srgb
from labkit.light.photograph import SOFTNESS
from labkit.panels.controls import Choice, TypedBox, TypedControl
from labkit.panels.frame import Answer, Panel
from labkit.plots.colour import colours_svg
from labkit.units import printed

METAL = "Metal is on it, so its own brown is in this colour: take the range of the plain powder instead."


class ColourBox(TypedControl):
    """A box for a colour as text, with a field beside it to pick one; ``value`` is (red, green, blue), 0 to 255.

    Parameters
    ----------
    label : str
    start : str
        A colour that ``srgb_from_text`` reads.
    """

    def __init__(self, label, start):
        super().__init__(label, label.lower(), start, f"{label} (#F1F6A1 or 241\u00a0246\u00a0161)", start)
        self.value, self.good_text = self._accepted(start)
        # Typing does all that the field does, so it is not needed by those who work with keys alone.
        self.field = ipywidgets.ColorPicker(value=hex_from_srgb(self.value), description=f"Or pick: {label}\u00a0")
        self.field.concise = True
        self.view.children = (self.box, self.field, self.message)
        self.field.observe(self._picked, "value")

    def _accepted(self, text):
        found = srgb_from_text(text, self.name)
        return found, text.strip(" .")

    def _settled(self):
        self.field.value = hex_from_srgb(self.value).lower()

    def _picked(self, change):
        try:
            picked = srgb_from_text(change["new"], self.name)
        except ValueError:
            return  # a word such as “red”, which no page sends
        if picked != self.value:
            self.box.value = hex_from_srgb(picked)


def colour_answer(powder, paper, softness, metal):
    """Return what the colour of a powder in a photograph says of its gap.

    Parameters
    ----------
    powder, paper : three whole numbers or text
        sRGB from one photograph.
    softness : Range of quantities [energy]
    metal : bool
        Whether there is a metal on the powder.

    Returns
    -------
    Answer

    Examples
    --------
    >>> print(colour_answer("#7A8FA8", "#FFFFFF", SOFTNESS, False).sentence.split(":")[0])
    No clean edge explains this colour. It is bluish
    """
    verdict = colour_verdict(powder, paper, softness)
    rows = [("", "Lowest", "Likely", "Highest"), *_rows(verdict)] if verdict.gap is not None else []
    said = " ".join((verdict.sentence, *([METAL] if metal else []), *verdict.notes))
    return Answer(said, colours_svg(verdict), tuple(rows), f"{COLOUR_IS_ROUGH}\n{cautions('powder')}")


def _rows(verdict):
    ends = verdict.gap.ends
    if verdict.kind == "at least":
        return [("Gap", printed(ends[0], 3), "not known", "not known"),
                ("Edge", printed(wavelength_from_gap(ends[0]), 3), "or shorter", "or shorter")]  # fmt: skip
    found = [("Gap", *(printed(end, 3) for end in ends)),
             ("Edge", *(printed(wavelength_from_gap(end), 3) for end in ends)),
             ("Clean powder looks", *(colour_seen(end) for end in ends))]  # fmt: skip
    for name, low, high in verdict.gap.drivers:
        found.append((f"Only {name} unsure", printed(low, 3), "", printed(high, 3)))
    return found


def colour_panel():
    """Return the panel on the colour of a powder; its start is an invented photograph."""
    controls = {
        "powder": ColourBox("Powder in the photograph", "#E7E09F"),
        "paper": ColourBox("White paper beside it", "#F2EEE6"),
        "softness": TypedBox("Softness of the edge", SOFTNESS, "[energy] > 0", ranged=True, least="0.02 eV",
                             most="0.40 eV", hint="an energy or a range, such as 0.10\u00a0eV"),
        "metal": Choice("Metal on the powder", {"none": False, "iron, zinc or another": True}, "none"),
    }  # fmt: skip
    return Panel("Which gaps could give my powder this colour?", controls, colour_answer)
