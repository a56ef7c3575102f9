"""The rooms of the library: who may import whom, what stays unloaded, and how large things are."""

import ast
import functools
import json
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


def imports_of(nodes, path):
    return imported(nodes, module_name(path) + (".x" if path.name == "__init__.py" else ""))


def private_imports(nodes, path):
    """Return {(module, full name), …} of the private names that a module takes from another module of labkit."""
    return {
        (module_name(path), name)
        for name in imports_of(nodes, path)
        if name.startswith("labkit.") and any(part[0] == "_" and part[:2] != "__" for part in name.split("."))
    }


def faults(nodes, path):
    """Return in words what is wrong with the imports of one module."""
    here, found = room_of(path), []
    for name in imports_of(nodes, path):
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


def complaints(judge, paths=MODULES):
    """Return {name of the module: what the judge finds wrong with it, …} of those that it complains about."""
    assert len(paths) > 8
    return {module_name(path): found for path in paths if (found := judge(path))}


def test_imports_come_from_earlier_rooms_alone():
    assert complaints(lambda path: faults(tree(path), path)) == {}


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


def test_no_module_takes_a_private_name_from_another():
    assert complaints(lambda path: private_imports(tree(path), path)) == {}


@pytest.mark.parametrize("code, name", [
    ("from labkit.heat.probe import _emf", "labkit.heat.probe._emf"), ("from .probe import emf, _emf as emf_of", "labkit.heat.probe._emf"),
    ("def f():\n    from labkit.units.reader import _number", "labkit.units.reader._number"), ("import labkit.units._parts", "labkit.units._parts"),
    ("from labkit.units._parts import whole", "labkit.units._parts.whole"), ("from labkit import _rooms", "labkit._rooms"),
    ("from labkit import __version__\nfrom labkit.heat.probe import emf\nfrom scipy import _lib", None),
])  # fmt: skip
def test_a_private_name_is_found_however_it_is_taken(code, name):
    found = private_imports(ast.parse(code), PACKAGE / "heat" / "planted.py")
    assert found == ({("labkit.heat.planted", name)} if name else set())


# --------------------------------------------------------------------------- what stays unloaded
@pytest.fixture(scope="module")
def imported_in_turn():
    """What a fresh process sees that imports the rooms of the science one after another, in their order.

    {room: {"printed": text, "loaded": top names of the modules it brought, "changed": settings before and
    after, or nothing}, …}
    """
    rooms = sorted(SCIENCE, key=LEVEL.get)
    names = {room: [module_name(path) for path in MODULES if room_of(path) == room] for room in rooms}
    assert rooms and all(names.values())
    code = f"""
import decimal, importlib, json, locale, sys, warnings
import numpy, pint
def settings():
    return (numpy.geterr(), numpy.get_printoptions(), decimal.getcontext().prec, decimal.getcontext().rounding,
            locale.setlocale(locale.LC_ALL), len(warnings.filters), pint.application_registry.autoconvert_offset_to_baseunit)
there = set()  # what numpy and pint bring counts as brought by the first room
for room, names in {names!r}.items():
    before = str(settings())
    for name in names: importlib.import_module(name)
    after = str(settings())
    loaded = sorted({{name.split(".")[0] for name in set(sys.modules) - there}})
    there = set(sys.modules)
    print("\x1f" + json.dumps([room, loaded, [before, after] if before != after else []]), end="\x1e")
"""
    *pieces, rest = run(code).split("\x1e")
    seen = {}
    for piece in pieces:
        printed, _, found = piece.rpartition("\x1f")
        room, loaded, changed = json.loads(found)
        seen[room] = {"printed": printed, "loaded": set(loaded), "changed": changed}
    assert list(seen) == rooms and rest == ""
    return seen


@pytest.mark.parametrize("room", SCIENCE)
def test_a_science_room_loads_no_drawing_widgets_or_tables(room, imported_in_turn):
    assert "labkit" in imported_in_turn[room]["loaded"]  # the list is real
    assert not imported_in_turn[room]["loaded"] & set(HEAVY)


@pytest.mark.parametrize("room", SCIENCE)
def test_importing_a_science_room_prints_nothing_and_changes_no_setting(room, imported_in_turn):
    assert imported_in_turn[room]["printed"] == ""
    assert not imported_in_turn[room]["changed"]


def test_labkit_itself_loads_nothing_heavy_and_at_once():
    code = """
import sys, time
start = time.perf_counter()
import labkit
print(time.perf_counter() - start)
print(*{name.split('.')[0] for name in sys.modules})
"""
    for _ in range(3):  # the best of three: a busy machine only adds time
        seconds, loaded = run(code).splitlines()
        assert "labkit" in loaded.split()
        assert not set(loaded.split()) & {*HEAVY, "scipy", "numpy", "pint"}
        if float(seconds) < SECONDS_TO_IMPORT:
            break
    assert float(seconds) < SECONDS_TO_IMPORT


# ------------------------------------------------------------------------------- names and sizes
def functions(path):
    return [node for node in ast.walk(tree(path)) if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)]


def test_a_module_is_not_too_long_and_says_what_it_is():
    lines = {path: path.read_text(encoding="utf-8").count("\n") for path in MODULES}
    assert complaints(lambda path: lines[path] > LONGEST_MODULE and f"{lines[path]} lines") == {}
    assert complaints(lambda path: lines[path] and not ast.get_docstring(tree(path)) and "no docstring") == {}


def test_functions_are_named_for_what_they_return():
    told = ("get_", "calc_", "calculate_", "compute_")
    assert complaints(lambda path: [f.name for f in functions(path) if f.name.lstrip("_").startswith(told)]) == {}


def test_functions_were_found():
    assert sum(len(functions(path)) for path in MODULES) > 100


def test_every_public_function_of_the_science_is_described():
    def bare(path):
        return [node.name for node in tree(path).body
                if isinstance(node, ast.FunctionDef | ast.ClassDef) and node.name[0] != "_" and not ast.get_docstring(node)]  # fmt: skip

    assert complaints(bare, [path for path in MODULES if room_of(path) in SCIENCE or not room_of(path)]) == {}


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
