"""The times in a log: time stamps, clock times and plain numbers, many at once and without guessing at dates.

A pattern is matched against the first text of each length; the others of that length only have to
have their digits in the same places, which is looked at for all of them together.  What does not fit
is read one by one, by the same pattern.
"""

import datetime
import re
from functools import lru_cache

import numpy as np

from labkit.errors import ReadingProblem

_HOUR = r"(?P<hour>[0-9]{1,3}):(?P<minute>[0-9]{2})(?::(?P<second>[0-9]{2})(?:[.,](?P<part>[0-9]{1,9}))?)?(?: ?(?P<half>[AaPp])\.?[Mm]\.?)?"
_ZONE = r" ?(?P<zone>Z|UTC|[+-][0-9]{2}:?[0-9]{2})?"
_BETWEEN = r"[T ;,\t\x1f]+"
_DATES = {
    "year first": r"(?P<year>[0-9]{4})(?P<mark>[-/.])(?P<one>[0-9]{1,2})(?P=mark)(?P<two>[0-9]{1,2})",
    "year last": r"(?P<one>[0-9]{1,2})(?P<mark>[-/.])(?P<two>[0-9]{1,2})(?P=mark)(?P<year>[0-9]{4}|[0-9]{2})",
}
PATTERNS = {kind: re.compile(rf"\s*{date}{_BETWEEN}{_HOUR}{_ZONE}\s*") for kind, date in _DATES.items()}
PATTERNS["clock"] = re.compile(rf"\s*{_HOUR}\s*")
# Minutes and seconds since the start, read so only where the heading says so: 13:05 looks like a time of day.
_ELAPSED = re.compile(
    r"\s*(?:(?P<hour>[0-9]{1,3}):)?(?P<minute>[0-9]{1,3}):(?P<second>[0-9]{2})(?:[.,](?P<part>[0-9]{1,9}))?\s*"
)
_HEAD_MINUTES = re.compile(r"(?<!\w)(?:m|mm|mins?|minutes?) ?: ?(?:s|ss|secs?|seconds?)(?!\w)", re.IGNORECASE)
_HEAD_HOURS = re.compile(r"(?<!\w)(?:h|hh|hrs?|hours?) ?: ?(?:m|mm|mins?|minutes?)(?!\w)", re.IGNORECASE)
_HEAD_ELAPSED = re.compile(r"\b(?:elapsed|duration|since|run ?time|dauer|laufzeit)\b", re.IGNORECASE)
DATE_ALONE = re.compile(
    r"\s*(?:[0-9]{4}[-/.][0-9]{1,2}[-/.][0-9]{1,2}|[0-9]{1,2}[-/.][0-9]{1,2}[-/.](?:[0-9]{4}|[0-9]{2}))\s*"
)
_DIGITS = ("year", "one", "two", "hour", "minute", "second", "part")
_LENGTHS = 24  # different lengths of text that are looked at together
_DAY = 1440.0
_FOLLOWS, _NEAR = (
    20,
    1 / 24,
)  # rows within which, and share of a day to which, a row out of order is followed by a return


def times_read(texts, kind, day_first=None, heading=""):
    """Return the minutes that texts stand for, NaN where one can't be read, and how they were taken.

    Parameters
    ----------
    texts : array of bytes
    kind : str
        ``"year first"``, ``"year last"`` or ``"clock"``.
    day_first : bool, optional
        For dates with the year last; needed only where the log itself does not tell.
    heading : str
        Of the column; min:s or mm:ss makes 13:05 thirteen minutes.

    Raises
    ------
    ReadingProblem
        If day and month can't be told apart.

    Examples
    --------
    >>> times_read(np.array([b"23:50", b"0:10"]), "clock")
    (array([1430., 1450.]), 'clock times, read as hours:minutes; a fall by more than half a day is midnight')
    >>> times_read(np.array([b"0:30", b"75:00"]), "clock", heading="mm:ss")
    (array([ 0.5, 75. ]), 'read as minutes:seconds, as the heading says')
    """
    if kind == "clock" and in_minutes(heading):
        _, minutes = _parts(np.asarray(texts), _ELAPSED)
        return _over_midnight(minutes, 60.0), "read as minutes:seconds, as the heading says"
    codes, minutes = _parts(np.asarray(texts), PATTERNS[kind])
    if kind == "clock":
        return _over_midnight(minutes), "clock times, read as hours:minutes; a fall by more than half a day is midnight"
    known = ~np.isnan(minutes)
    unique, place = np.unique(codes[known], return_inverse=True)
    dates = np.stack((unique // 10000, unique // 100 % 100, unique % 100), axis=1)
    if kind == "year last":
        order, why = _order(dates, day_first)
    else:
        order, why = (0, 1, 2), "time stamps, year first"
    days = np.array([_day(*map(int, date[list(order)])) for date in dates], dtype=float)
    if days.size:
        days -= np.nanmin(days) if not np.isnan(days).all() else 0
        minutes[known] += days[place.reshape(-1)] * _DAY
    return minutes, why


def in_minutes(heading):
    """Return whether a heading says that times are minutes and seconds.

    >>> [in_minutes(heading) for heading in ("min:s", "time (mm:ss)", "hh:mm:ss", "h:min", "min")]
    [True, True, False, False, False]
    """
    return bool(_HEAD_MINUTES.search(heading)) and not _HEAD_HOURS.search(heading)


def clock_doubt(texts, heading):
    """Return a sentence if clock times of two parts may be minutes and seconds since the start, or nothing.

    A time of day stays below 24:00; beyond it, or under a heading such as “elapsed”, it is a time since the start.

    >>> clock_doubt(np.array([b"0:00", b"25:30"]), "time")[:46]
    'Times such as 25:30 were read as hours:minutes'
    """
    if in_minutes(heading) or _HEAD_HOURS.search(heading):
        return ""
    two = texts[np.char.count(texts, b":") == 1]
    heads = [
        text.split(b":")[0].strip() if b"m" not in text.lower() else b"" for text in two
    ]  # 1:05 pm is a time of day
    hours = [int(head) if head.isdigit() else -1 for head in heads]
    if max(hours, default=-1) < (0 if _HEAD_ELAPSED.search(heading) else 24):
        return ""
    shown = _plain(two[int(np.argmax(hours))]).strip()[:12]
    return (f"Times such as {shown} were read as hours:minutes. If they are minutes:seconds, this verdict is wrong: put min:s "
            "into their heading.")  # fmt: skip


def _parts(texts, pattern):
    """Return the dates as whole numbers (year, first and second, two digits each), and the minutes within the day."""
    size = texts.size
    codes, minutes = np.zeros(size, dtype=np.int64), np.full(size, np.nan)
    lengths = np.char.str_len(texts)
    found, counts = np.unique(lengths, return_counts=True)
    slow = np.ones(size, dtype=bool)
    for length in found[np.argsort(-counts)][:_LENGTHS]:
        if not length:
            continue
        rows = np.flatnonzero(lengths == length)
        parts = pattern.fullmatch(_plain(texts[rows[0]]))
        if not parts or parts.end() != length:
            continue
        signs = texts[rows].astype(f"S{length}").view(np.uint8).reshape(rows.size, length)
        fixed, fits, values = np.ones(length, dtype=bool), np.ones(rows.size, dtype=bool), {}
        for name in set(_DIGITS) & set(pattern.groupindex):
            start, end = parts.span(name)
            if start >= 0:
                digits = signs[:, start:end] - np.uint8(48)
                fits &= (digits <= 9).all(axis=1)
                values[name] = digits @ (10 ** np.arange(end - start - 1, -1, -1))
                fixed[start:end] = False
        fits &= (signs[:, fixed] == signs[0, fixed]).all(axis=1)
        sums = _minutes(values, parts, pattern)
        good = rows[fits]
        minutes[good] = np.broadcast_to(sums, rows.size)[fits]
        if "year" in values:
            codes[good] = _code(values)[fits]
        slow[good] = False
    for row in np.flatnonzero(slow):
        parts = pattern.fullmatch(_plain(texts[row]))
        if parts:
            values = {name: int(parts[name]) for name in set(_DIGITS) & set(pattern.groupindex) if parts[name]}
            minutes[row] = _minutes(values, parts, pattern)
            if "year" in values:
                codes[row] = _code(values)
    return codes, minutes


def _code(values):
    return values["year"] * 10000 + values["one"] * 100 + values["two"]


def _minutes(values, parts, pattern):
    """Return the minutes within the day of one or many; NaN where that is no time of day."""
    hour, minute, second = (np.asarray(values.get(name, 0), dtype=float) for name in ("hour", "minute", "second"))
    if "part" in values:
        second = second + values["part"] / 10.0 ** len(parts["part"])
    most = 24 if "year" in pattern.groupindex else 1000  # without a date it may be the time since the start
    whole = pattern is not _ELAPSED or "hour" in values  # 75:00 may be minutes, 1:75:00 is nothing
    good = (hour < most) & (minute < (60 if whole else 1000)) & (second < 61)
    if "half" in pattern.groupindex and parts["half"]:
        good &= (hour >= 1) & (hour <= 12)
        hour = hour % 12 + (12 if parts["half"] in "pP" else 0)
    zone = parts["zone"] if "zone" in pattern.groupindex else None
    shift = 0 if not zone or zone[0] not in "+-" else int(zone[0] + "1") * (int(zone[1:3]) * 60 + int(zone[-2:]))
    return np.where(good, hour * 60 + minute + second / 60 - shift, np.nan)


def _plain(text):
    return text.decode("utf-8", "replace")


def _order(dates, day_first):
    """Return where year, month and day stand in (year, first, second), and why."""
    why = "time stamps, day before month" if day_first else "time stamps, month before day"
    if day_first is not None:
        return ((0, 2, 1) if day_first else (0, 1, 2)), f"{why}, as you said"
    if len(dates) < 2:
        return _single(dates)
    if dates[:, 0].max() < 100 and len(np.unique(dates[:, 0])) > 1:
        raise ReadingProblem("The dates have years of two digits that change, so year, month and day can't be told apart. "
                             "Save the log with dates such as 2026-05-31.")  # fmt: skip
    first, second = (dates[:, 1] > 12).any(), (dates[:, 2] > 12).any()
    if first == second:
        raise ReadingProblem("Day and month of the dates can't be told apart. Type day_first=True for 31.5.2026, or "
                             "day_first=False for 5/31/2026.")  # fmt: skip
    return ((0, 2, 1), "time stamps, day before month: no month is above 12") if first else (
        (0, 1, 2), "time stamps, month before day: no month is above 12")  # fmt: skip


def _single(dates):
    day_first = len(dates) == 1 and dates[0, 1] > 12
    return ((0, 2, 1) if day_first else (0, 1, 2)), "time stamps of one day"


@lru_cache(maxsize=4096)
def _day(year, month, day):
    try:
        return datetime.date(year if year >= 100 else 2000 + year, month, day).toordinal()
    except ValueError:
        return np.nan


def _over_midnight(minutes, day=_DAY):
    """Return clock times that go on over midnight, or minutes and seconds over a full hour if that is the ``day``.

    A rise by more than half a day is a row out of order, across midnight, only if within a few rows
    the clock falls back to where it was; else it is a long pause.
    """
    minutes = minutes.copy()
    known = np.flatnonzero(~np.isnan(minutes))
    if known.size < 2:
        return minutes
    clock = minutes[known]
    if np.median(clock[-5:]) >= day or day < _DAY and clock.max() >= day:  # hours since the start, beyond a day
        return minutes
    minutes[known[clock >= day]] = np.nan
    known, clock = known[clock < day], clock[clock < day]
    jumps = np.diff(clock)
    places = np.flatnonzero(np.abs(jumps) > day / 2)
    days = np.zeros(clock.size)
    for place in places:
        if jumps[place] < 0:
            days[place + 1] = 1
        else:
            falls = places[(places > place) & (places <= place + _FOLLOWS) & (jumps[places] < 0)]
            days[place + 1] = -int((np.abs(clock[falls + 1] - clock[place]) < day * _NEAR).any())
    minutes[known] += np.cumsum(days) * day
    return minutes
