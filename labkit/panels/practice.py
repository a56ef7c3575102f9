"""Sums checked as they are typed: choose an exercise, type, and the reply is there."""

from html import escape

import ipywidgets

from labkit.exercises import exercises, judged
from labkit.exercises.exercise import worked_answer
from labkit.panels.frame import CSS


class Practice:
    """The exercises of one workbook with a box to type in.

    What is typed for one exercise is kept while another is looked at.
    """

    def __init__(self, chapter):
        self.found = {exercise.key: exercise for exercise in exercises(chapter)}
        self.typed = dict.fromkeys(self.found, "")
        keys = list(self.found)
        self.choice = ipywidgets.Dropdown(options=keys, value=keys[0], description="Exercise")
        self.question = ipywidgets.HTML().add_class("labkit-said")
        self.box = ipywidgets.Text(description="Your answer (number and unit)", placeholder="12.3 g")
        self.reply = ipywidgets.HTML().add_class("labkit-practice-reply")
        self.show_working = ipywidgets.ToggleButton(description="Show the working", value=False)
        self.working = ipywidgets.HTML()
        head = ipywidgets.HTML(
            f'<style>{CSS}</style><h3 class="labkit-title">Type an answer; it is checked as you type</h3>'
        )
        self.view = ipywidgets.VBox(
            [head, self.choice, self.question, self.box, self.reply, self.show_working, self.working]
        ).add_class("labkit-panel")
        self.choice.observe(self._chosen, "value")
        self.box.observe(self._answered, "value")
        self.show_working.observe(self._working, "value")
        self._chosen()

    @property
    def exercise(self):
        """The exercise that is shown."""
        return self.found[self.choice.value]

    def _chosen(self, change=None):
        self.question.value = f"<p>{escape(self.exercise.question)}</p>"
        self.show_working.value = False
        self.box.value = self.typed[self.exercise.key]
        self._answered()

    def _answered(self, change=None):
        text = self.box.value
        self.typed[self.exercise.key] = text
        said = judged(self.exercise, text).text if text.strip() else "Waiting for your answer."
        self.reply.value = f'<div role="status" aria-live="polite" class="labkit-good">{escape(said)}</div>'

    def _working(self, change=None):
        said = escape(worked_answer(self.exercise)).replace("\n", "<br>") if self.show_working.value else ""
        self.working.value = f"<p>{said}</p>" if said else ""

    def __repr__(self):
        return f"Exercises {', '.join(self.found)}, with a box to type in"

    def _repr_mimebundle_(self, include=None, exclude=None):
        return (self.view._repr_mimebundle_() or {}) | {"text/plain": repr(self)}


def practice(chapter):
    """Return the box to practise the exercises of one workbook: ``practice("1")``."""
    return Practice(chapter)
