"""Panels: change a control, and a sentence and a picture answer at once."""

from labkit.panels.frame import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.panels.practice import practice

__all__ = ["Answer", "Choice", "Panel", "TypedBox", "UnitSlider", "practice"]
