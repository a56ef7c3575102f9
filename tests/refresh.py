"""Run workbooks from the top and store what they print: ``python tests/refresh.py workbooks/01_*.ipynb``.

Without arguments every workbook is run.  What changes from run to run without meaning anything
(cell ids, timings, widget ids, the Python version) is made the same each time, so that a diff
shows what a reader would see.
"""

import json
import re
import sys
from pathlib import Path

import nbformat
from nbclient import NotebookClient

WORKBOOKS = Path(__file__).parents[1] / "workbooks"


def refreshed(path):
    """Return the notebook at ``path`` after a clean run."""
    notebook = nbformat.read(path, as_version=4)
    client = NotebookClient(
        notebook,
        timeout=120,
        kernel_name="python3",
        store_widget_state=False,
        resources={"metadata": {"path": str(path.parent)}},
    )
    client.execute()
    notebook.metadata["kernelspec"] = {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}
    notebook.metadata["language_info"] = {"name": "python", "file_extension": ".py"}
    for number, cell in enumerate(notebook.cells):
        cell["id"] = f"cell-{number:02d}"
        cell.metadata.pop("execution", None)
        if cell.cell_type == "code":
            cell["outputs"] = _joined(cell["outputs"])
    return _with_plain_ids(notebook)


def _joined(outputs):
    """Return outputs with what was printed in one go in one piece: a kernel sends it in as many as it likes."""
    found = []
    for output in outputs:
        last = found[-1] if found else None
        if (
            output["output_type"] == "stream"
            and last
            and last["output_type"] == "stream"
            and last["name"] == output["name"]
        ):
            last["text"] += output["text"]
        else:
            found.append(output)
    return found


def _with_plain_ids(notebook):
    """Replace random widget ids by numbers in the order in which they first appear."""
    text = json.dumps(notebook, ensure_ascii=False)
    known = {}
    for identity in re.findall(r"\b[0-9a-f]{32}\b", text):
        known.setdefault(identity, f"{len(known):032x}")
    text = re.sub(r"\b[0-9a-f]{32}\b", lambda found: known[found[0]], text)
    return nbformat.from_dict(json.loads(text))


def main(names):
    paths = [Path(name).resolve() for name in names] or sorted(WORKBOOKS.glob("*.ipynb"))
    for path in paths:
        notebook = refreshed(path)
        nbformat.validate(notebook)
        nbformat.write(notebook, path)
        print(f"{path.name}: {len(notebook.cells)} cells, {path.stat().st_size // 1024} KiB")


if __name__ == "__main__":
    main(sys.argv[1:])
