"""How long a million draws through the chain take, beside a plain loop, and how long its panel takes to answer.

Run ``python tests/benchmarks/chain.py``.  The loop does the same sum draw by draw with the library of Python alone,
on fewer draws, and its time is scaled up; the share of photons above a gap is looked up in a table for it, which
spares it the integral.
"""

import bisect
import math
import random
import time

import numpy as np

from labkit.hydrogen import hydrogen_chain
from labkit.hydrogen.links import chain_factors
from labkit.panels.chain import chain_panel

DRAWS, LOOPED = 1_000_000, 20_000
CHAIN = {"gap": "2.70 to 2.88 eV, likely 2.75 eV", "area": "250 to 310 cm²", "light": "3 to 6 h, likely 4.5 h",
         "case": "donor and platinum", "load": "0.1 to 0.6 g/L", "depth": "2 to 4 cm", "over_water": True}  # fmt: skip


def drawn(low, likely, high):
    """Return one draw: half below the likely value, half above, evenly by ratio."""
    place = random.random() * 2
    start, end, place = (low, likely, place) if place < 1 else (likely, high, place - 1)
    return start * (end / start) ** place if start > 0 else start + (end - start) * place


def looped(chain, count):
    """Return the volumes of so many draws, one after another."""
    gaps = [2.6 + step / 2000 for step in range(800)]
    shares = list(chain_factors({"light": 1, "area": 1, "gap": np.array(gaps), "quantum yield": 1, "temperature": 293.15, "pressure": 101325})["gap"])  # fmt: skip
    ends = {name: span.m_as({"gap": "eV", "light": "mol/m**2", "area": "m**2", "absorption": "m**2/g", "concentration": "g/m**3",
                             "depth": "m", "quantum yield": "dimensionless", "temperature": "K", "pressure": "Pa"}[name])
            for name, span in chain.inputs.items()}  # fmt: skip
    molar = chain.links[-1].factor.likely.m_as("mL/mol")
    volumes = []
    for _ in range(count):
        share = shares[bisect.bisect(gaps, drawn(*ends["gap"])) - 1]
        load = drawn(*ends["concentration"]) * drawn(*ends["depth"])
        absorbed = -math.expm1(-drawn(*ends["absorption"]) * load)
        electrons = drawn(*ends["light"]) * drawn(*ends["area"]) * share * absorbed * drawn(*ends["quantum yield"])
        volumes.append(electrons / 2 * molar)
    return volumes


def main():
    """Print the times, their ratio and the two medians."""
    chain = hydrogen_chain(**CHAIN)
    chain.spread(1000)  # once to warm up
    begin = time.process_time()
    found = chain.spread(DRAWS)
    whole = time.process_time() - begin
    random.seed(1)
    begin = time.process_time()
    loop = looped(chain, LOOPED)
    slow = (time.process_time() - begin) * DRAWS / LOOPED
    print(
        f"{DRAWS} draws: {whole:.2f} s; in a plain loop {slow:.1f} s (scaled from {LOOPED}): {slow / whole:.0f} times"
    )
    print(f"median {found.median.m_as('mL'):.3g} mL, of the loop {np.median(loop):.3g} mL")
    panel, times = chain_panel(), []
    for _ in range(2):
        times = []
        for place in range(120):
            begin = time.process_time()
            panel.controls["area"].box.value = f"{200 + place} cm²"
            times.append(1000 * (time.process_time() - begin))
        assert panel.trouble is None
    print(f"panel: median {np.median(times):.1f} ms, p95 {np.percentile(times, 95):.1f} ms")


if __name__ == "__main__":
    main()
