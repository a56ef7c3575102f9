"""The general colour library (colour-science), without what importing it changes for every other test."""

import warnings

import numpy as np

_printing = np.get_printoptions()
with warnings.catch_warnings():
    warnings.simplefilter("ignore")  # it says that some of what it could use is not installed
    import colour
np.set_printoptions(**_printing)  # it asks NumPy to print as ten years ago

__all__ = ["colour"]
