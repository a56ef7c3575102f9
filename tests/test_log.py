"""Kiln logs of many kinds: nothing is dropped silently, nothing guessed silently; and what a log is worth."""

import datetime
import re
import time
from pathlib import Path

import numpy as np
import pytest
from helpers import Tags, assert_close
from hostile import GROWING, HOSTILE
from hypothesis import given, settings
from hypothesis import strategies as st

from labkit.data import value
from labkit.errors import ChoiceProblem, LabError, RangeProblem, ReadingProblem, UnitProblem
from labkit.heat.clock import times_read
from labkit.heat.kiln import Kiln, course, cycles
from labkit.heat.log import LEVELS, LISTED, HeatReport, heat_report, printed_times
from labkit.heat.logfile import log_columns, read_log
from labkit.heat.probe import probe_tolerance, probe_voltage, probes
from labkit.heat.schedule import schedule
from labkit.heat.trace import Trace
from labkit.units import Q, Range

INVENTED = Path(__file__).parent.parent / "workbooks" / "data" / "invented_firing_log.csv"
COURSE = [(0, 20.5), (1, 31.0), (2, 40.25), (3, 55.5)]  # minutes, °C of most logs below
START = datetime.datetime(2026, 5, 30, 23, 58)


def pasted(form, heading="", course=COURSE):
    """Return a log with a row for each reading; ``form`` is given the stamp, the minutes and the temperature."""
    rows = [form(START + datetime.timedelta(minutes=minute), minute, celsius) for minute, celsius in course]
    return "\n".join([heading, *rows] if heading else rows) + "\n"


def comma(number):
    return f"{number}".replace(".", ",")


SAME = {  # every way of writing one and the same course
    "semicolons": (pasted(lambda s, m, c: f"{m};{c}", "min;°C"), {}),
    "decimal comma": (pasted(lambda s, m, c: f"{comma(m)};{comma(c)}", "min;°C"), {}),
    "commas": (pasted(lambda s, m, c: f"{m},{c}", "Time (min),Temp (C)"), {}),
    "tabs": (pasted(lambda s, m, c: f"{m}\t{comma(c)}", "min\t°C"), {}),
    "blanks": (pasted(lambda s, m, c: f"  {m}   {comma(c)}", "min  °C"), {}),
    "no heading": (pasted(lambda s, m, c: f"{m};{c}"), {"time_unit": "min", "unit": "°C"}),
    "hours": (pasted(lambda s, m, c: f"{m / 60};{c}", "hours;°C"), {}),
    "seconds": (pasted(lambda s, m, c: f"{m * 60};{c}", "t / s;T / °C"), {}),
    "iso": (pasted(lambda s, m, c: f"{s.isoformat()};{c}", "time;°C"), {}),
    "iso, zone": (pasted(lambda s, m, c: f"{s.isoformat()}+02:00;{c}", "time;°C"), {}),
    "iso, zone changes": (pasted(lambda s, m, c: f"{s}Z;{c}" if m < 2 else f"{s + datetime.timedelta(hours=2)}+02:00;{c}", "time;°C"), {}),
    "iso, blanks": (pasted(lambda s, m, c: f"{s} {comma(c)}"), {}),
    "day first": (pasted(lambda s, m, c: f"{s:%d.%m.%Y %H:%M:%S};{comma(c)}", "Zeit;Ofen °C"), {}),
    "month first, pm": (pasted(lambda s, m, c: f"{s:%m/%d/%Y %I:%M %p},{c}", "time,°C"), {}),
    "date and clock apart": (pasted(lambda s, m, c: f"{s:%Y-%m-%d};{s:%H:%M:%S};{c}", "date;clock;°C"), {}),
    "clock over midnight": (pasted(lambda s, m, c: f"{s:%H:%M},{c}", "time,°C"), {}),
    "numbered rows": (pasted(lambda s, m, c: f"{m + 1},{s},{c}", "no,time,°C"), {}),
    "more columns": (pasted(lambda s, m, c: f"{m};{c + 9};{c};21.5", "min;set °C;kiln °C;room °C"), {}),
    "column by name": (pasted(lambda s, m, c: f"{m};{c + 9};{c}", "min;upper °C;lower °C"), {"column": "Lower"}),
    "column by number": (pasted(lambda s, m, c: f"{m};{c + 9};{c}"), {"column": 3, "time_unit": "min"}),
    "fahrenheit": (pasted(lambda s, m, c: f"{m};{c * 1.8 + 32}", "min;Temp (F)"), {}),
    "kelvin, told": (pasted(lambda s, m, c: f"{m};{c + 273.15}", "min;kiln"), {"unit": "K"}),
    "type k is no kelvin": (pasted(lambda s, m, c: f"{m};{c}", "min;type K °C"), {}),
    "units in a line of their own": (pasted(lambda s, m, c: f"{m}\t{c * 1.8 + 32}", "A firing (invented)\n\ntime\tkiln\nmin\t°F"), {}),
    "quoted": (pasted(lambda s, m, c: f'"{s}","{comma(c)}"', '"time","°C"'), {}),
    "trailing separator": (pasted(lambda s, m, c: f"{m};{c};", "min;°C;"), {}),
    "exponents": (pasted(lambda s, m, c: f"{m};{c:.6e}", "min;°C"), {}),
    "blank lines": (pasted(lambda s, m, c: f"{m};{c}\n\n   ", "\n\nmin;°C"), {}),
    "old line ends": (pasted(lambda s, m, c: f"{m};{c}", "min;°C").replace("\n", "\r"), {}),
    "dos": (pasted(lambda s, m, c: f"{m};{c}", "min;°C").replace("\n", "\r\n").encode(), {}),
    "utf-8 with a mark": (pasted(lambda s, m, c: f"{m};{c}", "min;°C").encode("utf-8-sig"), {}),
    "utf-16": (pasted(lambda s, m, c: f"{m};{c}", "min;°C").encode("utf-16"), {}),
    "utf-16 without a mark": (pasted(lambda s, m, c: f"{m};{c}", "min;°C").encode("utf-16-be"), {}),
    "latin-1": (pasted(lambda s, m, c: f"{m};{c}", "min;°C").encode("latin-1"), {}),
    "out of order": (pasted(lambda s, m, c: f"{m};{c}", "min;°C", [COURSE[i] for i in (0, 2, 1, 3)]), {}),
}  # fmt: skip


@pytest.mark.parametrize("case", SAME)
def test_every_way_of_writing_a_log_gives_the_same_trace(case):
    source, told = SAME[case]
    log = read_log(source, **told)
    assert log.counts["rows"] == log.counts["kept"] == 4
    assert log.trace.minutes == pytest.approx([minute for minute, _ in COURSE], abs=1e-5)
    assert log.trace.celsius == pytest.approx([celsius for _, celsius in COURSE], abs=1e-3)


def test_a_log_may_be_a_path(tmp_path):
    path = tmp_path / "firing log.csv"
    path.write_text(SAME["decimal comma"][0], encoding="utf-8")
    for source in (path, str(path), path.read_bytes(), bytearray(path.read_bytes())):
        assert len(read_log(source).trace) == 4
    for source in (tmp_path, tmp_path / "none.csv", "none.csv", "", "\n", b"", "a\x00b"):
        with pytest.raises(ReadingProblem):
            read_log(source)
    for source in (None, 5, ["0;20"], COURSE):
        with pytest.raises(UnitProblem):
            read_log(source)


def test_millivolts_are_turned_with_their_junction():
    course = [(m, float(probe_voltage(Q(c, "degC"), "20 °C").magnitude)) for m, c in COURSE]
    text = pasted(lambda s, m, c: f"{m};{c:.6f}", "min;mV", course)
    for told in ({}, {"junction": "20 °C"}, {"junction": "68 °F", "unit": "mV"}):
        assert read_log(text, **told).trace.celsius == pytest.approx([c for _, c in COURSE], abs=0.001)
    assert "guess" in read_log(text).words() and "guess" not in read_log(text, junction="20 °C").words()
    assert read_log(text, junction="0 °C").trace.celsius[0] == pytest.approx(0.5, abs=0.02)  # 20 K less, near 0 °C
    with pytest.raises(RangeProblem):
        read_log(text, junction="500 °C")


def test_dates_that_can_be_read_two_ways_are_refused():
    def dated(*days):
        return "\n".join(f"{day} 12:00;{20 + i}" for i, day in enumerate(days))

    for days in (("03/04/2026", "04/04/2026"), ("3.4.26", "4.4.26"), ("26/03/01", "27/03/01", "28/03/02"), ("13/04/2026", "04/13/2026")):  # fmt: skip
        with pytest.raises(ReadingProblem, match="can't be told apart"):
            read_log(dated(*days))
    assert read_log(dated("03/04/2026", "04/04/2026"), day_first=True).trace.duration == Q(1440, "min")
    assert read_log(dated("03/04/2026", "04/04/2026"), day_first=False).trace.duration == Q(31 * 1440, "min")
    assert read_log(dated("31/03/2026", "01/04/2026")).trace.duration == Q(1440, "min")
    assert "no month is above 12" in read_log(dated("31/03/2026", "01/04/2026")).words()
    assert read_log("3/4/2026 12:00;20\n3/4/2026 12:05;21").trace.duration == Q(5, "min")  # one day: no matter
    assert read_log(dated("29.2.2028", "1.3.2028")).trace.duration == Q(1440, "min")  # a leap year


def test_midnight_pauses_and_rows_out_of_order():
    def minutes(*clock):
        return times_read(np.array([text.encode() for text in clock]), "clock")[0].tolist()

    assert minutes("23:59", "00:01", "11:00", "22:00", "00:01") == [1439, 1441, 2100, 2760, 2881]
    assert minutes("23:58", "00:00", "23:59", "00:01") == [1438, 1440, 1439, 1441]
    assert minutes("08:00", "21:00", "23:00", "00:01") == [480, 1260, 1380, 1441]
    assert minutes("23:00", "25:00", "26:30:30") == [1380, 1500, 1590.5]  # time since the start
    assert minutes("11:59 PM", "12:00 AM", "12:01 a.m.") == [1439, 1440, 1441]
    assert np.isnan(minutes("10:00", "99:00", "10:61", "10:02")[1:3]).all()


def test_what_cannot_be_told_apart_is_asked_for():
    for text, words in {
        "0;20\n1;30\n": "time_unit",
        "min,°C\n0,5,551,2\n1,5,552,2\n": "semicolons",
        "min;upper °C;lower °C\n0;20;30\n1;21;31\n": "column=2",
        "0;20;30\n1;21;31\n": "column=2",
        "a\nb\nc": "No line has a time",
        "min;°C\n0;20\n": "at least two",
        "min;°C\n0;20\n1;n/a\n2;9999\n": "impossible reading",
    }.items():
        with pytest.raises(ReadingProblem, match=words):
            read_log(text)
    with pytest.raises(ReadingProblem, match="no column 5"):
        read_log("min;°C\n0;20\n1;21", column=5)
    for wrong in ({"unit": "parsec"}, {"time_unit": "week"}):
        with pytest.raises(ChoiceProblem):
            read_log("min;°C\n0;20\n1;21", **wrong)
    assert "nothing says otherwise" in read_log("min;kiln\n0;20\n1;21").words()
    assert "though its heading says °F" in read_log("min;°F\n0;20\n1;21", unit="°C").words()


def test_every_row_left_out_is_listed_with_its_reason():
    text = "min;°C\n0;20\n2;22\n1;21\n3;23\n3;23\n4;900\n5;24\n6;25\n7;26\n8;-999\n9;9999\n10\n;5\n11;\n12;abc\n13;n/a\n14;1_0\n60;30\n61;30"
    log = read_log(text)
    assert [(skipped.row, skipped.reason) for skipped in log.skipped] == [
        (6, "same time again"), (7, "spike"), (11, "impossible reading"), (12, "impossible reading"), (13, "too few columns"),
        (14, "time not understood"), (15, "no reading"), (16, "reading not understood"), (17, "no reading"), (18, "reading not understood"),
    ]  # fmt: skip
    assert log.skipped[1].text == "4;900"
    assert log.counts["rows"] == 19 and log.counts["kept"] == 9 and log.counts["out of order"] == 1
    assert [tuple(end.magnitude for end in gap) for gap in log.gaps] == [(7, 60)]
    assert_close(log.trace.gap_time, Q(53, "min"), within=Q(1e-9, "min"))
    for word in (
        "19 rows read, 9 kept, 10 left out",
        "900 °C in line 7",
        "1 row stood out of order",
        "53 min not counted",
    ):
        assert word in log.words()
    assert "19 rows" in Tags(log._repr_html_()).plain


def test_all_rows_left_out_are_counted_though_not_all_are_listed():
    rows = [f"{minute};{'n/a' if minute % 2 else 20}" for minute in range(5000)]
    log = read_log("\n".join(["min;°C", *rows]))
    assert log.counts["reasons"] == {"no reading": 2500} and len(log.skipped) == LISTED
    assert not log.gaps  # a usual step of two minutes now


def test_a_spike_is_one_reading_and_the_rule_can_be_changed():
    def kept(celsius, **told):
        return read_log("min;°C\n" + "\n".join(f"{m};{c}" for m, c in enumerate(celsius)), **told).counts["kept"]

    assert kept([550, 551, 700, 551, 550, 550]) == 5
    assert kept([550, 551, 400, 551, 550, 550]) == 5
    assert kept([550, 551, 700, 551, 550, 550], spike_rate="200 °C/min") == 6
    assert kept([550, 551, 700, 701, 702, 703]) == 6  # jumps away and stays
    assert kept([550, 551, 700, 700, 551, 550]) == 6  # two readings are no spike
    assert kept([550, 551, 700, 551, 701, 550, 551, 550]) == 6  # to and fro: the two that are far off
    assert kept([20, 25, 20, 25, 20, 25]) == 6  # noise
    assert kept([550, 551, 590, 551, 550, 550]) == 6  # 39 K in a minute: a kiln may


CELL = st.one_of(
    st.integers(-2000, 2000).map(str), st.floats(-100, 1500).map(lambda number: f"{number:.2f}"),
    st.sampled_from(["", "n/a", "-", "nan", "inf", "1e5", "1e999", "0x10", "1_0", "--1", "1-2", "12:30", "2026-05-01 10:00", "°C", '"', '"5"', "5 5"]),
    st.text(alphabet=st.characters(exclude_characters="\n\r", exclude_categories=["Cs"]), max_size=8),
)  # fmt: skip
ROW = st.one_of(st.lists(CELL, min_size=1, max_size=4).map(";".join), st.tuples(st.integers(0, 999), st.floats(0, 1300)).map(lambda row: f"{row[0]};{row[1]:.1f}"))  # fmt: skip


@settings(max_examples=150)
@given(st.lists(ROW, max_size=30))
def test_rows_kept_and_rows_left_out_add_up_to_the_rows_there_are(rows):
    text = "min;°C\n0;20\n1;21\n" + "\n".join(rows)
    try:
        log = read_log(text)
    except ReadingProblem:  # the first rows no longer decide what kind of log it is
        return
    lines = text.encode().split(b"\n")
    first = next(place for place, line in enumerate(lines) if line == b"0;20")
    if "The first line is its heading." not in log.notes:
        return
    there = [line for line in lines[first:] if any(sign > 32 for sign in line)]
    counts = log.counts
    assert counts["rows"] == len(there) == counts["kept"] + counts["skipped"]
    assert counts["kept"] == len(log.trace) and counts["skipped"] == len(log.skipped) == sum(counts["reasons"].values())
    assert all(lines[skipped.row - 1].decode()[:200] == skipped.text for skipped in log.skipped)


def test_hostile_text_ends_in_a_kind_word_or_in_rows_left_out():
    assert len(HOSTILE) > 100
    good = "min;°C\n0;20\n1;21\n"
    trace = read_log(good).trace
    ways = [
        read_log,
        lambda t: read_log(f"{t}\n{good}2;{t}\n{t};22\n{t}\n"),
        lambda t: read_log(f"{t};{t}\n0;20\n1;21\n", time_unit="min"),
        lambda t: read_log(good, column=t),
    ]
    told = [lambda t, name=name: read_log(good, **{name: t}) for name in ("unit", "time_unit", "junction", "spike_rate", "shortest_gap", "day_first")]  # fmt: skip
    told += [lambda t, name=name: heat_report(trace, **{name: t}) for name in ("window", "lost", "probe", "hold")]
    for place, text in enumerate(HOSTILE):
        # The arguments go through few readers, which see all texts elsewhere.
        for ask in [*ways[:2], ways[2 + place % 2], *told[place % 5 :: 5]]:
            try:
                ask(text)
            except LabError:
                pass


@pytest.mark.parametrize("piece", GROWING)
def test_long_text_takes_no_longer_than_its_length(piece):
    start = time.perf_counter()
    for text in (piece * 30_000, "min;°C\n0;20\n1;21\n" + piece * 30_000, (piece + ";5\n") * 3000):
        try:
            read_log(text)
        except LabError:
            pass
    assert time.perf_counter() - start < 3


def test_a_long_log_is_read_at_once():
    seconds = np.arange(100_000)
    text = "s;°C\n" + "\n".join(f"{s};{20 + s % 500 / 10:.1f}" for s in seconds)
    start = time.perf_counter()
    log = read_log(text)
    assert time.perf_counter() - start < 1.5  # 0.1 s on an idle machine; the benchmark has a million
    assert log.counts["kept"] == seconds.size


# ------------------------------------------------------------------------------- the invented firing
def test_the_invented_log_has_all_that_logs_have():
    log = read_log(INVENTED)
    assert log.counts["rows"] == 393 and log.counts["out of order"] == 2 and len(log.gaps) == 1
    assert log.counts["reasons"] == {"no reading": 1, "spike": 1}
    assert "(invented)" in INVENTED.read_text(encoding="utf-8").splitlines()[0]
    report = heat_report(log)
    assert report.verdict.level == "enough" and report.over.high.magnitude == 0
    # About 2 h to 560 °C, then about 2 h 40 min of holding: between that and the time on both slopes.
    assert 155 < report.inside.likely.magnitude < 190 and 555 < report.peak.likely.magnitude < 575


# --------------------------------------------------------------------------------------- the report
def firing(hold=120, top=550.0, counted=None):
    """A straight rise to the top in 100 min, a hold, and a straight fall in 100 min."""
    return Trace([0, 100, 100 + hold, 200 + hold], [20, top, top, 20], counted)


@pytest.mark.parametrize("trace, level", [
    (firing(180), "enough"), (firing(60), "too short"), (firing(118, 520.0), "may be enough"), (firing(115, 525.0), "may be enough"),
    (firing(180, 750.0), "too hot: lost"), (firing(180, 705.0), "may have been too hot"), (firing(180, 695.0), "may have been too hot"),
    (firing(180, counted=[True, False, True]), "cannot say"), (firing(600, 400.0, [True, False, True]), "cannot say"),
    (firing(60, 550.0, [True, False, True]), "cannot say"), (firing(8, 550.0, [True, False, True]), "too short"),
    (firing(180, 590.0), "hotter than the window"), (firing(180, 650.0), "hotter than the window"), (firing(180, 575.0), "may have been too hot"),
])  # fmt: skip
def test_each_verdict(trace, level):
    # An unknown probe is ±10.5 to ±14 K here: far from every limit but where "may" is the word.
    assert level in LEVELS
    verdict = heat_report(trace).verdict
    assert verdict.level == level and str(verdict).startswith(level.replace(": ", ", and "))
    assert str(verdict).partition(". ")[0].count(":") == 1


def test_a_gap_during_which_it_could_have_been_too_hot():
    trace = Trace([0, 100, 250, 310, 400], [20, 550, 550, 550, 20], [True, True, False, True])
    assert heat_report(trace).verdict.level == "cannot say"  # 60 min at 5 K/min reach 700 °C and come back
    short = Trace([0, 100, 250, 260, 400], [20, 550, 550, 550, 20], [True, True, False, True])
    assert heat_report(short).verdict.level == "enough"
    while_cold = Trace([0, 50, 110, 210, 360, 460], [20, 25, 25, 550, 550, 20], [True, False, True, True, True])
    assert heat_report(while_cold).verdict.level == "enough"


def test_a_report_by_hand():
    # Class 2 at 520 °C is ±3.9 K, a share of 0.75 %: read as r, the truth is between 0.9925 r and 1.0075 r.
    report = heat_report(firing(180), probe="IEC class 2")
    rate = 530 / 100

    def inside(share):  # both slopes from 520 °C to the top, and the hold
        return 180 + 2 * (550 - 520 / share) / rate

    for end, share in zip(report.inside.ends, (0.9925, 1, 1.0075)):
        assert_close(end, Q(inside(share), "min"), within=Q(1e-6, "min"))
    assert_close(report.peak.high, Q(550 * 1.0075, "degC"), within=Q(1e-9, "K"))
    assert_close(report.heating.likely, Q(rate, "delta_degC/min"), relative=1e-9)
    assert report.verdict.level == "enough" and isinstance(report, HeatReport)
    for text in (str(report), Tags(report._repr_html_()).plain):
        assert "inside 520 to 580 °C" in text and "enough" in text and "IEC class 2" in text
    assert "gas" in report.cautions().lower()
    bare = heat_report(firing(180), probe=None)
    assert bare.inside.low == bare.inside.high and "without the tolerance" in str(bare)


def test_the_tolerance_at_every_grade_only_widens():
    trace = firing(150, 556.0)
    plain = heat_report(trace, probe=None)
    for grade in probes():
        report = heat_report(trace, probe=grade)
        for name in ("inside", "longest", "above", "over", "peak", "heating", "cooling"):
            span, middle = getattr(report, name), getattr(plain, name).likely
            assert span.low <= span.likely == middle <= span.high
        assert_close(report.peak.high - report.peak.likely, probe_tolerance("556 °C", grade), within=Q(1e-9, "K"))


def test_what_was_asked_for_is_used():
    trace = firing(60, 620.0)
    cooler = firing(60, 480.0)
    assert heat_report(cooler, window="460 to 500 °C", hold="1 h", probe="IEC class 1").verdict.level == "enough"
    assert heat_report(cooler, window=("460 °C", Q(500, "degC")), hold="1 h", probe=None).verdict.level == "enough"
    wished = heat_report(trace, window="600 to 640 °C", hold="1 h", probe="IEC class 1").verdict  # powder is lost there
    assert wished.level == "may be enough" and "hydrogen cyanide" in wished.sentence
    assert heat_report(trace, lost="600 °C", probe=None).verdict.level == "too hot: lost"
    default = heat_report(trace)
    assert default.window[0] == value("firing", "window low").to("degC") and default.hold == value("firing", "hold")
    for wrong in ({"window": "580 to 520 °C"}, {"window": "520 °C"}, {"lost": "500 °C"}, {"probe": "the good one"}, {"hold": "0 h"}, {"window": "2 to 3 h"}):  # fmt: skip
        with pytest.raises(LabError):
            heat_report(trace, **wrong)
    with pytest.raises(UnitProblem):
        heat_report("firing.csv")
    blank = Trace([0, 100], [20, 550], [False])
    assert heat_report(blank).verdict.level in ("cannot say", "too short")


@given(st.lists(st.floats(0, 100_000), min_size=3, max_size=3).map(sorted))
def test_printed_times_round_the_low_end_down_and_the_high_end_up(ends):
    def minutes(text):
        parts = text.split()
        return sum(int(count) * {"h": 60, "min": 1, "s": 1 / 60}[unit] for count, unit in zip(parts[::2], parts[1::2]))

    low, likely, high = ends
    if low == high:
        return
    first, rest = printed_times(Range(*(Q(end, "min") for end in ends))).split(" to ")
    last, middle = rest.split(", likely ")
    tiny = 1e-6  # min: what counts as a whole minute
    assert low - 1 <= minutes(first) <= low + tiny and high - tiny <= minutes(last) <= high + 1
    assert abs(minutes(middle) - likely) <= 0.5 + tiny


@given(st.floats(300, 760), st.floats(1, 400), st.floats(0.5, 20))
def test_a_hotter_kiln_is_never_less_over_and_a_longer_hold_never_less_inside(top, hold, more):
    first, hotter, longer = (heat_report(trace) for trace in (firing(hold, top), firing(hold, top + more), firing(hold + more, top)))  # fmt: skip
    assert hotter.over.high >= first.over.high - Q(1e-9, "min")
    assert longer.inside.low >= first.inside.low - Q(1e-9, "min")
    if first.over.high.magnitude > 0:
        assert first.verdict.level in ("too hot: lost", "may have been too hot")


@given(count=st.integers(0, 40), stamped=st.booleans(), word=st.sampled_from(["n/a", "", "-", "nan", "---"]))
def test_rows_without_a_reading_at_the_start_are_rows_and_no_heading(count, stamped, word):
    times = [f"2026-05-31 14:{minute:02d}" if stamped else f"{minute}" for minute in range(count + 4)]
    readings = [word] * count + ["212", "392", "572", "752"]  # °F: 100, 200, 300 and 400 °C
    text = "min;°F\n" + "\n".join(f"{time};{reading}" for time, reading in zip(times, readings))
    log = read_log(text)
    assert log.counts["rows"] == count + 4 and log.counts["skipped"] == count
    assert log.trace.celsius.tolist() == pytest.approx([100, 200, 300, 400], abs=1e-9)


def test_a_row_left_out_says_where_it_stood_if_that_is_known():
    log = read_log("min;°C\n0;20\n1;21\n2;900\n3;22\n4;n/a\n5;23\nx;24\n6;24\n7;25")
    found = {one.reason: (one.minutes, one.celsius) for one in log.skipped}
    assert found == {"spike": (2.0, 900.0), "no reading": (4.0, None), "time not understood": (None, 24.0)}


# --------------------------------------------------------------- what a verdict must not call enough
def logged(points, step=1, head="min;°C", drop=(0, 0), instead=None, **told):
    """A log of straight lines through points (min, °C), without the rows inside ``drop``, and with other readings ``instead``."""
    minutes = np.arange(0, points[-1][0] + 1e-9, step)
    celsius = dict(zip(minutes.tolist(), np.interp(minutes, *zip(*points)))) | (instead or {})
    return read_log(
        "\n".join([head, *(f"{m:g};{c:.4f}" for m, c in celsius.items() if not drop[0] < m < drop[1])]), **told
    )


def held(top=550.0, hold=180):
    return [(0, 20), (100, top), (100 + hold, top), (200 + hold, 20)]


@pytest.mark.parametrize("points, probe", [
    ([(0, 20), (100, 550), (250, 550), (270, 680), (510, 680), (640, 20)], "unknown"), (held(650, 240), "unknown"), (held(687, 240), "ASTM special"),
    (held(590, 300), "unknown"), (held(600, 200), "IEC class 1"), ([(0, 20), (100, 550), (200, 550), (210, 605), (215, 550), (300, 550), (400, 20)], "IEC class 1"),
    ([(0, 20), (100, 550), (190, 550), (194, 590), (280, 590), (400, 20)], "IEC class 1"),  # 111 min inside, 89 min above: together long enough
])  # fmt: skip
def test_an_overheated_firing_is_never_enough_and_never_to_be_fired_again(points, probe):
    verdict = heat_report(logged(points), probe=probe).verdict
    assert verdict.level == "hotter than the window"
    assert "it again" not in verdict.sentence and "enough" not in verdict.sentence and "less powder" in verdict.sentence
    if max(celsius for _, celsius in points) > 592:
        assert "600 °C" in verdict.sentence and "hydrogen cyanide" in verdict.sentence


def test_every_hot_verdict_names_the_poison_and_the_row_is_there():
    for top in (620.0, 695.0, 750.0):
        report = heat_report(logged(held(top)))
        assert "hydrogen cyanide" in report.verdict.sentence and "under extraction" in report.verdict.sentence
        assert dict(report.rows())["above 600 °C"] != "0 min"
    # By hand: at 5.3 and 6 °C/min and 180 min, above 600 °C of 620 °C: 180 + 2 * 20/6 min
    report = heat_report(logged(held(620.0)), probe=None)
    assert_close(report.losing.likely, Q(180 + 2 * 20 / 6, "min"), within=Q(1e-6, "min"))


@pytest.mark.parametrize("step, drop", [(30, (100, 240)), (60, (130, 350))])
def test_a_long_pause_of_a_slow_log_is_a_gap(step, drop):
    log = logged(held(550, 360), step, drop=drop)
    assert len(log.gaps) == 1 and heat_report(log).verdict.level == "cannot say"
    whole = logged(held(550, 360), step)
    assert not whole.gaps
    verdict = heat_report(whole).verdict
    assert verdict.level == "may be enough" and f"only every {'30 min' if step == 30 else '1 h'}" in verdict.sentence
    assert heat_report(logged(held(550, 360), 15)).verdict.level == "enough"
    assert not logged(held(550, 360), step, drop=drop, shortest_gap="5 h").gaps  # as asked for


def test_a_log_without_a_rise_does_not_tell_how_fast_its_kiln_is():
    points = [(0, 550), (300, 550), (400, 20)]
    assert "passed 700 °C" in heat_report(logged(points, drop=(150, 210))).verdict.sentence
    assert heat_report(logged(points, drop=(150, 210))).verdict.level == "cannot say"
    # And one without a fall: an open kiln cools fast, which leaves more time to heat.
    assert heat_report(logged([(0, 20), (100, 550), (400, 550)], drop=(150, 180))).verdict.level == "cannot say"


def test_a_verdict_says_that_there_are_gaps():
    verdict = heat_report(logged(held(550, 240), drop=(150, 160))).verdict
    assert verdict.level == "enough" and "1 gap of 10 min is not counted" in verdict.sentence
    # 25 min at 5.3 up and down are 66 °C, so 627 °C with the probe: less powder, though not lost
    verdict = heat_report(logged(held(550, 240), drop=(150, 175))).verdict
    assert verdict.level == "may be enough" and "could have passed 600 °C" in verdict.sentence


@pytest.mark.parametrize("truth, junction, probe", [(506, "0 °C", "IEC class 1"), (514, "8 °C", "IEC class 1"), (550, "0 °C", "IEC class 1"), (540, "30 °C", "unknown")])  # fmt: skip
def test_a_junction_that_is_guessed_leaves_the_verdict_open(truth, junction, probe):
    minutes = np.arange(0, 501)
    volts = probe_voltage(Q(np.interp(minutes, *zip(*held(truth, 300))), "degC"), junction).magnitude
    text = "min;mV\n" + "\n".join(f"{m:g};{v:.5f}" for m, v in zip(minutes, volts))
    for told in ({}, {"junction": "0 to 45 °C, likely 20 °C"}):
        report = heat_report(read_log(text, **told), probe=probe)
        assert report.verdict.level == "cannot say" and "junction" in report.verdict.sentence
        assert report.peak.low < Q(truth, "degC") < report.peak.high
    sure = heat_report(read_log(text, junction=junction), probe=probe)
    assert "junction" not in sure.verdict.sentence
    assert sure.verdict.level == ("too short" if truth < 518 else "enough")
    near = heat_report(
        read_log(text, junction=f"{float(junction.split()[0])} to {float(junction.split()[0]) + 3} °C"), probe=probe
    )
    assert near.peak.high - near.peak.low > sure.peak.high - sure.peak.low and "junction" not in near.verdict.sentence


def test_a_batch_that_may_be_lost_is_not_fired_again_on_a_guessed_junction():
    minutes = np.arange(500)
    volts = probe_voltage(Q(np.interp(minutes, [0, 100, 400, 499], [45, 705, 705, 50]), "degC"), "45 °C").magnitude
    report = heat_report(read_log("min;mV\n" + "\n".join(f"{m};{v:.5f}" for m, v in zip(minutes, volts))))
    assert report.verdict.level == "may have been too hot" and "junction" in report.verdict.sentence
    assert "it again" not in report.verdict.sentence and "hydrogen cyanide" in report.verdict.sentence


def test_firing_again_is_under_a_loose_lid():
    verdict = heat_report(logged(held(550, 30))).verdict
    assert (
        verdict.level == "too short"
        and "under a loose lid, never sealed, outdoors or under extraction" in verdict.sentence
    )
    assert "needed" not in verdict.sentence and "usual (common practice)" in verdict.sentence
    assert "what was wanted" in heat_report(logged(held(550, 30)), hold="3 h").verdict.sentence


def test_enough_is_of_the_probe_and_of_one_stretch():
    verdict = heat_report(logged(held())).verdict
    assert (
        verdict.level == "enough"
        and "lags behind the probe" in verdict.sentence
        and "in one stretch" in verdict.sentence
    )
    points = [(0, 20), (100, 550)]
    for _ in range(4):  # at heat for 36 min and a little, four times
        points += [(points[-1][0] + 36, 550), (points[-1][0] + 50, 450), (points[-1][0] + 64, 550)]
    verdict = heat_report(logged([*points, (points[-1][0] + 100, 20)])).verdict
    assert verdict.level == "may be enough" and "but in pieces, the longest stretch 42 min or more" in verdict.sentence


@pytest.mark.parametrize("points, words", [
    ([(0, 550), (60, 550), (160, 20)], "The log begins hot"), ([(0, 20), (100, 550), (160, 550)], "The log ends hot"),
    ([(0, 550), (60, 550)], "The log begins and ends hot"),
])  # fmt: skip
def test_a_log_that_begins_or_ends_hot_is_not_too_short(points, words):
    verdict = heat_report(logged(points)).verdict
    assert verdict.level == "cannot say" and words in verdict.sentence
    longer = [(minute * 4, celsius) for minute, celsius in points]
    assert heat_report(logged(longer)).verdict.level == "may be enough"
    assert (
        heat_report(Trace([0, 100, 300], [20, 550, 550]), probe=None).verdict.level == "enough"
    )  # a plan just ends there


def test_hot_readings_that_were_left_out_are_in_the_verdict():
    verdict = heat_report(logged(held(), instead={150.0: 720})).verdict
    assert "A reading of 720 °C in line 152 was left out as a spike" in verdict.sentence
    log = logged(held(), instead={150.0: 1400, 151.0: 1401, 152.0: 1402, 153.0: 1400})
    verdict = heat_report(log).verdict
    assert (
        verdict.level == "may be enough"
        and "4 readings above 600 °C, the hottest 1402 °C in line 154" in verdict.sentence
    )
    assert [tuple(end.magnitude for end in gap) for gap in log.gaps] == [(149, 154)]  # not bridged as if it were known
    assert heat_report(logged(held(), instead={150.0: 430})).verdict.level == "enough"
    assert "left out" not in heat_report(logged(held(), instead={150.0: 430})).verdict.sentence


def test_a_unit_that_no_one_named_is_in_the_verdict():
    for head, told, level in (
        ("min;kiln", {}, "may be enough"),
        ("min;kiln", {"unit": "°C"}, "enough"),
        ("min;°C", {}, "enough"),
    ):
        verdict = heat_report(logged(held(), head=head, **told)).verdict
        assert verdict.level == level and ("No unit stands in the log" in verdict.sentence) == (level != "enough")


def test_time_above_the_window_is_told_where_it_does_not_decide():
    points = [(0, 20), (100, 550), (250, 550), (254, 590), (280, 590), (400, 20)]
    verdict = heat_report(logged(points), probe="IEC class 1").verdict
    assert verdict.level == "enough" and "above the window, where less powder stays" in verdict.sentence
    assert "above the window" not in heat_report(logged(held())).verdict.sentence


def test_a_peak_is_printed_outward():
    # 556 °C read by class 1: ±2.224 K
    assert dict(heat_report(firing(180, 556.0), probe="IEC class 1").rows())["peak"] == "553 to 559 °C, likely 556 °C"
    assert "never left alone" in heat_report(firing(180)).cautions()


def test_the_reader_itself_gives_no_verdict_when_most_rows_are_impossible():
    rows = "\n".join(f"{minute};{celsius}" for minute, celsius in enumerate([20, 30, 40, *[560] * 60]))
    log = read_log(f"min;°C\n{rows}", unit="mV", junction="20 °C")
    assert (
        log.unit == "mV"
        and log.impossible == "60 of 63 readings cannot be millivolts of type K; the heading says °C. Choose °C."
    )
    verdict = heat_report(log).verdict
    assert (verdict.level, verdict.sentence) == ("cannot say", log.impossible) and log.impossible in str(log.words())
    # An open probe: nothing is said against the heading, and half of the rows are not most.
    for broken, level in ((70, "cannot say"), (60, None)):
        open_probe = read_log("min;°C\n" + "\n".join(f"{n};{9999 if n < broken else 555}" for n in range(120)))
        assert bool(open_probe.impossible) == bool(level), broken
        assert "check the unit" in open_probe.impossible or not level


def test_a_unit_chosen_against_the_heading_stands_first_in_the_verdict():
    text = "min;°F\n" + "\n".join(
        f"{n};{c:.0f}" for n, c in enumerate(np.interp(range(200), [0, 30, 170, 199], [68, 1022, 1022, 400]))
    )
    sure, against = heat_report(read_log(text)), heat_report(read_log(text, unit="°C"))
    assert sure.verdict.level == "enough" and "heading" not in sure.verdict.sentence
    assert against.verdict.sentence.startswith("though the heading says °F, the readings were taken to be in °C")
    kelvin = heat_report(read_log(text.replace("°F", "°C"), unit="°F")).verdict
    assert "heading says °C" in kelvin.sentence and "fire it again" not in kelvin.sentence


def test_columns_are_those_with_numbers_beside_the_time():
    assert log_columns("min;upper °C;note;lower °C\n0;20;a;21\n1;30;b;31") == {2: "upper °C", 4: "lower °C"}
    assert log_columns("10:00 20 30\n10:01 25 31\n") == {2: "", 3: ""}


# ------------------------------------------------------------------ marks and times that can be read two ways
HELD = [(minute, np.interp(minute, [0, 100, 280, 380], [20, 550, 550, 20])) for minute in range(0, 381, 5)]


def fahrenheit(form, head="min;Temp (°F)", mark=","):
    return head + "\n" + "\n".join(form(m, f"{c * 1.8 + 32:,.0f}".replace(",", mark)) for m, c in HELD)


@pytest.mark.parametrize("text, shown", [
    (fahrenheit(lambda m, f: f"{m};{f}"), "1,022"), (fahrenheit(lambda m, f: f"{m};{f}", mark="."), "1.022"),
    (fahrenheit(lambda m, f: f'{m},"{f}"', "min,Temp (°F)"), "1,022"), (fahrenheit(lambda m, f: f'"{m}","{f}"', '"min","Temp (°F)"'), "1,022"),
    (fahrenheit(lambda m, f: f'{m},"{f}"' if "," in f else f"{m},{f}", "min,Temp (°F)"), "1,022"), (fahrenheit(lambda m, f: f"{m}\t{f}", "min\tTemp (°F)"), "1,022"),
    ("min;°C\n0;980\n1;1,001\n2;1,150\n3;1,372", "1,001"), ("s;°C\n0;20\n990;500\n1.000;505\n1.010;511", "1.000"),
])  # fmt: skip
def test_a_mark_that_may_be_one_of_thousands_is_asked_about(text, shown):
    # As decimals, 1,022 °F are -17 °C, and a firing of three hours at heat was never hot.
    with pytest.raises(ReadingProblem, match="thousands or decimals") as problem:
        read_log(text)
    found = re.search(r"such as (\d[.,]\d{3}) can", str(problem.value))[1]
    assert found in text and found[1] == shown[1] and f"({found[0]}{found[2:]})" in str(problem.value)
    again = read_log(re.sub(r"\b1[.,](\d{3})", r"1\1", text))  # as it is asked to be saved
    assert again.counts["skipped"] == 0


@pytest.mark.parametrize("mark", [",", "."])
def test_an_open_probe_among_readings_without_a_mark_is_no_decimal(mark):
    rows = [f"{minute};{550 + minute % 3}" for minute in range(60)]
    rows[20:40] = [f"{minute};9{mark}999" for minute in range(20, 40)]  # as 10 °C it would break the hold
    with pytest.raises(ReadingProblem, match=r"such as 9.999 .* \(9999\)"):
        read_log("\n".join(["min;°C", *rows]))


@pytest.mark.parametrize("mark, name", [(",", "comma"), (".", "point")])
def test_a_mark_that_can_only_be_one_of_decimals_is_taken_and_told(mark, name):
    for rows, last in (
        ("0;20.000\n5;300.125\n9;550.000", 550.0),  # 550 thousand degrees are none
        ("0;1.022\n5;300.125\n9;550.000", 550.0),  # nor are most of them
        ("0;0.980\n5;1.001\n9;1.022", 1.022),  # no number of thousands begins with a zero
        ("0;1.0\n5;1.001\n9;1.022", 1.022),
        ("0;1.001\n5;1.0015\n9;1.022", 1.022),
        ("0.000;20\n0.500;21\n1.000;22", 22.0),
        ("0;20\n5;21\n9;22", 22.0),
    ):
        log = read_log("min;°C\n" + rows.replace(".", mark))
        assert log.trace.celsius[-1] == last and log.counts["skipped"] == 0, rows
        marked = mark if "." in rows else "."
        assert f"Numbers: a {name if marked == mark else 'point'} is taken for the decimal mark." in log.words()
    # 2501 °F and 2502 °F are 1372 °C, where type K ends: 2.503 is no thousand.
    assert read_log("min;°F\n0;2.503\n1;2.504".replace(".", mark)).trace.celsius[0] == pytest.approx((2.503 - 32) / 1.8)
    with pytest.raises(ReadingProblem, match="thousands"):
        read_log("min;°F\n0;2.500\n1;2.501".replace(".", mark))
    volts = read_log("min;mV\n0;1.022\n1;22.776".replace(".", mark), junction="0 °C")  # no millivolts in thousands
    assert volts.trace.celsius[-1] == pytest.approx(550, abs=0.1)


def clocked(head, seconds=10, top=13):
    """A firing logged in minutes and seconds that is at heat for ``top`` minutes alone."""
    at = np.arange(0, (40 + top) * 60 + 1, seconds)
    celsius = np.interp(at / 60, [0, 20, 20 + top, 40 + top], [20, 550, 550, 20])
    return head + "\n" + "\n".join(f"{s // 60}:{s % 60:02d};{c:.1f}" for s, c in zip(at.tolist(), celsius))


@pytest.mark.parametrize(
    "head", ["min:s;°C", "time (mm:ss);°C", "m:ss;kiln °C", "elapsed min:sec;°C", "Minutes : Seconds;°C"]
)
def test_minutes_and_seconds_are_read_so_if_the_heading_says_so(head):
    report = heat_report(read_log(clocked(head)))
    assert_close(
        report.inside.likely, Q(13 + 2 * 30 / 26.5, "min"), within=Q(0.01, "min")
    )  # and both slopes at 26.5 K/min
    assert report.verdict.level == "too short" and "minutes:seconds" not in report.verdict.sentence
    assert "read as minutes:seconds, as the heading says" in read_log(clocked(head)).words()


def test_minutes_and_seconds_go_on_over_the_hour():
    def minutes(*clock):
        return times_read(np.array([text.encode() for text in clock]), "clock", heading="mm:ss")[0].tolist()

    assert minutes("59:30", "60:00", "125:15") == [59.5, 60, 125.25]
    assert minutes("59:30", "1:00:00", "1:00:30.5") == pytest.approx([59.5, 60, 60 + 30.5 / 60])
    assert minutes("59:30", "00:00", "20:00", "40:00", "59:45", "00:15") == [59.5, 60, 80, 100, 119.75, 120.25]
    assert np.isnan(minutes("1:00", "1:75:00", "1:75", "2:00")[1:3]).all()


@pytest.mark.parametrize("head, doubted", [
    ("time;°C", True), ("elapsed;°C", True), ("hh:mm;°C", False), ("h:min;°C", False), ("elapsed h:min;°C", False),
])  # fmt: skip
def test_times_that_may_be_minutes_and_seconds_leave_nothing_enough(head, doubted):
    log = read_log(clocked(head))  # goes on to 53:00, which is no time of day
    assert "read as hours:minutes" in log.words()
    verdict = heat_report(log, probe="IEC class 1").verdict
    assert ("put min:s into their heading" in verdict.sentence) == doubted
    assert verdict.level == ("may be enough" if doubted else "enough")


def test_a_time_of_day_is_not_doubted():
    def doubts(head, *times):
        return read_log(head + "\n" + "\n".join(f"{t};{20 + n}" for n, t in enumerate(times))).doubts

    assert not doubts("time;°C", "22:00", "23:59", "0:10") and doubts("time;°C", "22:00", "23:59", "24:00")
    assert not doubts("time;°C", "22:00:00", "23:59:00", "24:10:00")  # three parts are hours, minutes and seconds
    assert doubts("elapsed;°C", "0:00", "0:10", "0:20") and not doubts("elapsed;°C", "1:00 pm", "1:10 pm", "1:20 pm")


# ------------------------------------------------------------------------------------ plans, and thresholds
def test_a_plan_has_no_probe_unless_one_is_named():
    kiln = Kiln("80 min", "900 °C")
    plan = schedule("to 550 °C at 5 °C/min", "hold 3 h")
    for firing_planned in (plan, course(kiln, [("70 min", True), *cycles("6 min", "4 min", 18)])):
        report = heat_report(firing_planned)
        assert report.probe == "" and report.peak.low == report.peak.high and report.verdict.level == "enough"
        assert heat_report(firing_planned, probe="unknown").peak.low < report.peak.low
    assert heat_report(plan.trace).probe == heat_report(read_log(INVENTED)).probe == "unknown"


def holed(rise, gap, top=550.0, fall=None):
    """A hold of 150 min with a gap in it, reached at ``rise`` °C/min from so far below that it tells its rate."""
    up, down = (top - 20) / rise, (top - 20) / (fall or rise)
    times = [0, up, up + 75, up + 75 + gap, up + 150 + gap, up + 150 + gap + down]
    return Trace(times, [20, top, top, top, top, 20], [True, True, False, True, True])


@pytest.mark.parametrize("gap, could", [(29.5, False), (30.5, True)])
def test_how_hot_a_gap_could_be_goes_by_the_rates_of_the_log(gap, could):
    # 650 °C are 10 min up from 550 °C at 10 °C/min, and 20 min down again at 5 °C/min.
    trace = holed(10, gap, fall=5)
    level = heat_report(trace, lost="650 °C", window="540 to 560 °C", probe=None, hold="1 h").verdict.level
    assert (level == "cannot say") == could


def test_the_fastest_heating_is_widened_by_the_share_of_the_probe():
    # A share of 0.75 % of the reading: a rise may be steeper or flatter by so much.
    report = heat_report(firing(180), probe="IEC class 2")
    assert report.heating.m_as("delta_degC/min") == pytest.approx((5.3 * 0.9925, 5.3, 5.3 * 1.0075))
    assert report.cooling.m_as("delta_degC/min") == pytest.approx((5.3 * 0.9925, 5.3, 5.3 * 1.0075))


@pytest.mark.parametrize("rise, told", [(190.5, False), (209.5, True)])
def test_a_log_tells_its_rates_from_a_rise_of_200_kelvin(rise, told):
    # Else 50 °C/min stand in for it.  It falls at 5.3 °C/min, so 40 min take it 40 × 50 × 5.3/55.3 = 192 K up; with the
    # rise of about 5 °C/min that it shows, 103 K.
    trace = Trace([0, 40, 120, 160, 330, 430], [550 - rise, 550, 550, 550, 550, 20], [True, True, False, True, True])
    assert (heat_report(trace, probe=None).verdict.level == "cannot say") == (not told)


@pytest.mark.parametrize("gap, could", [(5.8, False), (6.2, True)])
def test_where_a_log_does_not_tell_its_rates_50_degrees_a_minute_are_reckoned_with(gap, could):
    # Level at 550 °C throughout: up and down at 50 °C/min, 700 °C are 3 min away and 3 min back.
    trace = Trace([0, 100, 100 + gap, 300], [550, 550, 550, 550], [True, False, True])
    assert (heat_report(trace, probe=None).verdict.level == "cannot say") == could


@pytest.mark.parametrize("step, coarse", [(14.8, False), (15.2, True)])
def test_a_reading_in_a_quarter_of_an_hour_is_the_fewest(step, coarse):
    verdict = heat_report(logged([(0, 20), (200, 550), (500, 550), (700, 20)], step), probe="IEC class 1").verdict
    assert ("only every" in verdict.sentence) == coarse and verdict.level == ("may be enough" if coarse else "enough")


@pytest.mark.parametrize("wide, open_", [(14.5, False), (15.5, True)])
def test_a_junction_may_leave_15_kelvin_open_and_no_more(wide, open_):
    minutes = np.arange(0, 501)
    volts = probe_voltage(Q(np.interp(minutes, *zip(*held(550, 300))), "degC"), "20 °C").magnitude
    text = "min;mV\n" + "\n".join(f"{m:g};{v:.5f}" for m, v in zip(minutes, volts))
    # Near 20 °C a kelvin of the junction is a kelvin of the coldest reading; at 550 °C it is 0.95 K (40.3 of 42.5 µV).
    log = read_log(text, junction=f"{20 - wide / 2} to {20 + wide / 2} °C")
    assert log.shift[1] - log.shift[0] == pytest.approx(wide, rel=0.02)
    assert (heat_report(log, probe="IEC class 1").verdict.level == "cannot say") == open_


@pytest.mark.parametrize("usual, pause, bridged", [
    (2, 9.8, True), (2, 10.2, False),  # five usual steps
    (4, 14.8, True), (4, 15.2, False),  # a quarter of an hour
    (20, 29.5, True), (20, 30.5, False),  # one and a half steps of a slow log
])  # fmt: skip
def test_a_pause_is_a_gap_from_five_steps_or_a_quarter_of_an_hour(usual, pause, bridged):
    times = np.concatenate([np.arange(10) * usual, 9 * usual + pause + np.arange(10) * usual])
    assert (not read_log("min;°C\n" + "\n".join(f"{m:.4f};20.5" for m in times)).gaps) == bridged
