"""The gap of made spectra, whose gap is known: found within the stated uncertainty, or refused; nothing made of nothing.

The spectra are made here, from the definitions, and not by the library.
"""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.errors import LabError
from labkit.light import Reflectance, gap_report, read_reflectance, tauc_gap
from labkit.units import Q, Range, number

HC = 1239.841984332  # eV nm, CODATA
NM = np.arange(350.0, 601.0)
RISE = {"direct": 8.0, "indirect": 12.0}


def edge(transition, gap, tail, energy, rise):
    """F E above a gap, an exponential tail joined on below with the same value and slope."""
    power = {"direct": 0.5, "indirect": 2.0}[transition]
    join = gap + power * tail  # where the slope of the logarithm, power / (E - gap), is 1 / tail
    above = rise * np.maximum(energy - gap, 0) ** power
    below = rise * (power * tail) ** power * np.exp(np.minimum(energy - join, 0) / max(tail, 1e-9)) if tail else 0.0
    return np.where(energy > join, above, below)


def made(transition, gap, nm=NM, tail=0.0, rise=None, flat=0.0, slope=0.0, noise=0.0, seed=1):
    energy = HC / nm
    absorbed = (
        edge(transition, gap, tail, energy, rise or RISE[transition]) / energy + flat + slope * (energy - energy.min())
    )
    reflectance = 1 + absorbed - np.sqrt(absorbed**2 + 2 * absorbed)
    return reflectance + np.random.default_rng(seed).normal(0, noise, nm.size)


def fitted(transition, reflectance, nm=NM, **settings):
    return tauc_gap(Reflectance(nm, reflectance), transition, **settings)


def likely(fit):
    assert fit.gap is not None, fit.reasons
    return number(fit.gap.likely, "eV")


# ------------------------------------------------------------------------------------------- clean edges
@pytest.mark.parametrize("transition", ["direct", "indirect"])
@pytest.mark.parametrize("gap", [2.2, 2.5, 2.7, 2.95])
@pytest.mark.parametrize("tail", [0, 0.03, 0.08])
def test_a_clean_edge_is_found(transition, gap, tail):
    nm = np.arange(330.0, 760.0)
    fit = fitted(transition, made(transition, gap, nm, tail), nm)
    assert fit.verdict == "usable", fit.reasons
    assert abs(likely(fit) - gap) < 0.005  # eV: as good as 1 nm of the wavelength scale
    # Of no use beyond 0.05 eV; what 2 % of stray light and 3 % of the white reference do (guesses) is most of it.
    assert fit.uncertainty < Q(0.035, "eV")
    assert fit.gap.low <= Q(gap, "eV") <= fit.gap.high


# Read off by an independent line through F E of the same made edges from gap + 0.02 eV to gap + 0.35 eV.
@pytest.mark.parametrize("made_as, taken_as, expected", [("direct", "direct", 2.700), ("indirect", "indirect", 2.700),
                                                         ("direct", "indirect", 2.270), ("indirect", "direct", 2.7985)])  # fmt: skip
def test_the_wrong_transition_is_wrong_by_as_much_as_elsewhere(made_as, taken_as, expected):
    fit = fitted(taken_as, made(made_as, 2.7), region="2.72 to 3.05 eV", baseline=None)
    slope, start = fit.line or (np.nan, np.nan)
    energy, values = HC / NM, fit.values
    inside = (fit.energy >= 2.72) & (fit.energy <= 3.05)
    line = np.polyfit(fit.energy[inside], values[inside], 1)  # the same stretch, each point alike
    assert -line[1] / line[0] == pytest.approx(expected, abs=0.01)
    if fit.gap is not None:
        assert likely(fit) == pytest.approx(expected, abs=0.03)  # points near the foot weigh more here
    assert energy.size == values.size and (made_as != taken_as or fit.gap is not None)


# A flat absorption below the edge, read off elsewhere: with the axis, and with the crossing of a fitted baseline.
@pytest.mark.parametrize("transition, flat, axis, crossing", [
    ("direct", 0.1, 2.688, 2.689), ("direct", 0.3, 2.665, 2.672), ("direct", 0.5, 2.642, 2.660),
    ("indirect", 0.02, 2.685, 2.754), ("indirect", 0.05, 2.663, 2.776), ("indirect", 0.1, 2.627, 2.795), ("indirect", 0.2, 2.557, 2.813),
])  # fmt: skip
def test_what_absorbs_below_the_edge(transition, flat, axis, crossing):
    reflectance = made(transition, 2.7, flat=flat)
    region = {"region": {"direct": "2.72 to 3.05 eV", "indirect": "2.90 to 3.20 eV"}[transition]}
    left_in = fitted(transition, reflectance, baseline=None, **region)
    crossed = fitted(transition, reflectance, baseline="crossing", **region)
    off = fitted(transition, reflectance, **region)
    assert likely(off) == pytest.approx(2.7, abs=0.002) and off.baseline == "subtract"
    assert likely(left_in) == pytest.approx(axis, abs=0.004)  # points near the foot weigh a little more here
    assert likely(crossed) == pytest.approx(crossing, abs=0.006)  # it depends on where the baseline is fitted
    for fit in (left_in, crossed, off):
        assert fit.gap.low <= Q(2.7, "eV") <= fit.gap.high  # what was left in is in the uncertainty
    assert left_in.baseline == "none" and "left in" in left_in.baseline_words


def test_a_baseline_of_ones_own_is_taken():
    reflectance = made("indirect", 2.7, flat=0.1)
    for settings_ in ({"baseline": "2.1 to 2.5 eV"}, {"baseline": "subtract", "below": "2.1 to 2.5 eV"},
                      {"baseline": Range(Q(2.1, "eV"), Q(2.3, "eV"), Q(2.5, "eV"))}):  # fmt: skip
        fit = fitted("indirect", reflectance, **settings_)
        assert likely(fit) == pytest.approx(2.7, abs=0.003)
        assert fit.below == pytest.approx((2.1, 2.5), abs=0.01)


# ------------------------------------------------------------------------------------------- any spectrum
@settings(max_examples=150, deadline=None)
@given(st.sampled_from(["direct", "indirect"]), st.floats(2.2, 3.2), st.floats(0.0, 0.08), st.sampled_from([0, 0.0005, 0.002, 0.005]),
       st.sampled_from([0.5, 1, 2, 5]), st.sampled_from(["none", "flat", "sloping"]), st.floats(0.01, 0.3), st.floats(0.0, 0.1),
       st.sampled_from([300, 340, 360]), st.sampled_from([550, 600, 700, 800]), st.floats(0.6, 1.6), st.integers(0, 2**32 - 1))  # fmt: skip
def test_any_edge_is_within_the_range_or_refused(
    transition, gap, tail, noise, step, below, flat, slope, start, end, rise, seed
):
    nm = np.arange(start, end + 0.1, step)
    flat, slope = (0, 0) if below == "none" else (flat, 0) if below == "flat" else (flat, slope)
    reflectance = np.clip(
        made(transition, gap, nm, tail, RISE[transition] * rise, flat, slope, noise, seed), 0.001, 1.05
    )
    fit = fitted(transition, reflectance, nm)
    if fit.gap is None:
        assert fit.verdict == "cannot tell" and fit.reasons and "cannot be told" in str(fit)
        return
    # Two standard uncertainties leave out one in twenty by chance; three leave out next to none.
    assert abs(likely(fit) - gap) <= 3 * number(fit.uncertainty, "eV"), str(fit)


def test_the_range_holds_the_gap_as_often_as_it_says_and_is_not_idle():
    chance, inside, usable, widths = np.random.default_rng(20), 0, 0, []
    nm = np.arange(330.0, 701.0, 2.0)
    for seed in range(200):
        transition = ("direct", "indirect")[seed % 2]
        gap, tail, flat = chance.uniform(2.3, 3.0), chance.uniform(0, 0.08), chance.choice([0, 0.05, 0.2])
        fit = fitted(transition, np.clip(made(transition, gap, nm, tail, None, flat, 0, 0.003, seed), 0.001, 1.1), nm)
        usable += fit.verdict == "usable"
        if fit.gap is not None:
            inside += fit.gap.low <= Q(gap, "eV") <= fit.gap.high
            widths.append(number(fit.uncertainty, "eV"))
    assert usable >= 180 and len(widths) >= 195
    assert inside >= 0.95 * len(widths)
    assert np.median(widths) < 0.025  # eV: an answer as wide as a barn would hold everything


# ------------------------------------------------------------------------------------------- what is not told
def absorbed_by(reflectance):
    return (1 - reflectance) ** 2 / (2 * reflectance)


def humped(chance, reflectance, nm):
    """A band of a dopant: a Gaussian over energy, its middle at 1.7 to 2.4 eV."""
    height, middle, width = chance.uniform(0.02, 0.3), chance.uniform(1.7, 2.4), chance.uniform(0.1, 0.3)
    return of_absorption(absorbed_by(reflectance) + height * np.exp(-((HC / nm - middle) ** 2) / (2 * width**2)))


def growing(chance, reflectance, nm):
    """A background that grows exponentially, by e over 0.4 to 1 eV, under the edge too."""
    return of_absorption(absorbed_by(reflectance) + chance.uniform(0.01, 0.15) * np.exp((HC / nm - 2.2) / chance.uniform(0.4, 1)))  # fmt: skip


def drifting(chance, reflectance, nm):
    """A lamp or a reference that loses 5 to 35 % from 750 to 320 nm, and up to 15 % everywhere."""
    return reflectance * (1 - chance.uniform(0.05, 0.35) * (750 - nm) / 430 - chance.uniform(0, 0.15))


def climbing(chance, reflectance, nm):
    """The same the other way round: up to 20 % too much at the blue end."""
    return reflectance * (1 + chance.uniform(0.05, 0.2) * (750 - nm) / 430 - chance.uniform(0, 0.2))


def off_white(chance, reflectance, nm):
    """A white reference that is off by -15 to +5 % everywhere."""
    return reflectance * chance.uniform(0.85, 1.05)


def strayed(chance, reflectance, nm):
    """Up to 5 % of the light never was in the powder."""
    stray = chance.uniform(0, 0.05)
    return reflectance * (1 - stray) + stray


def untouched(chance, reflectance, nm):
    return reflectance


# How many of fifty have to be told, and called usable: none by chance of a refusal that is right, as for a band or a background
# as strong as the edge; nearly all where there is nothing wrong or where a reference only is off by a constant.
FAMILIES = {untouched: (50, 48), off_white: (49, 45), strayed: (48, 45), climbing: (45, 35), drifting: (45, 30), humped: (20, 4), growing: (25, 8)}  # fmt: skip


@pytest.mark.parametrize("family", FAMILIES, ids=lambda family: family.__name__)
def test_what_nobody_told_is_in_the_range_or_no_gap_is_usable(family):
    chance, told, levels = np.random.default_rng(77), [], {"usable": [], "weak": []}
    for seed in range(50):
        transition = ("direct", "indirect")[seed % 2]
        gap, tail, noise = chance.uniform(2.3, 3.1), chance.uniform(0.02, 0.08), chance.choice([0.0005, 0.002, 0.004])
        nm = np.arange(320.0, 751.0, chance.choice([1, 2, 5]))
        clean = made(transition, gap, nm, tail, RISE[transition] * chance.uniform(0.6, 1.4))
        reflectance = family(chance, clean, nm) + chance.normal(0, noise, nm.size)
        fit = fitted(transition, np.clip(reflectance, 0.0005, 1.5), nm)
        if fit.gap is not None:
            levels[fit.verdict].append(fit.gap.low <= Q(gap, "eV") <= fit.gap.high)
            told.append(number(fit.uncertainty, "eV"))
    enough, usable = FAMILIES[family]
    assert len(told) >= enough and len(levels["usable"]) >= usable
    # Two standard uncertainties leave out one in twenty; one in ten is allowed where a doubt was spoken of.  Of a few, one.
    for level, share in (("usable", 0.05), ("weak", 0.10)):
        assert levels[level].count(False) <= max(1, share * len(levels[level])), levels
    assert np.median(told) <= (0.03 if usable >= 45 else 0.1)  # eV: of use to a laboratory, or at least a number


@pytest.mark.parametrize("transition", ["direct", "indirect"])
def test_a_band_below_the_edge_is_weak_and_told(transition):
    nm = np.arange(330.0, 760.0)
    for height, told in ((0.0, False), (0.12, True)):
        absorbed = absorbed_by(made(transition, 2.8, nm, 0.04)) + height * np.exp(
            -((HC / nm - 2.1) ** 2) / (2 * 0.15**2)
        )
        fit = fitted(transition, of_absorption(absorbed), nm)
        assert any("band" in reason for reason in fit.reasons) == told, fit.reasons
        assert (fit.verdict == "usable") != told


def test_a_reference_that_drifts_widens_the_range_by_what_it_does():
    """Divided by the drift the same edge gives its gap; the range of the drifting one reaches that, and its own reading."""
    nm = np.arange(330.0, 760.0)
    clean = made("indirect", 2.7, nm, 0.04)
    straight, drifted = fitted("indirect", clean, nm), fitted("indirect", clean * (1 - 0.2 * (760 - nm) / 430), nm)
    assert abs(likely(drifted) - 2.7) > 0.01  # eV: else this shows nothing
    assert drifted.gap.low <= Q(2.7, "eV") <= drifted.gap.high
    assert drifted.parts["lost light"] > Q(0.005, "eV") > straight.parts["lost light"]


@pytest.mark.parametrize("part, change", [
    ("white reference", lambda reflectance, nm: reflectance / 1.03), ("white reference", lambda reflectance, nm: reflectance / 0.97),
    ("white reference", lambda reflectance, nm: reflectance / (1 + 0.01 * (nm - 450) / 100)), ("stray light", lambda reflectance, nm: (reflectance - 0.02) / 0.98),
])  # fmt: skip
def test_what_light_and_reference_may_do_is_what_they_do(part, change):
    """The stated part is no less than by how much the gap of the changed spectrum differs, fitted in the same places."""
    nm = np.arange(330.0, 760.0)
    places = {"region": "2.75 to 3.10 eV", "baseline": "1.7 to 2.4 eV"}
    reflectance = made("direct", 2.7, nm, 0.04, flat=0.1)
    fit = fitted("direct", reflectance, nm, **places)
    moved = abs(likely(fitted("direct", change(reflectance, nm), nm, **places)) - likely(fit))
    assert moved > 1e-4  # eV
    assert number(fit.parts[part], "eV") > 0.9 * moved  # the points weigh a little otherwise there
    assert number(fit.parts[part], "eV") < moved + 0.01  # eV: the other ways that it may be off


def test_a_background_that_may_grow_is_told_from_one_that_is_level():
    nm = np.arange(330.0, 760.0)
    clean = made("indirect", 2.7, nm, 0.04)
    grown = fitted("indirect", of_absorption(absorbed_by(clean) + 0.08 * np.exp((HC / nm - 2.2) / 0.7)), nm)
    level = fitted("indirect", of_absorption(absorbed_by(clean) + 0.08), nm)
    assert grown.parts["growing baseline"] > Q(0.005, "eV") > level.parts.get("growing baseline", Q(0, "eV"))
    assert grown.gap.low <= Q(2.7, "eV") <= grown.gap.high


def test_a_powder_brighter_than_white_is_read_with_a_brighter_white():
    """All readings 5 % too high: the foot is cut off at white, and the range has to know."""
    nm = np.arange(330.0, 760.0)
    for transition in ("direct", "indirect"):
        fit = fitted(transition, 1.05 * made(transition, 2.7, nm, 0.04), nm)
        assert fit.gap.low <= Q(2.7, "eV") <= fit.gap.high and fit.parts["lost light"] > Q(0.002, "eV")


# ------------------------------------------------------------------------------------------- nothing
WIDE = np.arange(340.0, 800.0)
RANDOM = np.random.default_rng(5)


def of_absorption(absorbed):
    return 1 + absorbed - np.sqrt(absorbed**2 + 2 * absorbed)


NOTHING = {
    "flat": np.full(WIDE.size, 0.8),
    "flat and dark": np.full(WIDE.size, 0.03),
    "noise": 0.8 + RANDOM.normal(0, 0.005, WIDE.size),
    "much noise": np.clip(0.5 + RANDOM.normal(0, 0.1, WIDE.size), 0.01, 1.2),
    "straight in wavelength": np.linspace(0.1, 0.9, WIDE.size),
    "straight, half as steep": np.linspace(0.4, 0.9, WIDE.size),
    "straight in energy": np.interp(HC / WIDE, [1.5, 3.7], [0.9, 0.1]),
    "absorption straight in energy": of_absorption(np.interp(HC / WIDE, [1.5, 3.7], [0.01, 3])),
    "absorption square in energy": of_absorption(0.01 + 0.5 * (HC / WIDE - 1.5) ** 2),
    "absorption exponential in energy": of_absorption(0.01 * np.exp((HC / WIDE - 1.5) / 0.35)),
    "rising to the blue": np.linspace(0.9, 0.1, WIDE.size),
    "a wall": np.where(WIDE > 450, 0.9, 0.2),
    "a random walk": np.clip(0.5 + np.cumsum(RANDOM.normal(0, 0.002, WIDE.size)), 0.01, 1),
}


@pytest.mark.parametrize("name", NOTHING)
@pytest.mark.parametrize("transition", ["direct", "indirect"])
def test_where_there_is_no_edge_none_is_usable(name, transition):
    fit = fitted(transition, NOTHING[name], WIDE)
    assert fit.verdict != "usable" and fit.reasons
    if name != "a random walk":
        assert fit.gap is None and fit.uncertainty is None and fit.edge is None


@settings(max_examples=60, deadline=None)
@given(st.floats(0.05, 0.95), st.floats(0.05, 0.95), st.floats(0, 0.02), st.integers(0, 2**32 - 1))
def test_noise_on_a_straight_line_is_never_usable(one, other, noise, seed):
    nm = np.arange(350.0, 701.0, 2.0)
    line = np.linspace(one, other, nm.size) + np.random.default_rng(seed).normal(0, noise, nm.size)
    for transition in ("direct", "indirect"):
        assert fitted(transition, np.clip(line, 0.01, 1.1), nm).verdict != "usable"


# ------------------------------------------------------------------------------------------- what is wrong with it
@pytest.mark.parametrize("nm, reflectance, words", [
    (np.arange(450.0, 600), None, "measure to shorter"),
    (np.arange(330.0, 462), None, "longer wavelengths"),
    (np.arange(350.0, 600, 25), None, "points"),
    (NM, 0.02 + 0 * NM, "no edge|black"),
    (NM, np.linspace(0.9, 0.2, NM.size), "export the reflectance"),
])  # fmt: skip
def test_the_reason_says_what_to_do(nm, reflectance, words):
    fit = fitted("direct", made("direct", 2.7, nm, 0.05) if reflectance is None else reflectance, nm)
    assert fit.verdict == "cannot tell" or "points" in words
    assert fit.verdict != "usable"
    assert any(word in " ".join(fit.reasons) for word in words.split("|")), fit.reasons


def test_a_dark_powder_is_told_to_be_diluted():
    nm = np.arange(340.0, 700.0)
    fit = fitted("direct", made("direct", 2.7, nm, 0.03, rise=90.0), nm)
    assert any("dilute" in reason for reason in fit.reasons) and fit.verdict != "usable"


def test_a_doubt_from_reading_leaves_nothing_usable():
    clean = Reflectance(NM, made("direct", 2.7))
    assert tauc_gap(clean, "direct").verdict == "usable"
    doubted = Reflectance(NM, clean.reflectance, doubts=("The scale is not known.",))
    fit = tauc_gap(doubted, "direct")
    assert fit.verdict == "weak" and "scale" in fit.reasons[-1]


def test_readings_over_white_and_below_black_do_no_harm():
    reflectance = made("direct", 2.7)
    reflectance[NM > 500] += 0.02
    reflectance[::50] = -0.01
    fit = fitted("direct", reflectance)
    assert likely(fit) == pytest.approx(2.7, abs=0.01)


# ------------------------------------------------------------------------------------------- words and arguments
def test_parts_add_up_to_the_uncertainty():
    fit = fitted("indirect", made("indirect", 2.7, noise=0.003, flat=0.05))
    parts = [number(part, "eV") for part in fit.parts.values()]
    assert len(parts) >= 6 and np.sqrt(np.sum(np.square(parts))) == pytest.approx(number(fit.uncertainty, "eV"), rel=1e-9)  # fmt: skip
    assert number(fit.gap.high, "eV") - likely(fit) == pytest.approx(2 * number(fit.uncertainty, "eV"), rel=1e-9)
    low, _, high = fit.edge.m_as("nm")
    assert low == pytest.approx(HC / number(fit.gap.high, "eV"), abs=0.01) and high == pytest.approx(HC / number(fit.gap.low, "eV"), abs=0.01)  # fmt: skip


@pytest.mark.parametrize("transition, region", [("direct", "2.75 to 3.10 eV"), ("indirect", "2.90 to 3.30 eV")])
def test_the_part_from_noise_is_what_noise_does(transition, region):
    """The same stretch of the same edge measured eighty times scatters by what one measurement says of itself."""
    nm = np.arange(340.0, 701.0)
    fits = [fitted(transition, made(transition, 2.7, nm, noise=0.004, seed=seed), nm, region=region) for seed in range(80)]  # fmt: skip
    scatter = np.std([likely(fit) for fit in fits])
    stated = np.median([number(fit.parts["noise"], "eV") for fit in fits])
    assert 0.7 < stated / scatter < 1.5  # eighty tell a standard deviation to 8 %


def test_a_spectrum_that_stops_soon_after_the_edge_is_weak():
    nm = np.arange(HC / 2.9, 700.0)  # 0.2 eV above the gap
    fit = fitted("direct", made("direct", 2.7, nm, rise=30.0), nm)
    assert fit.verdict != "usable" and any("shorter wavelengths" in reason for reason in fit.reasons), fit.reasons


def test_more_noise_and_coarser_steps_are_less_certain():
    def width(noise, step):
        nm = np.arange(340.0, 700.0, step)
        # What the light and the reference may be off is no matter of noise, and depends on where the straight part was found.
        fits = [fitted("direct", made("direct", 2.7, nm, 0.04, noise=noise, seed=seed), nm) for seed in range(9)]
        return np.median([np.hypot(*(number(fit.parts[name], "eV") for name in ("noise", "step"))) for fit in fits])

    assert width(0, 1) < width(0.005, 1)
    assert width(0.001, 1) < width(0.001, 5)


def test_both_transitions_stand_side_by_side():
    nm = np.arange(330.0, 701.0)
    report = gap_report(Reflectance(nm, made("direct", 2.7, nm, 0.06, noise=0.001)))
    ends = [number(end, "eV") for fit in (report.direct, report.indirect) if fit.gap for end in (fit.gap.low, fit.gap.high)]  # fmt: skip
    assert report.gap.m_as("eV")[::2] == pytest.approx((min(ends), max(ends)))
    assert "cannot tell which" in report.sentence() and "from memory" in report.sentence()
    assert "2.7" in str(report.direct) and repr(report) == str(report)
    assert max(map(len, str(report).splitlines())) <= 60
    nothing = gap_report(Reflectance(NM, 0.8 + 0 * NM))
    assert nothing.gap is None and nothing.verdict == "cannot tell" and "No gap can be told" in str(nothing)


@pytest.mark.parametrize("arguments, words", [
    ({"transition": 2}, "opposite ways"),
    ({"transition": 0.5}, "opposite ways"),
    ({"transition": "n"}, "There is no transition"),
    ({"region": "2.8 eV"}, "two ends"),
    ({"region": "440 to 450 nm"}, "energy"),
    ({"region": "3.0 to 2.8 eV"}, "lower end first"),
    ({"baseline": "magic"}, "There is no baseline"),
    ({"baseline": "2 to 3 g"}, "energy"),
])  # fmt: skip
def test_arguments_that_cannot_be_used_are_told(arguments, words):
    with pytest.raises(LabError, match=words):
        tauc_gap(Reflectance(NM, made("direct", 2.7)), **({"transition": "direct"} | arguments))


def test_a_region_with_nothing_in_it_is_refused():
    for region in ("5 to 6 eV", "2.1 to 2.5 eV"):
        fit = fitted("direct", made("direct", 2.7), region=region)
        assert fit.gap is None and fit.reasons


def test_the_bundled_spectra_are_read_as_their_names_say(request):
    folder = request.config.rootpath / "workbooks" / "data"
    found = {name: gap_report(folder / f"invented_reflectance_{name}.csv") for name in ("clean", "doped", "short")}
    for path in folder.glob("invented_reflectance_*.csv"):
        assert "(invented)" in path.read_text(encoding="utf-8").splitlines()[0]
    assert found["clean"].direct.verdict == "usable"
    assert found["doped"].direct.baseline == "subtract" or found["doped"].indirect.baseline == "subtract"
    assert found["doped"].gap is not None and found["short"].gap is None
    assert "shorter wavelengths" in str(found["short"])
    assert len(read_reflectance(folder / "invented_reflectance_doped.csv")) > 100
