"""Workbook 00: type anything, and see how labkit reads it, or why it can't."""

import re
from decimal import ROUND_HALF_EVEN, Decimal

import ipywidgets

from labkit.panels.frame import Answer, Choice, Panel
from labkit.plots.start import value_picture
from labkit.units import (
    EXAMPLES,
    as_range,
    checked,
    converted,
    figures_in,
    nominal,
    number_text,
    printed,
    printed_range,
    read,
    unit_from_text,
    unit_text,
)

SAME_IN = {  # the kinds that are offered, each with units that people meet
    "[mass]": ("kg", "g", "mg"),
    "[volume]": ("L", "mL", "µL"),
    "[time]": ("h", "min", "s"),
    "[temperature]": ("degC", "K", "degF"),
    "[temperature change]": ("K", "delta_degF"),
    "[concentration]": ("mol/L", "mmol/L", "µmol/L"),
    "[amount]": ("mol", "mmol", "µmol"),
    "[energy]": ("eV", "J", "Wh"),
    "[length]": ("m", "mm", "nm"),
    "[pressure]": ("kPa", "hPa", "atm"),
    "[]": ("percent", "dimensionless"),
}


class TrialBox:
    """A box whose value is the text as it stands: here a text that can't be read is an answer too."""

    note = ""

    def __init__(self, label, start):
        self.label = label
        self.box = ipywidgets.Text(value=start, description=label, placeholder="2.5 g")
        self.view = ipywidgets.VBox([self.box]).add_class("labkit-control")

    @property
    def value(self):
        return self.box.value

    def on_change(self, follower):
        """Call ``follower()`` at every keystroke."""
        self.box.observe(lambda change: follower(), "value")


def reading_answer(text, need):
    """Return the Answer to a typed text: the value read, the same in other units, its width.

    ``need`` is one of ``SAME_IN``.  Text that can't be read, or is of another kind, raises the
    LabError that says what to type.
    """
    kind = EXAMPLES[need][0]
    if " to " in text:
        return _range_answer(text, need, kind)
    value = checked(read(text, need, "this box"), need, "this box")
    middle, spread = nominal(value), getattr(value.magnitude, "std_dev", 0)
    fewest, most = figures_in(text)
    shown = printed(value, min(most, 8), str(value.units))
    rows = [("What", "How labkit reads it"), ("kind of quantity", kind), *_elsewhere(value, need, text)]
    ends = tuple(middle.magnitude + side * spread for side in (-1, 0, 1))
    if spread:
        share = (
            f"{number_text(100 * spread / abs(middle.magnitude), 2)} % of the value"
            if middle.magnitude
            else "all of it"
        )
        sentence = f"labkit reads {shown}: {kind} that was measured, give or take one standard uncertainty."
        if need != "[temperature]":  # a share of degrees Celsius says nothing
            rows.append(("uncertainty", share))
    else:
        sentence = f"labkit reads {shown}: {kind}. How sure it is, the text does not say."
        figures = str(most) if fewest == most else f"{fewest} to {most}, the zeros at the end may count or not"
        rows.append(("significant figures", figures))
    texts = [f"{number_text(end, 3)} {unit_text(value.units)}".strip() for end in ends]
    texts[1] = shown
    return Answer(sentence, value_picture(ends, texts, f"{_shape(ends)} at {shown}."), tuple(rows))


def _range_answer(text, need, kind):
    span = as_range(text, need, "this box")
    unit = str(span.high.units)
    figures = max(figures_in(piece)[1] for piece in re.split(r" to |likely", text) if piece.strip(" ,"))
    shown = printed_range(span, min(max(figures, 2), 8), unit)
    ends = span.m_as(unit)
    rows = [("What", "How labkit reads it"), ("kind of quantity", f"{kind}, as a range")]
    if ends[0] > 0 and need != "[temperature]":
        rows.append(("highest over lowest", number_text(ends[2] / ends[0], 3)))
    if "likely" not in text:
        rows.append(("likely value", "none was typed, so the middle is taken"))
    sentence = f"labkit reads the range {shown}: {kind} that is guessed. Its ends are a judgement."
    texts = [printed(end, min(max(figures, 2), 8), unit) for end in span.ends]
    return Answer(sentence, value_picture(ends, texts, f"{_shape(ends)}: {shown}."), tuple(rows))


def _shape(ends):
    return "A bar with a point inside" if ends[0] < ends[2] else "A single point, without a bar,"


def _elsewhere(value, need, text):
    others = [unit for unit in SAME_IN[need] if unit_from_text(unit) != value.units]
    if need == "[temperature]":  # 20 °C is 293 K: keep the decimals typed, not the figures
        decimals = len(re.split(r"[.,]", re.match(r"[-+−]?[0-9.,]*", text.strip())[0] + ".")[1])
        same = [_to_decimals(converted(nominal(value), unit), min(decimals, 6)) for unit in others]
    else:
        figures = min(max(figures_in(text)[1], 3), 8)
        same = [printed(nominal(value), figures, unit) for unit in others]
    return [("in other units", ", ".join(same))] if same else []


def _to_decimals(reading, decimals):
    exact = Decimal(f"{reading.magnitude:.9f}")  # so that 293.15, half way, is not 293.1499…
    if abs(exact) < 1e9:
        exact = exact.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_EVEN)
        return f"{exact:f} {unit_text(reading.units)}"
    return printed(reading, 3, str(reading.units))


def start_panel():
    """Return the panel of workbook 00."""
    controls = {
        "text": TrialBox("Type a quantity, as you would on paper", "2,5 g"),
        "need": Choice("What is needed here", {EXAMPLES[need][0]: need for need in SAME_IN}, EXAMPLES["[mass]"][0]),
    }
    return Panel("How is that read?", controls, reading_answer)
