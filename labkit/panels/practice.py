"""Sums checked as they are typed: choose an exercise, type, and the reply is there."""

import ipywidgets

from labkit.exercises import exercises, judged
from labkit.exercises.exercise import worked_answer
from labkit.panels.controls import escape, set_text
from labkit.panels.frame import CSS, STILL
from labkit.units import unit_text


class Practice:
    """The exercises of one workbook with a box to type in.

    What is typed for one exercise is kept while another is looked at.
    """

    def __init__(self, chapter):
        self.found = {exercise.key: exercise for exercise in exercises(chapter)}
        self.typed = dict.fromkeys(self.found, "")
        keys = list(self.found)
        self.choice = ipywidgets.Dropdown(options=keys, value=keys[0], description="Exercise")
        self.question = ipywidgets.HTML().add_class("labkit-question")
        self.box = ipywidgets.Text()
        self.reply = ipywidgets.HTML().add_class("labkit-replied")
        self.show_working = ipywidgets.ToggleButton(value=False)
        self.working = ipywidgets.HTML()
        head = ipywidgets.HTML(
            f'<style>{CSS}</style><h3 class="labkit-title">Type an answer; it is checked as you type</h3>'
        )
        body = ipywidgets.VBox([self.choice, self.question, self.box, self.reply, self.show_working, self.working])
        self.view = ipywidgets.VBox([head, body.add_class("labkit-practice")]).add_class("labkit-panel")
        self.choice.observe(self._chosen, "value")
        self.box.observe(self._answered, "value")
        self.show_working.observe(self._working, "value")
        self._chosen()

    @property
    def exercise(self):
        """The exercise that is shown."""
        return self.found[self.choice.value]

    def _chosen(self, change=None):
        self.question.value = f"<p>{set_text(self.exercise.question)}</p>"
        unit = unit_text(self.exercise.right().units)
        self.box.description = (
            f"Your answer (a number and its unit, such as {unit})" if unit else "Your answer (a number)"
        )
        self.box.placeholder = f"for instance 12.3 {unit}" if unit else "for instance 0.123"
        self.show_working.value = False
        self.box.value = self.typed[self.exercise.key]
        self._answered()
        self._working()

    def _answered(self, change=None):
        text = self.box.value
        self.typed[self.exercise.key] = text
        mark, kind, said = "", "", "Waiting for your answer."
        if text.strip():
            reply = judged(self.exercise, text)
            # A mark and a word tell right from wrong; the colour of the bar only repeats them.
            mark, kind = ("✓", " labkit-right") if reply.right else ("✗ Not yet.", " labkit-wrong")
            said = reply.text
        self.reply.value = (
            f'<div role="status" aria-live="polite" class="labkit-reply{kind}">'
            f"{f'<b>{mark}</b> ' if mark else ''}{set_text(said)}</div>"
        )

    def _working(self, change=None):
        shown = self.show_working.value
        self.show_working.description = "Hide the working" if shown else "Show the working"
        said = set_text(worked_answer(self.exercise)).replace("\n", "<br>") if shown else ""
        self.working.value = f"<p>{said}</p>" if said else ""

    def __repr__(self):
        questions = "\n".join(f"{key}  {exercise.question}" for key, exercise in self.found.items())
        return f"Exercises with a box to type in:\n{questions}"

    def _repr_mimebundle_(self, include=None, exclude=None):
        # Where no widgets can be shown the questions can still be read.
        lines = "".join(f"<p><b>{key}</b> {escape(exercise.question)}</p>" for key, exercise in self.found.items())
        still = f"<p><strong>Exercises with a box to type in</strong></p>{STILL}{lines}"
        return (self.view._repr_mimebundle_() or {}) | {"text/plain": repr(self), "text/html": still}


def practice(chapter):
    """Return the box to practise the exercises of one workbook: ``practice("1")``."""
    return Practice(chapter)
