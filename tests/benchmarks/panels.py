"""How long each panel takes to answer one change, beside one frame of a 60 Hz screen.

Run ``python tests/benchmarks/panels.py``.  What is timed is the work in the kernel, from a changed
control to the new texts; the browser's part is not in it.
"""

import time
from pathlib import Path

import ipywidgets
import numpy as np

from labkit.panels.band_gap import band_gap_panel
from labkit.panels.batch import batch_panel
from labkit.panels.calibration import calibration_panel
from labkit.panels.chain import chain_panel
from labkit.panels.colour import colour_panel
from labkit.panels.dopant import dopant_panel
from labkit.panels.firing import firing_panel
from labkit.panels.frame import UnitSlider
from labkit.panels.gas import gas_panel
from labkit.panels.headspace import headspace_panel
from labkit.panels.jar import jar_panel
from labkit.panels.kiln import kiln_panel
from labkit.panels.lamp import lamp_panel
from labkit.panels.log import log_panel
from labkit.panels.mass_balance import mass_balance_panel
from labkit.panels.mixture import mixture_panel
from labkit.panels.over_water import over_water_panel
from labkit.panels.place import place_panel
from labkit.panels.recipe import recipe_panel
from labkit.panels.reflectance import reflectance_panel
from labkit.panels.room import room_panel
from labkit.panels.spinning import spinning_panel
from labkit.panels.start import start_panel
from labkit.panels.taken_up import taken_up_panel
from labkit.panels.uptake_fit import uptake_fit_panel
from labkit.panels.washing import washing_panel

FRAME = 1000 / 60  # ms
DATA = Path(__file__).parents[2] / "workbooks" / "data"


def given_log_panel():
    """Return the panel that reads a log, with the log of workbook 02."""
    return log_panel(DATA / "invented_firing_log.csv")


def given_reflectance_panel():
    """Return the panel that fits a spectrum, with those of workbook 04."""
    return reflectance_panel(DATA)


def given_gas_panel():
    """Return the panel that judges a run, with those of workbook 08."""
    return gas_panel(DATA)


def given_calibration_panel():
    """Return the panel that draws a calibration line, with the standards of workbook 06."""
    return calibration_panel(DATA)


def given_uptake_fit_panel():
    """Return the panel that fits isotherms and kinetics, with the data of workbook 06."""
    return uptake_fit_panel(DATA)


PANELS = (start_panel, mass_balance_panel, firing_panel, kiln_panel, given_log_panel, room_panel, jar_panel,
          headspace_panel, band_gap_panel, given_reflectance_panel, colour_panel, dopant_panel, recipe_panel,
          mixture_panel, given_calibration_panel, given_uptake_fit_panel, taken_up_panel, washing_panel, spinning_panel, place_panel,
          lamp_panel, chain_panel, over_water_panel, given_gas_panel, batch_panel)  # fmt: skip


def milliseconds(panel):
    """Return the times of a run of changes over every slider and box of a panel."""
    times = []
    for control in panel.controls.values():
        if isinstance(control, UnitSlider):
            values = np.linspace(control.slider.min, control.slider.max, 60).tolist()
            widget = control.slider
        elif isinstance(getattr(control, "box", None), ipywidgets.Text):
            widget = control.box
            values = [widget.value + " ", widget.value] * 30
        else:
            continue
        for value in values:
            begin = time.perf_counter()
            widget.value = value
            times.append(1000 * (time.perf_counter() - begin))
    return np.array(times)


def main():
    """Print median and p95 of every panel, and p95 over one frame."""
    print(f"{'panel':<22}{'median ms':>10}{'p95 ms':>10}{'p95 / frame':>13}")
    for make in PANELS:
        panel = make()
        milliseconds(panel)  # once to warm up
        times = milliseconds(panel)
        assert panel.trouble is None
        p95 = np.percentile(times, 95)
        print(f"{make.__name__:<22}{np.median(times):>10.2f}{p95:>10.2f}{p95 / FRAME:>13.2f}")


if __name__ == "__main__":
    main()
