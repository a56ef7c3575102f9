"""Settings for every test: where the helpers are, and how many examples hypothesis tries."""

import os
import sys
from pathlib import Path

import matplotlib.font_manager
from hypothesis import HealthCheck, settings

# Run by hand, not collected.
collect_ignore_glob = ["benchmarks/*", "refresh.py"]
# The first import on a new machine builds a list of fonts and may say so on stderr, where strict
# nbval would find it in a workbook's output; here it happens before any workbook runs.
assert matplotlib.font_manager.fontManager

HERE = str(Path(__file__).resolve().parent)
if HERE not in sys.path:  # so that `from helpers import …` works whatever pytest's import mode is
    sys.path.insert(0, HERE)

# No deadline: a busy machine is not a wrong answer.
settings.register_profile("bench", deadline=None, max_examples=60, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("ci", settings.get_profile("bench"), derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "bench")
