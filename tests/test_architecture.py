"""The rooms of the library: who may import whom, what stays unloaded, and how large things are."""

import ast
import functools
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import labkit

PACKAGE = Path(labkit.__file__).parent
TOP = PACKAGE.parent
# A room imports from rooms earlier in this list, never from later ones.
ORDER = (
    "errors",
    "units",
    "data",
    "chemistry",
    "heat",
    "air",
    "light",
    "solutions",
    "uptake",
    "hydrogen",
    "bench",
    "exercises",
    "plots",
    "panels",
)
LEVEL = {room: level for level, room in enumerate(ORDER)}
ONLY_IN = {"matplotlib": "plots", "ipywidgets": "panels"}
HEAVY = ("matplotlib", "ipywidgets", "pandas", "pvlib", "IPython")
LONGEST_MODULE = 400
SECONDS_TO_IMPORT = 0.5


def room_of(path):
    """Return the room a file belongs to; the package's own __init__ belongs to none."""
    first = path.relative_to(PACKAGE).parts[0]
    return first.removesuffix(".py") if first != "__init__.py" else ""


def module_name(path):
    parts = path.relative_to(TOP).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = sorted(path for path in PACKAGE.rglob("*.py") if "__pycache__" not in path.parts)
ROOMS = sorted({room_of(path) for path in MODULES} - {""})
SCIENCE = [room for room in ROOMS if room not in ONLY_IN.values()]


@functools.cache
def tree(path):
    return ast.parse(path.read_text(encoding="utf-8"))


def imported(nodes, name):
    """Yield the full name of everything a module imports, inside functions too."""
    package = name.split(".")
    for node in ast.walk(nodes):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            parents = package[: len(package) - node.level] if node.level else []
            start = ".".join([*parents, node.module] if node.module else parents)
            yield from (f"{start}.{alias.name}" for alias in node.names)
        elif isinstance(node, ast.Call):  # import_module("matplotlib") and __import__("matplotlib")
            called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            if called in ("import_module", "__import__") and node.args and isinstance(node.args[0], ast.Constant):
                yield str(node.args[0].value)


def faults(nodes, path):
    """Return in words what is wrong with the imports of one module."""
    here, found = room_of(path), []
    for name in imported(nodes, module_name(path) + (".x" if path.name == "__init__.py" else "")):
        parts = name.split(".")
        if parts[0] == "labkit" and len(parts) > 1:
            there = parts[1]
            if here == "" and there in LEVEL:
                found.append(f"labkit itself imports the room {there}")
            elif there in LEVEL and there != here and LEVEL[there] >= LEVEL[here]:
                found.append(f"{here} imports from a later room: {name}")
        if parts[0] in ONLY_IN and here != ONLY_IN[parts[0]]:
            found.append(f"{here} imports {parts[0]}, which only {ONLY_IN[parts[0]]} may")
    return found


def run(code):
    """Run code in a fresh process that neither draws nor prints, and return what it prints."""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=TOP, timeout=120)
    assert done.returncode == 0, done.stderr[-2000:]
    return done.stdout


def test_there_are_rooms_and_modules():
    assert {"errors", "units", "data"} <= set(ROOMS)
    assert len(MODULES) > 8
    assert SCIENCE


def test_every_room_has_its_place_in_the_order():
    assert set(ROOMS) <= set(LEVEL), f"not in the order of rooms: {set(ROOMS) - set(LEVEL)}"


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_imports_come_from_earlier_rooms_alone(path):
    assert not faults(tree(path), path)


@pytest.mark.parametrize("room, code, complaint", [
    ("units", "from labkit.data import table", "later room"),
    ("units", "import labkit.panels", "later room"),
    ("light", "from labkit import solutions", "later room"),
    ("light", "def f():\n    from labkit.hydrogen import x", "later room"),
    ("data", "from ..chemistry import formula", "later room"),
    ("bench", "import matplotlib.pyplot as plt", "only plots"),
    ("panels", "from matplotlib import figure", "only plots"),
    ("plots", "import ipywidgets", "only panels"),
    ("air", "import importlib\nimportlib.import_module('matplotlib.pyplot')", "only plots"),
    ("", "from labkit.units import Q", "labkit itself"),
])  # fmt: skip
def test_a_planted_fault_is_found(room, code, complaint):
    path = PACKAGE / room / "planted.py" if room else PACKAGE / "__init__.py"
    (fault,) = faults(ast.parse(code), path)
    assert complaint in fault


@pytest.mark.parametrize("room, code", [
    ("light", "from labkit.light.photon import gap"), ("light", "from .photon import gap"), ("plots", "import matplotlib"), ("panels", "import ipywidgets"),
    ("panels", "from labkit.plots import show"), ("hydrogen", "from labkit.light import photon_flux_above"), ("air", "from labkit.chemistry.gas import x\nimport numpy\nfrom labkit import __version__"), ("plots", "from . import style"),
])  # fmt: skip
def test_what_is_allowed_is_not_complained_about(room, code):
    assert faults(ast.parse(code), PACKAGE / room / "planted.py") == []


# --------------------------------------------------------------------------- what stays unloaded
@pytest.mark.parametrize("room", SCIENCE)
def test_a_science_room_loads_no_drawing_widgets_or_tables(room):
    names = [module_name(path) for path in MODULES if room_of(path) == room]
    assert names
    code = f"import sys, importlib\nfor name in {names!r}: importlib.import_module(name)\n"
    loaded = set(run(code + "print(*{name.split('.')[0] for name in sys.modules})").split())
    assert "labkit" in loaded  # the list is real
    assert not loaded & set(HEAVY)


@pytest.mark.parametrize("room", SCIENCE)
def test_importing_a_science_room_prints_nothing_and_changes_no_setting(room):
    names = [module_name(path) for path in MODULES if room_of(path) == room]
    code = f"""
import decimal, importlib, locale, warnings
import numpy, pint
def settings():
    return (numpy.geterr(), numpy.get_printoptions(), decimal.getcontext().prec, decimal.getcontext().rounding,
            locale.setlocale(locale.LC_ALL), len(warnings.filters), pint.application_registry.autoconvert_offset_to_baseunit)
before = settings()
for name in {names!r}: importlib.import_module(name)
assert str(settings()) == str(before), (before, settings())
"""
    assert run(code) == ""


def test_labkit_itself_loads_nothing_heavy_and_at_once():
    code = """
import sys, time
start = time.perf_counter()
import labkit
print(time.perf_counter() - start)
print(*{name.split('.')[0] for name in sys.modules})
"""
    seconds = []
    for _ in range(3):  # the best of three: a busy machine only adds time
        first, second = run(code).splitlines()
        seconds.append(float(first))
        assert "labkit" in second.split()
        assert not set(second.split()) & {
            "matplotlib",
            "ipywidgets",
            "pandas",
            "scipy",
            "pvlib",
            "IPython",
            "numpy",
            "pint",
        }
    assert min(seconds) < SECONDS_TO_IMPORT


# ------------------------------------------------------------------------------- names and sizes
@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_a_module_is_not_too_long_and_says_what_it_is(path):
    lines = path.read_text(encoding="utf-8").count("\n")
    assert lines <= LONGEST_MODULE, f"{lines} lines"
    assert ast.get_docstring(tree(path)) or not lines, "no docstring"


@pytest.mark.parametrize("path", MODULES, ids=module_name)
def test_functions_are_named_for_what_they_return(path):
    names = [node.name for node in ast.walk(tree(path)) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)]
    assert not [name for name in names if name.lstrip("_").startswith(("get_", "calc_", "calculate_", "compute_"))]


def test_functions_were_found():
    assert any(isinstance(node, ast.FunctionDef) for path in MODULES for node in ast.walk(tree(path)))


@pytest.mark.parametrize(
    "path", [path for path in MODULES if room_of(path) not in ("plots", "panels")], ids=module_name
)
def test_every_public_function_of_the_science_is_described(path):
    bare = [node.name for node in tree(path).body
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and node.name[0] != "_" and not ast.get_docstring(node)]  # fmt: skip
    assert not bare


# --------------------------------------------------------------------------- the top of the repository
BELONGS = {"README.md", "DEVELOPERS.md", "pyproject.toml", "workbooks", "labkit", "tests", "figures"}


@pytest.fixture(scope="module")
def top_level():
    """Names at the top of the repository that are in it or about to be: what git would not ignore."""
    if not shutil.which("git"):
        pytest.skip("git is not installed here")
    if not (TOP / ".git").exists():
        pytest.skip("this copy of labkit is not a git repository")
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
        cwd=TOP,
        capture_output=True,
        text=True,
        check=True,
    )
    names = {name.split("/")[0] for name in listed.stdout.split("\0") if name}
    assert "labkit" in names
    return names


def test_the_top_of_the_repository_holds_nothing_else(top_level):
    assert {name for name in top_level if not name.startswith(".")} <= BELONGS


def test_the_top_of_the_repository_holds_all_that_belongs_there(top_level):
    assert top_level >= BELONGS
