"""Reflectance: the Kubelka-Munk function against values worked out by hand, and files as instruments write them."""

import numpy as np
import pytest
from helpers import assert_close
from hostile import GROWING, HOSTILE
from hypothesis import given
from hypothesis import strategies as st

from labkit.errors import LabError, RangeProblem, ReadingProblem, UnitProblem
from labkit.light import Reflectance, kubelka_munk, read_reflectance, reflectance_from_kubelka_munk
from labkit.units import Q

# (1 - R)^2 / 2 R by hand: 0.95^2 / 0.1 = 9.025 and so on.
BY_HAND = {0.05: 9.025, 0.1: 4.05, 0.2: 1.6, 0.3: 0.49 / 0.6, 0.4: 0.45, 0.5: 0.25, 0.6: 0.16 / 1.2, 0.7: 0.09 / 1.4, 0.8: 0.025,
           0.9: 0.01 / 1.8, 0.95: 0.0025 / 1.9, 1.0: 0.0}  # fmt: skip
# A made edge, F = 8 √(E - 2.7 eV)/E, worked out apart from this library: nm, F, R.
EDGE = ((380, 1.83934, 0.181926), (400, 1.631545, 0.197407), (420, 1.360433, 0.222293), (440, 0.974520, 0.271955),
        (450, 0.682218, 0.329496), (455, 0.463526, 0.394925), (459, 0.101771, 0.639279))  # fmt: skip
HC = 1239.841984332  # eV nm, CODATA
NM = np.arange(350.0, 700.0, 10.0)
PERCENT = np.round(50 + 40 * np.tanh((NM - 450) / 25), 2)  # an invented edge


# ------------------------------------------------------------------------------------------- the function
def test_the_function_is_that_of_the_hand():
    assert_close(kubelka_munk(np.array(list(BY_HAND))), Q(np.array(list(BY_HAND.values())), ""), within=1e-12)
    assert_close(reflectance_from_kubelka_munk(np.array(list(BY_HAND.values()))), Q(np.array(list(BY_HAND)), ""), within=1e-12)  # fmt: skip


def test_a_made_edge_has_the_reflectance_worked_out_elsewhere():
    for _, absorbed, reflectance in EDGE:  # printed to six figures
        assert_close(reflectance_from_kubelka_munk(absorbed), Q(reflectance, ""), within=2e-6)
        assert_close(kubelka_munk(reflectance), Q(absorbed, ""), relative=2e-5)


@given(st.floats(1e-6, 1))
def test_there_and_back_is_the_same(reflectance):
    assert_close(reflectance_from_kubelka_munk(kubelka_munk(reflectance)), Q(reflectance, ""), relative=1e-7)


def test_text_and_percent_are_taken():
    assert_close(kubelka_munk("20 %"), Q(1.6, ""), within=1e-12)
    assert_close(kubelka_munk(Q(20, "percent")), Q(1.6, ""), within=1e-12)


@pytest.mark.parametrize("wrong", [0, -0.1, 1.0001, 20, "nan"])
def test_what_is_no_reflectance_is_refused(wrong):
    with pytest.raises(LabError):
        kubelka_munk(wrong)
    with pytest.raises(UnitProblem):
        kubelka_munk(Q(1, "g"))


def test_a_reflectance_in_percent_without_its_sign_is_told():
    with pytest.raises(RangeProblem, match="20 %"):
        kubelka_munk(20)


# ------------------------------------------------------------------------------------------- files
def written(x=NM, y=PERCENT, head="wavelength / nm;reflectance / %", separator=";", mark=".", digits=4):
    rows = [f"{a:.{digits}f}{separator}{b:.{digits}f}".replace(".", mark) for a, b in zip(x, y)]
    return "\n".join(([head] if head else []) + rows) + "\n"


FORMS = {
    "semicolons": written(),
    "decimal commas": written(mark=","),
    "tabs": written(separator="\t", head="nm\t%R"),
    "commas": written(separator=",", head="nm,%R"),
    "blanks": written(separator="  ", head=""),
    "no heading": written(head=""),
    "fractions": written(y=PERCENT / 100, head="nm;R", digits=6),
    "no heading, fractions": written(y=PERCENT / 100, head="", digits=6),
    "electronvolts": written(x=HC / NM, head="E / eV;R / %", digits=7),
    "electronvolts, no heading": written(x=HC / NM, head="", digits=7),
    "micrometres": written(x=NM / 1000, head="λ / µm;R / %", digits=6),
    "wavenumbers": written(x=1e7 / NM, head="cm-1;%R"),
    "wavenumbers, no heading": written(x=1e7 / NM, head=""),
    "falling": written(x=NM[::-1], y=PERCENT[::-1]),
    "in quotation marks": "\n".join(f'"{a:.1f}","{b:.2f}"'.replace(".", ",") for a, b in zip(NM, PERCENT)),
    "carriage returns": written().replace("\n", "\r\n"),
    "UTF-16": written().encode("utf-16"),
    "words above": "Powder 7 (invented)\nscan speed: slow\n\n" + written(),
    "a column more": "\n".join(f"{a};{b};{5 + k}" for k, (a, b) in enumerate(zip(NM, PERCENT))),
    "numbered rows": "no;nm;%R\n" + "\n".join(f"{k};{a};{b}" for k, (a, b) in enumerate(zip(NM, PERCENT))),
    "reflectance last": "nm;counts;%R\n" + "\n".join(f"{a};{k * 7};{b}" for k, (a, b) in enumerate(zip(NM, PERCENT))),
}  # fmt: skip


@pytest.mark.parametrize("form", FORMS)
def test_every_form_reads_the_same(form):
    read = read_reflectance(FORMS[form])
    assert_close(read.wavelength, NM, within=1e-3)
    assert_close(read.reflectance, PERCENT / 100, within=1e-5)
    assert read.counts["rows"] == read.counts["kept"] == NM.size and not read.doubts
    assert len(read.notes) >= 2


def test_a_path_is_read(tmp_path):
    path = tmp_path / "powder.csv"
    path.write_text(written(), encoding="utf-8")
    assert_close(read_reflectance(path).reflectance, PERCENT / 100, within=1e-9)
    assert_close(read_reflectance(str(path)).reflectance, PERCENT / 100, within=1e-9)


@given(st.permutations(range(20)), st.sampled_from([";", "\t"]), st.sampled_from([".", ","]), st.booleans(), st.booleans(),
       st.lists(st.floats(0.02, 0.99), min_size=20, max_size=20))  # fmt: skip
def test_any_order_and_marks(order, separator, mark, percent, energy, values):
    order, values = list(order), np.round(values, 5)
    x = HC / NM[:20] if energy else NM[:20]
    y = values * 100 if percent else values
    head = f"{'eV' if energy else 'nm'}{separator}{'%R' if percent else 'R'}"
    read = read_reflectance(written(x[order], y[order], head, separator, mark, 7), scale=None if percent else "fraction")  # fmt: skip
    assert_close(read.wavelength, NM[:20], within=1e-3)
    assert_close(read.reflectance, values, within=1e-6)


def test_bad_rows_are_counted_with_their_reasons():
    bad = "710;n/a\n720;broken\n730;\n90;50\n740;9999\nend of scan\n"
    read = read_reflectance(written() + bad)
    assert read.counts["rows"] == NM.size + 6 and read.counts["kept"] == NM.size
    assert read.counts["reasons"] == {"no reading": 2, "not a row of numbers": 2, "impossible wavelength": 1, "impossible reading": 1}  # fmt: skip
    assert sum(read.counts["reasons"].values()) + read.counts["kept"] == read.counts["rows"]
    lines = (written() + bad).splitlines()
    assert len(read.left_out) == 6
    for one in read.left_out:
        assert lines[one.row - 1].strip() == one.text
    assert "6 left out" in read.words()


def test_points_measured_twice_become_their_mean():
    read = read_reflectance(written() + "350;20\n")
    assert len(read) == NM.size
    assert_close(read.reflectance[0], (PERCENT[0] + 20) / 200, within=1e-9)
    assert any("mean" in note for note in read.notes) and any("out of order" in note for note in read.notes)


def test_readings_above_white_are_kept_and_told():
    y = PERCENT.copy()
    y[-1] = 102.0
    read = read_reflectance(written(y=y))
    assert_close(read.reflectance[-1], 1.02, within=1e-9)
    assert any("above 100 %" in note for note in read.notes)


def test_absorbance_and_kubelka_munk_are_turned_back_only_if_stated():
    fractions = PERCENT / 100
    absorbance = written(y=-np.log10(fractions), head="nm;absorbance", digits=8)
    with pytest.raises(ReadingProblem, match="kind='absorbance'"):
        read_reflectance(absorbance)
    assert_close(read_reflectance(absorbance, kind="absorbance").reflectance, fractions, within=1e-6)
    munk = written(y=(1 - fractions) ** 2 / 2 / fractions, head="nm;F(R)", digits=8)
    with pytest.raises(ReadingProblem, match=r"kind='F\(R\)'"):
        read_reflectance(munk)
    assert_close(read_reflectance(munk, kind="F(R)").reflectance, fractions, within=1e-5)
    assert "as you said" in read_reflectance(munk, kind="F(R)").words()


@pytest.mark.parametrize(
    "head", ["nm;A", "nm;Abs.", "nm;log(1/R)", "nm;K-M", "nm;%T", "nm;Transmittance (%)", "nm;Extinction"]
)
def test_a_heading_of_something_else_is_refused(head):
    with pytest.raises(ReadingProblem):
        read_reflectance(written(head=head))


@pytest.mark.parametrize("text, settings, words", [
    (written(separator=",", mark=",", head=""), {}, "semicolons"),
    (written(x=np.arange(350, 385), separator=",", digits=0, head="").replace("\n", ",5\n"), {}, "semicolons"),
    (written(y=PERCENT / 50, head="nm;R"), {}, "scale="),
    (written(x=NM * 3, head="", y=PERCENT), {}, None),
    (written(x=np.arange(NM.size), head=""), {}, "unit="),
    (written(), {"column": 9}, "no column 9"),
    (written(), {"column": "humidity"}, "not one heading"),
    (written(), {"column": 1}, "Choose another"),
    (written(), {"unit": "inch"}, "There is no unit"),
    (written(), {"kind": "smell"}, "There is no kind"),
    ("nm;%R\n350;20\n360;21\n", {}, "at least 8"),
    ("one line", {}, "no such file"),
    ("a\nb\n", {}, "No line has"),
    (b"", {}, "No line has"),
    (b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", {}, None),
    (7, {}, "bytes of a file"),
])  # fmt: skip
def test_what_is_no_spectrum_is_refused_kindly(text, settings, words):
    if words is None:
        try:
            read_reflectance(text, **settings)
        except LabError:
            pass
        return
    with pytest.raises(LabError, match=words):
        read_reflectance(text, **settings)


def test_a_heading_of_percent_over_fractions_is_doubted():
    read = read_reflectance(written(y=PERCENT / 100, digits=6))
    assert read.doubts and "fraction" in read.doubts[0]
    assert not read_reflectance(written(y=PERCENT / 100, digits=6), scale="fraction").doubts


def test_a_column_can_be_named():
    text = "nm;dark;first;second\n" + "\n".join(f"{a};0;{b};{b / 2}" for a, b in zip(NM, PERCENT))
    for column in (4, "second", "seco"):
        assert_close(read_reflectance(text, column=column).reflectance, PERCENT / 200, within=1e-9)


def test_hostile_text_raises_nothing_but_words():
    assert len(HOSTILE) > 100
    for text in (*HOSTILE, *(part * 3000 for part in GROWING)):
        for whole in (f"{text}\n{text}", written() + text + "\n", f"{text};{text}\n" + written(head="")):
            try:
                read = read_reflectance(whole)
            except LabError:
                continue
            assert read.counts["kept"] + sum(read.counts["reasons"].values()) == read.counts["rows"]
            assert np.isfinite(read.reflectance).all()


def test_a_spectrum_made_by_hand_is_checked():
    with pytest.raises(RangeProblem, match="as many"):
        Reflectance(NM, PERCENT[:-1])
    with pytest.raises(RangeProblem, match="divided by 100"):
        Reflectance(NM, PERCENT)
    with pytest.raises(RangeProblem, match="numbers only"):
        Reflectance(NM, np.where(NM == 400, np.nan, 0.5))
    with pytest.raises(RangeProblem, match="nm here"):
        Reflectance(HC / NM, PERCENT / 100)
    made = Reflectance(NM, PERCENT / 100)
    with pytest.raises(ValueError, match="read-only"):
        made.reflectance[0] = 0
