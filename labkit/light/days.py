"""Days of the year as they are typed, and the months they lie in."""

import re
from datetime import date

from labkit.errors import RangeProblem, ReadingProblem

DAYS = 365
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
          "November", "December")  # fmt: skip
LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
_LONGEST = 40  # characters
_DAY = re.compile(
    r"(?:([0-9]{1,2})(?:st|nd|rd|th)?\.? ?(?:of )?)?([a-z]{3,9})\.?(?: ([0-9]{1,2})(?:st|nd|rd|th)?)?(?:,? [0-9]{4})?"  # a year may follow
)


def day_of_year(day):
    """Return the day of the year, 1 to 365, that a text, a date or a number stands for.

    Raises
    ------
    ReadingProblem, RangeProblem
        If it can't be read, or there is no such day.

    Examples
    --------
    >>> day_of_year("21 June"), day_of_year("Feb 1, 2027"), day_of_year("2027-12-31"), day_of_year("March")
    (172, 32, 365, 75)
    """
    example = "Type for instance 21 June."
    if isinstance(day, str):
        month, inside = _month_and_day(" ".join(day.lower().split()) if len(day) <= _LONGEST else "", example)
    elif isinstance(day, date):
        month, inside = day.month, day.day
    elif isinstance(day, int) and not isinstance(day, bool) and 1 <= day <= DAYS:
        return day
    else:
        raise ReadingProblem(f"This is no day of the year. {example}")
    longest = LENGTHS[month - 1]
    if (month, inside) == (2, 29):
        inside = 28
    if not 1 <= inside <= longest:
        raise RangeProblem(f"{MONTHS[month - 1]} has {longest} days. {example}")
    return sum(LENGTHS[: month - 1]) + inside


def day_text(day):
    """Return a day of the year in words.

    >>> day_text(172)
    '21 June'
    """
    month = next(place for place in range(12) if day <= sum(LENGTHS[: place + 1]))
    return f"{day - sum(LENGTHS[:month])} {MONTHS[month]}"


def _month_and_day(text, example):
    try:
        found = date.fromisoformat(text)
        return found.month, found.day
    except ValueError:
        pass
    found = _DAY.fullmatch(text)
    named = [place for place, month in enumerate(MONTHS, 1) if found and month.lower().startswith(found[2])]
    if not named or (found[1] and found[3]):
        raise ReadingProblem(f"This cannot be read as a day. {example}")
    inside = found[1] or found[3]
    return named[0], int(inside) if inside else (LENGTHS[named[0] - 1] + 1) // 2
