"""labkit: the sums behind a bench batch of carbon nitride, from the urea to the hydrogen.

Importing labkit loads nothing heavy, draws nothing and changes no setting.  Import from the
room you need, for instance ``from labkit.chemistry import molar_mass``.
"""

__version__ = "0.1.0"
