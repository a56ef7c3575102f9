"""The look of pictures, their words, and the picture that follows a slider."""

import colorsys
import dataclasses
import os
import re
import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import matplotlib
import numpy as np
import pytest
from matplotlib.colors import to_hex, to_rgb
from matplotlib.figure import Figure

from labkit.errors import LabError, UnitProblem
from labkit.plots import GUESS, LIMIT, MAIN, LivePicture, figure_svg, image_tag, new_figure, saved, show, styled
from labkit.plots import style as look
from labkit.units import Q

# Order of Okabe & Ito (2008), as matplotlib 3.11 and later print it; None where a colour is not used here.
OKABE_ITO = ["BLACK", None, "SKY_BLUE", "GREEN", None, "BLUE", "VERMILION", "PURPLE"]
SVG = "{http://www.w3.org/2000/svg}"
TENTH = 0.06  # points: LivePicture writes places to a tenth of a point, so half of that and a little
HOSTILE = ["<script>alert(1)</script>", '"><img src=x onerror=alert(1)>', "a & b < c", "]]>", "'\"`", "٣ غ", "x" * 5000]


def luminance(colour):
    """Relative luminance of a colour, W3C Web Content Accessibility Guidelines 2.2."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    parts = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


def on_white(colour):
    return 1.05 / (luminance(colour) + 0.05)


def example(scale="linear", low=0.0):
    figure, axes = new_figure()
    axes.set(xlim=(0, 10), ylim=(low, 100), yscale=scale, xlabel="Time / h", ylabel="Hydrogen / µmol")
    return figure, axes


@pytest.fixture(scope="module")
def live():
    """One live picture for the tests that only read it: drawing its frame is what takes the time."""
    return LivePicture(*example())


def ids_and_uses(text):
    return re.findall(r' id="([^"]+)"', text), re.findall(r'(?:href="|url\()#([^")]+)', text)


def test_colours_are_those_of_okabe_and_ito():
    if "okabe_ito" not in matplotlib.color_sequences:
        pytest.skip("this matplotlib does not know the palette")
    printed = [to_hex(colour).upper() for colour in matplotlib.color_sequences["okabe_ito"]]
    assert len(printed) == len(OKABE_ITO)
    for name, colour in zip(OKABE_ITO, printed):
        assert name is None or getattr(look, name) == colour


def test_lines_stand_out_from_white_and_differ_by_more_than_colour():
    assert on_white("#000000") == pytest.approx(21)  # the two ends of the W3C scale
    assert on_white("#FFFFFF") == pytest.approx(1)
    for role in look.ROLES:
        if role is not GUESS:  # only ever an area
            assert on_white(role.colour) >= 3, role  # criterion 1.4.11, parts of a picture
        assert role.width >= 2
    assert len({role.dashes for role in look.LINES}) == len(look.LINES) == 4
    assert len({role.marker for role in look.LINES}) == 4


def test_words_stand_out_more_than_lines_and_keep_the_hue():
    for role in look.ROLES:
        assert on_white(role.ink) >= 4.5, role  # criterion 1.4.3, text
        bright, dark = (colorsys.rgb_to_hls(*to_rgb(colour))[0] for colour in (role.colour, role.ink))
        assert abs(bright - dark) < 0.03, role  # of the whole circle: they are seen as one colour
    figure, axes = example()
    picture = LivePicture(figure, axes)
    assert f'fill="{look.SECOND.ink}"' in picture.text(2, 20, "words", look.SECOND)


def test_words_in_pictures_are_large_enough_to_project():
    sizes = [value for name, value in look.STYLE.items() if name.endswith("size") and name != "lines.markersize"]
    assert len(sizes) >= 5 and min(sizes) >= 12


def test_nothing_global_changes():
    before = dict(matplotlib.rcParams)
    figure, axes = example()
    with styled(font__size=20):
        assert matplotlib.rcParams["font.size"] == 20
        axes.plot([0, 1], [0, 1])
    LivePicture(figure, axes)
    figure_svg(figure)
    assert dict(matplotlib.rcParams) == before


def test_new_figure_gives_white_labelled_axes_and_lines_of_their_own_pattern():
    figure, axes = new_figure(5, 3)
    lines = [axes.plot([0, 1], [0, number])[0] for number in range(4)]
    assert isinstance(figure, Figure) and tuple(figure.get_size_inches()) == (5, 3)
    assert figure.get_facecolor() == axes.get_facecolor() == (1, 1, 1, 1)
    assert len({str(line.get_linestyle()) + str(line._unscaled_dash_pattern) for line in lines}) == 4
    assert all(line.get_linewidth() >= 2 for line in lines)


def test_the_same_figure_gives_the_same_text_in_another_process_and_pyplot_is_never_loaded():
    code = (
        "import sys\nfrom labkit.plots import *\nf, a = new_figure(); a.plot([0, 1], [0, 2]); a.set_xlabel('Time / h')\n"
        "text = figure_svg(f) + LivePicture(f, a).frame"
    )
    say = "\nassert 'labkit.plots' in sys.modules and 'matplotlib.pyplot' not in sys.modules\nsys.stdout.buffer.write(text.encode())"
    # Another order of sets and dicts by hash than in this process, whatever that has.
    seed = "2" if os.environ.get("PYTHONHASHSEED") == "1" else "1"
    theirs = subprocess.run(
        [sys.executable, "-c", code + say], capture_output=True, check=True, env=os.environ | {"PYTHONHASHSEED": seed}
    ).stdout.decode()
    exec(code, ours := {})
    assert ours["text"] == theirs
    assert len(theirs) > 1000 and "date" not in theirs.lower() and matplotlib.__version__ not in theirs


@pytest.mark.parametrize("alt", ["", "  \n", None, 3])
def test_a_picture_without_words_is_refused(alt, live):
    figure = Figure()
    for refused in (
        lambda: show(figure, alt=alt),
        lambda: saved(figure, "never.svg", alt=alt),
        lambda: live.svg([], alt=alt),
    ):
        with pytest.raises(LabError, match="alt="):
            refused()
    with pytest.raises(TypeError):
        show(figure)
    assert not Path("never.svg").exists()


@pytest.mark.parametrize("alt", HOSTILE)
def test_words_are_escaped_wherever_they_go(alt, tmp_path, live):
    figure = Figure()  # nothing in it, so that it is drawn at once
    tag = ElementTree.fromstring(image_tag(figure, alt=alt).replace(">", "/>", 1).replace("//>", "/>"))
    assert (tag.tag, tag.get("alt")) == ("img", alt)
    root = ElementTree.parse(saved(figure, tmp_path / "a.svg", alt=alt)).getroot()
    assert root.find(f"{SVG}desc").text == alt and root.find(f"{SVG}title").text
    picture = ElementTree.fromstring(live.svg([live.text(5, 50, alt)], alt=alt))
    assert picture.get("aria-label") == alt
    assert [t.text for t in picture.iter(f"{SVG}text")][-1] == alt
    assert not list(picture.iter(f"{SVG}script")) + list(picture.iter(f"{SVG}img"))


def test_a_saved_figure_names_itself_by_its_first_sentence(tmp_path):
    figure, _ = example()
    path = saved(figure, tmp_path / "a.svg", alt="A flat line at 2.5 µmol. It stays flat.")
    root = ElementTree.parse(path).getroot()
    assert root.get("role") == "img" and root.get("aria-labelledby") == "title desc"
    assert root.find(f"{SVG}title").text == "A flat line at 2.5 µmol"
    assert root.find(f"{SVG}desc").text == "A flat line at 2.5 µmol. It stays flat."


def test_checks_of_workbooks_compare_the_words_and_not_the_picture(monkeypatch):
    nbval = pytest.importorskip("nbval.plugin")
    patterns = nbval.get_sanitize_patterns((Path(__file__).parent / "nbval.cfg").read_text(encoding="ascii"))
    assert len(patterns) >= 4
    shown = []
    monkeypatch.setattr("IPython.display.display", shown.append)

    def compared(end, alt):
        figure, axes = example()
        axes.plot([0, 10], [0, end])
        show(figure, alt=alt)
        text = shown.pop().data
        for pattern, replacement in patterns:
            text = re.sub(pattern, replacement, text)
        return text

    assert compared(80, "Up to 80 µmol") == compared(81, "Up to 80 µmol")
    assert compared(80, "Up to 80 µmol") != compared(80, "Up to 81 µmol")
    assert len(compared(80, "Up to 80 µmol")) < 250  # the picture itself, some ten thousand letters, is not in it


def test_a_figure_on_a_page_keeps_its_distance_and_its_shape():
    tag = image_tag(new_figure(5, 3)[0], alt="Empty.")
    style = re.search(r'style="([^"]*)"', tag)[1]
    for words in ("margin:8px 0", "border-radius:8px", "background:#fff", "max-width:100%", "height:auto"):
        assert words in style
    # 5 x 3 inches are 480 x 288 px, and with "border-box" the 8 px of white on every side count.
    assert 'width="496" height="304"' in tag and "padding:8px" in style and "border-box" in style


def test_nothing_shines_through_a_bar(live):
    # 30 % of #0072B2 on white, by hand: 255 x 0.7 = 178.5; 255 - 141 x 0.3 = 212.7; 255 - 77 x 0.3 = 231.9.
    assert MAIN.pale in ("#B2D5E8", "#B3D5E8")
    bar = live.box(1, 5, 0, 50, MAIN)
    assert f'fill="{MAIN.pale}"' in bar and "opacity" not in bar
    assert "fill-opacity" in live.band(1, 5)


def test_a_hatched_area_brings_its_hatching(live):
    hatched = dataclasses.replace(MAIN, hatched=True)
    area = live.area([1, 5], [0, 0], [50, 60], hatched)
    text = live.svg([area, area], alt="An area.")
    ids, uses = ids_and_uses(text)
    assert set(uses) <= set(ids) and len(ids) == len(set(ids)) and text.count("<pattern") == 1
    assert "<pattern" not in live.svg([live.area([1, 5], [0, 0], [50, 60], MAIN)], alt="An area.")
    figure, axes = example()
    axes.fill_between([1, 5], [0, 0], [50, 60], **hatched.fill)
    assert "<pattern" in figure_svg(figure)


def test_words_can_stand_below_and_in_lines(live):
    ((_, down),) = live.points([5], [50])

    def heights(text, **place):
        return [float(y) for y in re.findall(r' y="([-\d.]+)"', live.text(5, 50, text, **place))]

    assert heights("one")[0] < down < heights("one", below=True)[0]
    first, second = heights("one\ntwo", below=True)
    assert down < first < second and second - first > 12  # lines of size 12 do not touch
    assert heights("one\ntwo")[1] == heights("one")[0]


@pytest.mark.parametrize("pattern", ["<Figure size 640x480 with 1 Axes>", 'model_id":"' + "0a" * 16 + '"'])
def test_what_differs_between_runs_is_masked(pattern):
    text = (Path(__file__).parent / "nbval.cfg").read_text(encoding="ascii")
    patterns = re.findall("^regex: (.*)$\n^replace: (.*)$", text, flags=re.MULTILINE)
    assert sum(bool(re.search(regex, pattern)) for regex, _ in patterns) == 1


@pytest.mark.parametrize("scale, low", [("linear", 0.0), ("log", 1e-2)])
def test_curves_lie_where_matplotlib_draws_them(scale, low):
    x, y = np.linspace(0, 10, 12), np.geomspace(0.05, 90, 12)
    figure, axes = example(scale, low)
    ours = LivePicture(figure, axes).points(x, y)
    axes.plot(x, y, gid="curve")
    with matplotlib.rc_context({"path.simplify": False}), pytest.MonkeyPatch.context() as patch:
        patch.setitem(look.STYLE, "path.simplify", False)
        drawn = figure_svg(figure)
    path = re.search(r'<g id="curve">\s*<path d="([^"]*)"', drawn)[1]
    theirs = np.array(re.findall(r"[ML] ([-\d.]+) ([-\d.]+)", path), dtype=float)
    assert theirs.shape == (12, 2)
    assert np.abs(ours - theirs).max() < TENTH
    # The tolerance would notice a curve that is off by its own line width.
    assert TENTH < MAIN.width


def test_a_missing_number_breaks_a_curve_and_hides_a_point(live):
    assert live.line([0, 1, 2, 3, 4], [1, 2, np.nan, 4, 5]).count("M") == 2
    assert live.line([np.nan], [1]).count("M") == 0
    assert live.line([], []).count("M") == 0
    assert live.marker(np.nan, 1) == live.text(1, np.inf, "no") == live.band(np.nan, 2) == ""


def test_far_away_and_impossible_numbers_stay_finite():
    picture = LivePicture(*example("log", 1e-2))
    text = picture.svg(
        [picture.line([0, 1e300, -1e300, 5], [0, -3, 1e300, 1e-300]), picture.band(-1e12, 1e12)], alt="Far."
    )
    assert not re.search(r"nan|inf|\de\+", text)
    ElementTree.fromstring(text)


def test_quantities_are_refused_because_their_unit_would_be_lost(live):
    hours = Q(np.array([1.0, 2.0]), "h")
    for refused in (
        lambda: live.marker(Q(1, "h"), 50),
        lambda: live.line(hours, [1, 2]),
        lambda: live.area([1, 2], [1, 2], Q([1, 2], "")),
        lambda: live.box(0, Q(5, "percent"), 0, 1),
    ):
        with pytest.raises(UnitProblem, match="m_as"):
            refused()


def test_everything_drawn_anew_is_clipped_to_the_axes():
    figure, axes = example()
    picture = LivePicture(figure, axes)
    root = ElementTree.fromstring(picture.svg([picture.band(-5, 5), picture.level(50, LIMIT)], alt="A band."))
    (group,) = [g for g in root.findall(f"{SVG}g") if g.get("clip-path")]
    assert [child.tag for child in group] == [f"{SVG}rect", f"{SVG}path"]
    mark = group.get("clip-path")[5:-1]
    (clip,) = [c for c in root.iter(f"{SVG}clipPath") if c.get("id") == mark]
    corner = picture.points([0], [100])[0]
    assert float(clip[0].get("x")) == pytest.approx(corner[0], abs=TENTH)
    assert float(clip[0].get("y")) == pytest.approx(corner[1], abs=TENTH)


def test_two_pictures_on_a_page_do_not_share_names_and_leave_the_page_alone():
    texts = [LivePicture(*example(*kind)).svg([], alt="Empty.") for kind in (("linear", 0.0), ("log", 1e-2))]
    names = []
    for text in texts:
        ids, uses = ids_and_uses(text)
        assert uses and set(uses) <= set(ids)
        assert len(ids) == len(set(ids))
        assert "<style" not in text
        names.append(set(ids))
    assert not names[0] & names[1]
    assert LivePicture(*example()).svg([], alt="Empty.") == texts[0]


def test_tick_labels_keep_every_digit():
    figure, axes = example()
    axes.set_yticks([0.125, 33.3333], labels=["0.125", "33.3333"])
    root = ElementTree.fromstring(LivePicture(figure, axes).svg([], alt="Empty."))
    assert {"0.125", "33.3333"} <= {"".join(text.itertext()) for text in root.iter(f"{SVG}text")}


def test_a_live_picture_scales_with_its_page(live):
    root = ElementTree.fromstring(live.svg([], alt="Empty."))
    assert root.get("viewBox") == "0 0 460.8 288" and root.get("width") is None
    assert "width:100%" in root.get("style") and "max-width:614px" in root.get("style")


def test_dashes_grow_with_the_width_of_the_line_as_in_matplotlib(live):
    figure, axes = new_figure()
    (line,) = axes.plot([0, 1], [0, 1], **LIMIT.line)
    written = re.search(r'stroke-dasharray="([^"]*)"', live.level(3, LIMIT))[1]
    assert [float(n) for n in written.split()] == pytest.approx(line._dash_pattern[1])
