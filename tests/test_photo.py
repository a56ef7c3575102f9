"""Concentration from a photograph: made pictures with a known truth, another library's sRGB, and slips of the camera."""

from pathlib import Path

import colour
import numpy as np
import pytest
from scipy.stats import t as student

from labkit.errors import LabError, RangeProblem
from labkit.uptake import calibration, photo_scale, read_photo
from labkit.uptake.photo import EXAMPLE, PhotoScale

BUNDLED = Path(__file__).resolve().parent.parent / "workbooks" / "data"
WHITE = np.array([236.0, 240.0, 243.0])
X = np.array([0, 2, 4, 6, 8, 10, 12.0])


def seen(x, e, white=WHITE):
    """Return whole red, green and blue of jars with absorbances e·x in the three parts, in the light on the white."""
    light = colour.models.eotf_sRGB(white / 255)  # an independent sRGB
    return np.rint(255 * colour.models.eotf_inverse_sRGB(light * 10 ** -np.outer(x, e))).astype(int)


def table(rgb, x=X, white=WHITE, more=()):
    lines = ["name;mg/L;red;green;blue", "white;;" + ";".join(f"{part:g}" for part in white)]
    lines += [f"S{place};{c:g};{r};{g};{b}" for place, (c, (r, g, b)) in enumerate(zip(x, rgb))]
    return "\n".join([*lines, *more])


@pytest.mark.parametrize(
    "e, best", [((0.001, 0.006, 0.03), "blue"), ((0.03, 0.006, 0.001), "red"), ((0.004, 0.03, 0.009), "green")]
)
def test_the_part_that_tells_most_is_taken_and_finds_the_truth(e, best):
    scale = photo_scale(table(seen(X, e)))
    assert scale.channel == best and not scale.curved
    for truth in (3.0, 7.0, 11.0):
        (rgb,) = seen([truth], e)
        found = scale.concentration(rgb)
        # A whole number of 255 leaves half a step, a depth of 0.002 of the 0.03 of a mg/L.
        assert (
            found.value.magnitude == pytest.approx(truth, abs=0.15)
            and found.low.magnitude <= truth <= found.high.magnitude
        )
    # log10(white / channel) of linear light, by the other library
    light = colour.models.eotf_sRGB(seen(X, e) / 255), colour.models.eotf_sRGB(WHITE / 255)
    place = ("red", "green", "blue").index(best)
    assert scale.depths == pytest.approx(np.log10(light[1][place] / light[0][:, place]), abs=1e-6)
    assert photo_scale(table(seen(X, e)), channel="green").channel == "green"


def test_the_error_is_that_of_standards_left_out():
    generator = np.random.default_rng(5)
    rgb = seen(X, (0.001, 0.006, 0.03)) + generator.integers(-3, 4, (X.size, 3))
    scale = photo_scale(table(rgb), channel="blue")
    assert not scale.curved
    errors = []
    for place in range(X.size):
        rest = np.arange(X.size) != place
        slope, height = np.polyfit(X[rest], scale.depths[rest], 1)
        errors.append((scale.depths[place] - height) / slope - X[place])
    assert scale.error == pytest.approx(np.sqrt(np.mean(np.square(errors))), rel=1e-9)
    found = scale.concentration(seen([7], (0.001, 0.006, 0.03))[0], dilution=5)
    assert (found.high - found.low).magnitude == pytest.approx(
        2 * 5 * student.ppf(0.975, X.size - 2) * scale.error, rel=1e-9
    )
    assert "5-fold dilution" in " ".join(str(found).split())


def test_one_step_of_255_is_the_least_error():
    scale = photo_scale(table(seen(X, (0.001, 0.003, 0.012))))
    steps = np.log10(colour.models.eotf_sRGB(np.arange(256) / 255)[1:])
    level = seen(X, (0.001, 0.003, 0.012))[:, 2].min()
    step = steps[level - 1] - steps[level - 2]
    assert scale.error >= 0.99 * step / 0.012


def test_a_broad_part_of_light_bends_and_a_curve_is_taken():
    depth = -np.log10(0.7 * 10 ** (-0.09 * X) + 0.3)
    light = colour.models.eotf_sRGB(WHITE / 255)
    rgb = np.rint(255 * colour.models.eotf_inverse_sRGB(light * 10 ** -np.outer(depth, (0.02, 0.2, 1)))).astype(int)
    scale = photo_scale(table(rgb), channel="blue")
    assert scale.curved
    middle = -np.log10(0.7 * 10 ** (-0.09 * 5) + 0.3)
    blue = int(np.rint(255 * colour.models.eotf_inverse_sRGB(light[2] * 10**-middle)))
    assert scale.concentration((200, 200, blue)).value.magnitude == pytest.approx(5, abs=0.4)


def test_it_is_much_wider_than_a_photometer():
    picture, line = (
        photo_scale(BUNDLED / "invented_photo_series.csv"),
        calibration(BUNDLED / "invented_standards_clean.csv"),
    )
    sample = line.concentration(line.line.predict(8.0)[0])
    wide = (sample.high - sample.low).magnitude
    assert (
        picture.wider_than(line) == pytest.approx(2 * picture.half_width / wide, rel=1e-9)
        and picture.wider_than(line) > 3
    )
    with pytest.raises(RangeProblem, match="both of one kind"):
        picture.wider_than(calibration("mmol/L;A\n0;0.003\n4;0.124\n8;0.249\n12;0.366\n16;0.490"))
    rows = read_photo(BUNDLED / "invented_photo_series.csv")
    place = rows.labels.index("supernatant, 5-fold")
    found = picture.concentration([int(rows[part][place]) for part in ("red", "green", "blue")])
    assert found.low.magnitude <= 9.4 <= found.high.magnitude  # drawn at 9.4 mg/L


def test_too_little_is_an_upper_bound():
    scale = photo_scale(EXAMPLE)
    nothing = scale.concentration((244, 243, 240))
    assert nothing.kind == "below" and not nothing.seen and nothing.upper.magnitude < scale.detection_limit().magnitude
    assert scale.concentration((244, 243, 240), dilution=4).upper.magnitude == pytest.approx(
        4 * nothing.upper.magnitude
    )


@pytest.mark.parametrize("text, words", [
    (table(seen(X, (0, 0.01, 0.03)), white=[255, 255, 255]), "red is over-exposed.*blue is over-exposed"),
    (table(seen(X, (0.4, 0.5, 0.6))), "nearly black"), (table(seen(X[:4], (0, 0.01, 0.03)), x=X[:4]), "5 standards or more"),
    (table(seen(X, (0, 0, 0))), "does not deepen"), (table(seen(X, (0.0, 0.01, 0.03))).replace("white;", "lid;"), "Add a row named “white”"),
])  # fmt: skip
def test_pictures_that_cannot_be_used_say_why(text, words):
    with pytest.raises(RangeProblem, match=words):
        photo_scale(text)


@pytest.mark.parametrize("sample, words", [
    ((240, 200, 5), "nearly black in blue"), ((255, 255, 255), "over-exposed"), ((200, 180, 120), "deeper in blue than the highest"), ("black", "no colour"),
])  # fmt: skip
def test_samples_that_cannot_be_read_say_why(sample, words):
    with pytest.raises(LabError, match=words):
        photo_scale(EXAMPLE).concentration(sample)
    with pytest.raises(RangeProblem, match="1 or more"):
        photo_scale(EXAMPLE).concentration((240, 231, 187), dilution=0.1)


def test_a_sample_that_is_no_jar_of_this_picture_is_refused():
    scale = photo_scale(EXAMPLE)
    for sample in ((244, 243, 252), (244, 243, 250)):
        with pytest.raises(RangeProblem, match="brighter in blue than the white"):
            scale.concentration(sample)
    with pytest.raises(RangeProblem, match="paler in blue than a jar with none"):
        # jars of tinted glass: one of clear glass is paler than their blank
        photo_scale(table(seen(X, (0.001, 0.006, 0.03), np.full(3, 200.0)), white=np.full(3, 250.0))).concentration(
            (245, 245, 245)
        )
    for channel in ("purple", 3):
        with pytest.raises(LabError, match="red, green, blue"):
            photo_scale(EXAMPLE, channel=channel)
    for dilution in ([1, 2], "20 %", "5 ± 4", "ten"):
        with pytest.raises(LabError, match="[Aa] dilution"):
            scale.concentration((240, 231, 187), dilution=dilution)


def test_a_doubtful_dilution_raises_an_upper_bound():
    scale = photo_scale(EXAMPLE)
    exact, rough = (
        scale.concentration((244, 243, 240), dilution=dilution).upper.magnitude for dilution in (10, "10 ± 1")
    )
    assert rough == pytest.approx(1.1959964 * exact, rel=1e-6)  # 1.96 standard uncertainties, of a tenth each
    size, doubtful = (scale.concentration((240, 231, 187), dilution=dilution) for dilution in (10, "10 ± 1"))
    far = np.hypot((size.high - size.value).magnitude, 1.959964 * size.value.magnitude / 10)
    assert (doubtful.high - doubtful.value).magnitude == pytest.approx(far, rel=1e-6)


def test_a_white_that_is_darker_than_the_jars_is_doubted():
    assert "The white is darker in blue" in " ".join(
        str(photo_scale(EXAMPLE.replace("246;245;243", "246;240;180"))).split()
    )
    assert "darker" not in str(photo_scale(EXAMPLE))


def test_a_sample_below_a_curve_that_bends_up_is_not_above_the_highest():
    # Its lowest point lies below the standards; a colour paler than that is none, and not too much.
    scale = PhotoScale(
        "blue", np.array([1.0, 3, 5, 7]), np.zeros(4), (), (0.01, 0.004, 0.05), 0.5, "mg/L", (240, 240, 240), {}, {}
    )
    pale = int(np.rint(255 * colour.models.eotf_inverse_sRGB(colour.models.eotf_sRGB(240 / 255) * 10**-0.03)))
    found = scale.concentration((200, 200, pale))
    assert found.kind == "below" and not found.seen


@pytest.mark.parametrize("truth", [6.0, 10.0])
def test_intervals_hold_what_they_promise(truth):
    generator, e, held, runs = np.random.default_rng(3), (0.001, 0.006, 0.03), 0, 150
    for _ in range(runs):
        rgb, sample = (seen(x, e) + np.rint(generator.normal(0, 2, (len(x), 3))).astype(int) for x in (X, [truth]))
        found = photo_scale(table(rgb)).concentration(sample[0])
        held += found.low.magnitude <= truth <= found.high.magnitude
    assert held >= 0.9 * runs  # 142 of 150 expected, with a standard deviation of 2.7


def test_dark_standards_are_left_out_and_told():
    x = np.array([0, 2, 4, 6, 8, 10, 12, 90.0])
    scale = photo_scale(table(seen(x, (0.001, 0.004, 0.03)), x=x), channel="blue")
    assert scale.depths.size == 7 and "1 standard is" in str(scale) and "left out" in str(scale).replace("\n", " ")


def test_white_may_be_typed_and_the_light_drops_out():
    e = (0.001, 0.006, 0.03)
    typed = photo_scale(table(seen(X, e)).replace("white;", "lid;"), white="236 240 243")
    assert typed.error == pytest.approx(photo_scale(table(seen(X, e))).error)
    # Warmer light on the same jars: all channels change by a factor, and the depths stay.
    warm = np.array([244.0, 226.0, 190.0])
    other = photo_scale(table(seen(X, e, warm), white=warm))
    assert other.depths == pytest.approx(typed.depths, abs=0.004)  # half a step of 255
