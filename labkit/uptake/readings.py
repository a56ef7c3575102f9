"""Readings of standards, samples, isotherms, kinetics and photographs, from tables as people write them."""

import re

import numpy as np

from labkit.errors import RangeProblem, ReadingProblem, UnitProblem
from labkit.units import checked, nominal, number
from labkit.uptake.columns import Readings, read_columns, readings_from, readings_of, table_for
from labkit.uptake.headings import Column, likeness_to

_FOLD = re.compile(r"1 ?[:/] ?[0-9.,]+|[0-9.,]+ ?[x×]|[x×] ?[0-9.,]+|[0-9.,]+[ -]?fold")

__all__ = ["ABSORBANCE", "CHANNELS", "CONCENTRATION", "Column", "DILUTION", "END", "POWDER", "Readings", "START", "TIME", "UPTAKE", "VOLUME",
           "read_columns", "read_isotherm", "read_kinetics", "read_photo", "read_samples", "read_standards", "readings_of"]  # fmt: skip

CONCENTRATION = Column(
    "concentration", "[mass concentration] >= 0", "mg/L", "c ce conc concentration equilibrium standard left", "mmol/L"
)
ABSORBANCE = Column("absorbance", "[]", "", "a abs absorbance absorbances absorption extinction", most=20)
DILUTION = Column("dilution", "[] > 0", "", "dilution dil diluted factor fold times", needed=False, gaps=True)
UPTAKE = Column("uptake", "[]", "mg/g", "q qe qt uptake taken adsorbed", "mmol/g")
TIME = Column("time", "[time] >= 0", "min", "t time elapsed clock", sure=True)
START = Column("start concentration", "[mass concentration] >= 0", "mg/L", "c0 start initial before offered", "mmol/L")
END = Column(
    "end concentration", "[mass concentration] >= 0", "mg/L", "ce c1 end final after equilibrium left", "mmol/L"
)
VOLUME = Column("volume", "[volume] > 0", "mL", "v vol volume liquid", needed=False, sure=True)
POWDER = Column("powder mass", "[mass] > 0", "g", "m mass powder weighed", needed=False, sure=True)
CHANNELS = tuple(Column(name, "[] >= 0", "", f"{name[0]} {name}", most=255) for name in ("red", "green", "blue"))


def read_standards(source, *, formula=None, units=None, places=None):
    """Return the Readings of standards: ``"concentration"`` in mg/L (or mmol/L) and ``"absorbance"``.

    Parameters
    ----------
    source : path, bytes or str
        Rows such as ``S1;2.5;0.081`` under ``name;c / mg/L;A``.  A row named “blank” without a concentration has none.
    formula, units, places
        As for ``read_columns``.

    Examples
    --------
    >>> found = read_standards("name;c (mg/L);A\\nblank;;0.004\\nS1;2.5;0.081\\nS2;5.0;0.158")
    >>> found["concentration"].tolist(), found["absorbance"].tolist(), found.labels
    ([0.0, 2.5, 5.0], [0.004, 0.081, 0.158], ('blank', 'S1', 'S2'))
    """
    columns = (CONCENTRATION, ABSORBANCE)
    table = table_for(source, columns, "read_standards", "the standards")
    return readings_from(table, columns, "read_standards", formula, units, places, 2, blank=CONCENTRATION.name)


def read_samples(source, *, places=None):
    """Return the Readings of samples: ``"absorbance"``, ``"dilution"`` (1 where none was written) and their labels.

    Rows such as ``wash 2;0.214;10`` under ``sample;A;dilution``: 10 for 1 mL filled up to 10 mL.

    >>> found = read_samples("sample;A;dilution\\nsupernatant;0.412;20\\nwash 1;0.214;")
    >>> found.labels, found["dilution"].tolist()
    (('supernatant', 'wash 1'), [20.0, 1.0])
    """
    columns = (ABSORBANCE, DILUTION)
    table = table_for(source, columns, "read_samples", "the samples")
    found = readings_from(table, columns, "read_samples", None, None, places, 1)
    folds = [field for row in table.rows for field in row.fields if _FOLD.fullmatch(field)]
    if folds:
        raise ReadingProblem(
            f"“{folds[0]}” seems to be a dilution. Write it as one number under the heading “dilution”: 10 for 1 mL filled up to 10 mL."
        )
    dilution = found.columns.get("dilution", np.full(len(found), np.nan))
    if (dilution < 1).any():
        raise RangeProblem("A dilution is 1 or more: 10 for 1 mL filled up to 10 mL.")
    columns = found.columns | {"dilution": np.where(np.isnan(dilution), 1.0, dilution)}
    return Readings(
        columns, found.units | {"dilution": ""}, found.labels, found.rows, found.left_out, found.skipped, found.notes
    )


def read_isotherm(source, *, volume=None, powder_mass=None, formula=None, units=None, places=None):
    """Return the Readings of an isotherm: ``"concentration"`` at equilibrium and ``"uptake"``.

    Parameters
    ----------
    source : path, bytes or str
        Concentrations and uptakes, ``c / mg/L;q / mg/g``, or what they are worked out from:
        ``c0 / mg/L;ce / mg/L;volume / mL;powder / g``.
    volume : quantity [volume] > 0, optional
        Of the liquid in each jar, if it was the same in all and no column says.
    powder_mass : quantity [mass] > 0, optional
        The same for the powder.
    formula, units, places
        As for ``read_columns``.

    Notes
    -----
    Uptake is (start - end) × volume / powder mass: as if no liquid were lost on the way.

    Examples
    --------
    >>> found = read_isotherm("c0 (mg/L);ce (mg/L)\\n20;12\\n40;28", volume="25 mL", powder_mass="0.125 g")
    >>> found["concentration"].tolist(), found["uptake"].tolist(), found.units["uptake"]
    ([12.0, 28.0], [1.6, 2.4], 'mg/g')
    """
    both, function = (START, END, VOLUME, POWDER), "read_isotherm"
    table = table_for(source, (CONCENTRATION, UPTAKE, *both), function, "the isotherm")
    # By headings: start and end are told from concentration and uptake by the word for the start.
    named = likeness_to((START,))(tuple(name for name in table.names if not likeness_to((UPTAKE,))((name,))))
    worked_out = bool(table.names) and named and not any(likeness_to((UPTAKE,))((name,)) for name in table.names)
    if not (worked_out or set(places or ()) & {START.name, END.name}):
        return readings_from(table, (CONCENTRATION, UPTAKE), function, formula, units, places, 2)
    found = readings_from(table, both, function, formula, units, places, 2)
    start, end = _together(found, START.name, END.name)
    q, unit, note = _worked_out(found, start, end, found.units[START.name], volume, powder_mass, function)
    return _replaced(
        found, {"concentration": end, "uptake": q}, {"concentration": found.units[START.name], "uptake": unit}, note
    )


def read_kinetics(source, *, start=None, volume=None, powder_mass=None, formula=None, units=None, places=None):
    """Return the Readings of an uptake against time, in order of time: ``"time"`` in min and ``"uptake"``.

    Parameters
    ----------
    source : path, bytes or str
        ``min;q / mg/g``, or ``min;c / mg/L`` with what the uptake is worked out from.  Times are numbers, clock
        times (14:05) or stamps (2026-05-31 14:05); of a clock they count from the first.
    start : quantity [mass concentration] or [concentration], optional
        Of the liquid before the powder; the concentration at time zero is taken if there is one.
    volume, powder_mass : quantities, optional
        Of the liquid and of the powder in the jar.
    formula, units, places
        As for ``read_columns``.

    Notes
    -----
    The volume is taken to stay the same: draw little for each reading, or lose no solvent.

    Examples
    --------
    >>> found = read_kinetics("min;c / mg/L\\n0;30\\n30;24\\n90;21", volume="40 mL", powder_mass="0.2 g")
    >>> found["uptake"].round(6).tolist(), found.units["uptake"]
    ([0.0, 1.2, 1.8], 'mg/g')
    """
    function = "read_kinetics"
    table = table_for(source, (TIME, UPTAKE, CONCENTRATION), function, "the run")
    likely = [likeness_to((column,))(table.names) for column in (UPTAKE, CONCENTRATION)]
    if (not table.names or not likely[1] or likely[0]) and CONCENTRATION.name not in (places or ()):
        found = readings_from(table, (TIME, UPTAKE), function, formula, units, places, 2)
        return found.where(np.argsort(found["time"], kind="stable"))
    found = readings_from(table, (TIME, CONCENTRATION), function, formula, units, places, 2)
    found = found.where(np.argsort(found["time"], kind="stable"))
    unit, left = found.units["concentration"], found["concentration"]
    if start is not None:
        (offered,) = readings_of(function=function, start=(start, CONCENTRATION)).where([0])["concentration"]
        given = "mmol/L" if hasattr(start, "units") and CONCENTRATION.kind(start.units) == "molar" else "mg/L"
        if given != unit:
            raise UnitProblem(
                f"The start is in {given} and the concentrations are in {unit}. Give both as masses, or both as amounts."
            )
    elif found["time"][0] == 0:
        offered = float(left[found["time"] == 0].mean())
    else:
        raise ReadingProblem(
            "There is no reading at time zero. Type the concentration before the powder, as in start='30 mg/L'."
        )
    q, uptake_unit, note = _worked_out(found, offered, left, unit, volume, powder_mass, function)
    return _replaced(found, {"time": found["time"], "uptake": q}, {"time": "min", "uptake": uptake_unit}, note)


def read_photo(source, *, formula=None, units=None, places=None):
    """Return the Readings of a photograph: ``"red"``, ``"green"``, ``"blue"`` (0 to 255) and ``"concentration"``.

    Rows such as ``white;;244;243;240``, ``S1;5;240;232;198`` and ``wash 2;;238;229;190`` under
    ``name;mg/L;red;green;blue``: the concentration is not a number where none is known.  A row named “blank”
    without one has none.

    >>> found = read_photo("name;mg/L;R;G;B\\nwhite;;244;243;240\\nblank;;243;242;238\\nS1;5;240;232;198")
    >>> found.labels, found["concentration"].tolist(), found["blue"].tolist()
    (('white', 'blank', 'S1'), [nan, 0.0, 5.0], [240.0, 238.0, 198.0])
    """
    known = Column(
        "concentration", CONCENTRATION.need, CONCENTRATION.unit, CONCENTRATION.words, CONCENTRATION.molar, gaps=True
    )
    table = table_for(source, (known, *CHANNELS), "read_photo", "the picture")
    return readings_from(table, (known, *CHANNELS), "read_photo", formula, units, places, 2, blank="concentration")


def _together(found, first, second):
    if found.units[first] != found.units[second]:
        raise ReadingProblem(f"The {first} is in {found.units[first]} and the {second} in {found.units[second]}. Say of what they are, as in "
                             "formula='Fe', or write both of one kind.")  # fmt: skip
    return found[first], found[second]


def _worked_out(found, start, end, unit, volume, powder_mass, function):
    """Return (uptake, its unit, a note)."""
    sizes = []
    for name, need, given, base in (
        ("volume", "[volume] > 0", volume, "mL"),
        ("powder mass", "[mass] > 0", powder_mass, "g"),
    ):
        if name in found:
            sizes.append(found[name])
        elif given is None:
            raise ReadingProblem(f"The uptake is worked out from concentrations, and that needs the {name}. Type for instance "
                                 f"{name.replace(' ', '_')}={'25 mL' if base == 'mL' else '0.2 g'!r}, or give a column of it.")  # fmt: skip
        else:
            sizes.append(number(nominal(checked(given, need, name.replace(" ", "_"), function)), base))
    q = (start - end) * sizes[0] / 1000 / sizes[1]
    lost = f" {(q < 0).sum()} of them below zero: more was left than was offered." if (q < 0).any() else ""
    return q, "mg/g" if unit == "mg/L" else "mmol/g", f"Uptake: (start - end) × volume / powder mass.{lost}"


def _replaced(found, columns, units, note):
    return Readings(columns, units, found.labels, found.rows, found.left_out, found.skipped, (*found.notes, note))
