"""Controls for longer texts: several lines to type, and a file to choose or a table to type instead of it."""

import math
import re
from pathlib import Path

import ipywidgets

from labkit.errors import LabError, RangeProblem
from labkit.panels.controls import Control, log, set_text
from labkit.panels.reading import ReadBox

MOST_BYTES = 8_000_000  # what a page hands to its kernel in one piece without trouble
_CALLED = re.compile(r"^[a-z_]+\(\)(?= )")  # read_standards() could read 1 row: for someone who types no code
_FILE, _TYPED, _LAST = "my file", "the table typed below", "the table typed last"


class LinesBox(ReadBox):
    """A ReadBox for several lines, such as the steps of a schedule; ``rows`` of them are in sight."""

    def __init__(self, label, start, accepted, hint, rows=5):
        super().__init__(label, start, accepted, hint, kind=ipywidgets.Textarea)
        self.box.rows = rows

    def _accepted(self, text):
        return self._reading(text), text.strip()

    def _tell(self):
        super()._tell()
        if self._problem and not self._idle:  # many lines do not fit into one note
            self.note = f"Showing the last good text of {self.label}."
            self.message.value = self.message.value.replace(
                f"Still using {set_text(self.good_text)}.", "Still using the last good text."
            )


class FileBox(Control):
    """A file of the learner's own, a table typed by hand, or the one that comes with the workbook.

    The three stand beside each other and none is lost when another is looked at.  ``value`` is the
    pair (name, bytes or text); a file that is called like something else here is named “file: …”.

    Parameters
    ----------
    label : str
    given : dict
        From the words shown to the content of what comes with the workbook; RangeProblem if those are taken here.
    example : str
        A table as one would type it.
    columns : str
        What the columns of a typed table are, as its label says.
    reader : str
        The function that reads what is too large for a page.
    """

    def __init__(self, label, given, example, columns="time, temperature", reader="read_log"):
        super().__init__()
        if not given or {_FILE, _TYPED} & set(given):
            raise RangeProblem(f"What comes with the workbook needs a name that is not “{_FILE}” or “{_TYPED}”.")
        self.label, self._given, self._file, self._reader = label, dict(given), None, reader
        self.box = ipywidgets.Dropdown(options=[*self._given, _FILE, _TYPED], description=label)
        self.upload = ipywidgets.FileUpload(
            accept=".csv,.txt,.tsv,.dat,.log", multiple=False, description="Choose my file"
        )
        self.area = ipywidgets.Textarea(placeholder=example, rows=5,
                                        description=f"Or type a table ({columns}; one row a line)")  # fmt: skip
        self.message = ipywidgets.HTML().add_class("labkit-message")
        self.view = ipywidgets.VBox([self.box, self.upload, self.area, self.message]).add_class("labkit-control")
        self.value = (self.box.value, self._given[self.box.value])
        self.box.observe(self._chosen, "value")
        self.upload.observe(self._uploaded, "value")
        self.area.observe(self._typed, "value")

    def _uploaded(self, change):
        if not change["new"]:
            return  # taken over and put back by ourselves, or the choice of a file was given up: what was taken stays
        problem = ""
        try:
            (found,) = change["new"]
            self._file = self._taken(str(found["name"]), bytes(found["content"]))
        except LabError as trouble:
            problem = str(trouble)
        except Exception:
            log.exception("The file could not be taken")
            problem = "This file could not be taken over. Choose it again, or type the table below."
        self.upload.value = ()  # or the same file could not be chosen again later, as nothing would change
        if problem:
            self._show(problem)
            self._changed()
        else:
            self._switch(_FILE)

    def _taken(self, name, content):
        if len(content) > MOST_BYTES:
            raise RangeProblem(f"The file is {math.ceil(len(content) / 1e5) / 10:g} MB; here {MOST_BYTES / 1e6:.0f} MB can be taken. "
                               f"Read a larger one with {self._reader}(\"its name\") in a cell.")  # fmt: skip
        if not content:
            raise RangeProblem("The file is empty. Choose another one.")
        name = name[:80]
        return (f"file: {name}" if name in (*self._given, _FILE, _TYPED) else name), content

    def _typed(self, change):
        if self.area.value.strip():
            self._switch(_TYPED)
        elif self.box.value == _TYPED:
            self._chosen()

    def _switch(self, option):
        if self.box.value == option:
            self._chosen()
        else:
            self.box.value = option  # and that calls _chosen

    def _chosen(self, change=None):
        option, problem = self.box.value, ""
        if option in self._given:
            self.value = (option, self._given[option])
        elif option == _FILE and self._file:
            self.value = self._file
        elif option == _TYPED and self.area.value.strip():
            self.value = (_TYPED, self.area.value)
        else:
            problem = "No file is chosen yet." if option == _FILE else "Nothing is typed there."
        self._show(problem)
        self._changed()

    def _show(self, problem):
        # The name is kept whole in front, so that it is plain whose answer is shown.
        shown = _LAST if self.value[0] == _TYPED and not self.area.value.strip() else self.value[0]
        self.note = f"Showing {shown}." if problem else ""
        self.message.value = (
            f'<div role="alert" aria-live="polite" class="labkit-mistake">{set_text(problem)} '
            f"Still showing {set_text(shown)}.</div>"
            if problem
            else ""
        )


def given_files(folder, names):
    """Return {words: bytes} of the files that come with a workbook, from {words: name}, without those that are not there."""
    found = {}
    for words, name in names.items():
        try:
            found[words] = Path(folder, name).read_bytes()
        except (OSError, ValueError):
            continue
    return {words: content for words, content in found.items() if content}


def without_code(text, hints):
    """Return a message in the words of a panel: no function is named, and what to choose stands for what to type.

    ``hints`` are pairs (what a message has in it, what to say from there on).

    >>> without_code("read_it() found two columns. Say which, as in column=2.", [("column=", "Name it in the heading.")])
    'This panel found two columns. Name it in the heading.'
    """
    text = _CALLED.sub("This panel", text)
    for sign, words in hints:
        if sign in text:
            return f"{text.split(sign)[0].rpartition('. ')[0]}. {words}".removeprefix(". ")
    return text
