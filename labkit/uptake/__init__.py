"""Uptake: what is really in the powder afterwards, how fast it went in, and when washing is done.

Rinsing, spinning and drying have their cautions: ``cautions("chlorides", "solvent", "spinning")`` from
``labkit.data.cautions`` belong beside every number from here.
"""

__all__ = []
