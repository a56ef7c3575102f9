"""How long a panel's picture takes to redraw, by four ways of drawing it.

Run ``python tests/benchmarks/redraw.py``.  A kernel is started, so widgets send real messages;
what is timed is the work in the kernel for one redraw, not what the browser does with it.
"""

import io
import sys
import time
from pathlib import Path
from queue import Empty

import numpy as np

REDRAWS = 60
HOURS = np.linspace(0, 10, 300)
ROOM = f"from sys import path; path.insert(0, {str(Path(__file__).parent)!r}); import redraw; redraw.measure()"


def curves(shift):
    """Return three curves of 300 points."""
    return [90 * (1 - np.exp(-HOURS * (0.1 * number + 0.02 * shift))) for number in (1, 2, 3)]


def frame():
    """Return (figure, axes) without curves."""
    from labkit.plots import new_figure

    figure, axes = new_figure()
    axes.set(xlim=(0, 10), ylim=(0, 100), xlabel="Time / h", ylabel="Hydrogen / µmol")
    return figure, axes


def live():
    """Return a redraw that writes only the curves, into an HTML widget."""
    import ipywidgets

    from labkit.plots import LivePicture
    from labkit.plots.style import LINES

    picture, widget = LivePicture(*frame()), ipywidgets.HTML()

    def redraw(shift):
        elements = [picture.line(HOURS, curve, role) for curve, role in zip(curves(shift), LINES)]
        widget.value = picture.svg(elements, alt=f"Three rising curves, number {shift}.")

    return redraw


def plotted():
    """Return (figure, redraw of its three lines)."""
    figure, axes = frame()
    lines = [axes.plot(HOURS, curve)[0] for curve in curves(0)]
    figure.draw_without_rendering()
    figure.set_layout_engine("none")  # laid out once, as anyone who is after speed would do

    def move(shift):
        for line, curve in zip(lines, curves(shift)):
            line.set_ydata(curve)

    return figure, move


def agg():
    """Return a redraw of the same lines as PNG, into an Image widget."""
    import ipywidgets

    figure, move = plotted()
    widget = ipywidgets.Image(format="png")

    def redraw(shift):
        move(shift)
        buffer = io.BytesIO()
        figure.savefig(buffer, format="png", dpi=96)
        widget.value = buffer.getvalue()

    return redraw


def whole():
    """Return a redraw of the whole picture as SVG, into an HTML widget."""
    import ipywidgets

    from labkit.plots import figure_svg

    figure, move = plotted()
    widget = ipywidgets.HTML()

    def redraw(shift):
        move(shift)
        widget.value = figure_svg(figure)

    return redraw


def output():
    """Return a redraw that displays the figure in an Output widget."""
    import ipywidgets
    from IPython import get_ipython
    from IPython.core.pylabtools import select_figure_formats
    from IPython.display import display

    select_figure_formats(get_ipython(), {"png"})
    figure, move = plotted()
    figure.dpi = 96
    widget = ipywidgets.Output()

    def redraw(shift):
        move(shift)
        with widget:
            widget.clear_output(wait=True)
            display(figure)

    return redraw


WAYS = {
    "curves as SVG into HTML": live,
    "PNG into Image": agg,
    "whole SVG into HTML": whole,
    "display in Output": output,
}


def measure():
    """Print median and p95 of every way, in milliseconds, and the ratio to the fastest."""
    redraws = {name: way() for name, way in WAYS.items()}
    times = {name: [] for name in redraws}
    for shift in range(-5, REDRAWS):  # the first five warm up; the ways take turns, so that all meet the same machine
        for name, redraw in redraws.items():
            start = time.perf_counter()
            redraw(shift + 6)
            if shift >= 0:
                times[name].append(1000 * (time.perf_counter() - start))
    medians = {name: np.median(values) for name, values in times.items()}
    print(f"{'one redraw of three curves of 300 points':42} median/ms  p95/ms  ratio")
    for name, median in medians.items():
        print(f"{name:42} {median:9.2f} {np.percentile(times[name], 95):7.2f} {median / min(medians.values()):6.1f}")


def main():
    from jupyter_client.manager import start_new_kernel

    manager, client = start_new_kernel()
    try:
        request = client.execute(ROOM)
        while True:
            try:
                message = client.get_iopub_msg(timeout=120)
            except Empty:
                sys.exit("The kernel did not answer.")
            content = message["content"]
            if message["msg_type"] == "stream":
                print(content["text"], end="")
            elif message["msg_type"] == "error":
                sys.exit("\n".join(content["traceback"]))
            elif content.get("execution_state") == "idle" and message["parent_header"].get("msg_id") == request:
                return
    finally:
        client.stop_channels()
        manager.shutdown_kernel(now=True)


if __name__ == "__main__":
    main()
