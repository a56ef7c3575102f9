"""Panels: change a control, and a sentence and a picture answer at once."""

from labkit.panels.frame import Answer, Choice, Panel, TypedBox, UnitSlider
from labkit.panels.practice import practice
from labkit.panels.texts import FileBox, LinesBox

__all__ = ["Answer", "Choice", "FileBox", "LinesBox", "Panel", "TypedBox", "UnitSlider", "practice"]
