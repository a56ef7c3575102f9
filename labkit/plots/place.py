"""The sun of a place: a day hour by hour with its hours of full sun, and a year month by month."""

from functools import cache

import numpy as np

from labkit.light.days import MONTHS, day_text
from labkit.plots.live import LivePicture
from labkit.plots.places import Places
from labkit.plots.style import GUESS, LIMIT, MAIN, MEASURED, new_figure, styled
from labkit.units import printed_range

_DAY_ACROSS, _DAY_UP = (0.0, 24.0), (0.0, 1500.0)
_FULL = 1000  # W/m²
_YEAR_ACROSS = (0.4, 12.6)
_TOPS = (2, 4, 6, 8, 10, 12, 15)  # kWh/m²: the frames of the year, with room for words over the highest mark
_ROOM = 1.22
_FAINT = 0.05  # kWh/m²: of less there is no more to say
_HALF = 0.32  # of the width of a bar


def day_figure(day):
    """Return the picture of a day: clear light hour by hour, and the likely hours of full sun as a box of the same kind.

    Parameters
    ----------
    day : labkit.light.SunDay

    Returns
    -------
    matplotlib.figure.Figure
        Both areas are energy: show it with ``alt=day_words(day)``.
    """
    with styled():
        figure, axes = _day_stage()
        axes.fill_between(day.hours, 0, day.clear, **GUESS.fill)
        axes.plot(day.hours, day.clear, **MAIN.line)
        axes.plot(*_box_of(day), **LIMIT.line)
        for height, line in zip((1470, 1380, 1290), _day_lines(day)):
            axes.text(0.4, height, line, va="top", fontsize=12)
    return figure


def day_svg(day):
    """Return the same picture as SVG text for a panel."""
    picture = _day_live()
    elements = [
        picture.area(day.hours, 0 * day.clear, day.clear, GUESS),
        picture.line(day.hours, day.clear, MAIN),
        picture.line(*_box_of(day), LIMIT),
        *(picture.text(0.1, height, line, anchor="start") for height, line in zip((1390, 1290, 1190), _day_lines(day))),
    ]
    return picture.svg(elements, alt=day_words(day))


def day_words(day):
    """Return what ``day_figure`` shows, in words with its numbers."""
    top = float(day.clear.max())
    clear, box = _day_lines(day)
    if not top:
        return f"Light against the hour by the sun on {day_text(day.day)}: none at all, the sun does not rise."
    return (f"Light on the plane against the hour by the sun on {day_text(day.day)}. {clear}, a curve up to {top:.0f} W/m² "
            f"at {day.hours[int(np.argmax(day.clear))]:.1f} h. {box}.")  # fmt: skip


def _box_of(day):
    """Return the outline of the hours of full sun: as many hours wide, 1000 W/m² high."""
    half = day.full_sun.likely.magnitude / 2
    return (12 - half, 12 - half, 12 + half, 12 + half), (0, _FULL, _FULL, 0)


def _day_lines(day):
    clear = printed_range(day.clear_irradiation, unit="kWh/m**2") if day.clear.any() else "no sun at all"
    if 0 < day.clear_irradiation.high.magnitude < _FAINT:
        clear = f"under {_FAINT} kWh/m²"
    likely = day.full_sun.likely.magnitude
    name = "Measured" if day.origin == "measured" else "Likely"
    return f"Line: a clear sky, {clear}", f"Dashed: {name.lower()}, as {likely:.1f} h of full sun, 1000 W/m²"


def _day_stage():
    figure, axes = new_figure()
    axes.set(xlim=_DAY_ACROSS, ylim=_DAY_UP, yticks=range(0, 1500, 250))
    axes.set_xticks(range(0, 25, 3))
    axes.set(xlabel="Hour of the day by the sun (12: it is highest)", ylabel="Light on the plane / W/m²")
    return figure, axes


@cache
def _day_live():
    with styled():
        return LivePicture(*_day_stage())


def year_figure(year):
    """Return the picture of a year: a bar for the likely mean day of each month, its range, and a clear day over it.

    Parameters
    ----------
    year : labkit.light.SunYear
        Show it with ``alt=year_words(year)``.
    """
    with styled():
        top = _top(year)
        figure, axes = _year_stage(top)
        for place, (clear, span) in enumerate(zip(year.clear, year.months), 1):
            low, likely, high = span.m_as("kWh/m**2")
            axes.bar(place, likely, 2 * _HALF, facecolor=MAIN.pale, edgecolor=MAIN.colour, linewidth=2)
            axes.plot([place, place], [low, high], **LIMIT.line)
            axes.plot([place], [clear], **MEASURED.points)
        for part, line in zip((0.985, 0.925), _year_lines(year)):
            axes.text(0.6, top * part, line, va="top", fontsize=12)
    return figure


def year_svg(year):
    """Return the same picture as SVG text for a panel."""
    top = _top(year)
    picture, elements = _year_live(top), []
    for place, (clear, span) in enumerate(zip(year.clear, year.months), 1):
        low, likely, high = span.m_as("kWh/m**2")
        elements += [picture.box(place - _HALF, place + _HALF, 0, likely, MAIN), picture.line([place] * 2, [low, high], LIMIT),
                     picture.marker(place, clear, MEASURED)]  # fmt: skip
    places = Places(picture, _YEAR_ACROSS, (0, top))
    for part, line in zip((0.94, 0.87), _year_lines(year)):
        elements.append(places.text((0.4, top * part, line, "start", False)))
    return picture.svg(elements, alt=year_words(year))


def year_words(year):
    """Return what ``year_figure`` shows, in words with its numbers."""
    listed = ", ".join(f"{month[:3]} {clear:.1f} and {span.likely.m_as('kWh/m**2'):.1f}"
                       for month, clear, span in zip(MONTHS, year.clear, year.months))  # fmt: skip
    usual = "measured" if year.origin == "measured" else "likely"
    return f"Light of a mean day by month, in kWh/m², of a clear sky and {usual}: {listed}. Lines show the range."


def _year_lines(year):
    usual = "measured" if year.origin == "measured" else "likely mean day"
    whole = printed_range(year.irradiation, unit="kWh/m**2")
    return f"Bar: {usual}, with its range. Diamond: a clear day", f"In the year {whole}"


def _top(year):
    most = max([*year.clear, *(span.m_as("kWh/m**2")[2] for span in year.months)]) * _ROOM
    return next((top for top in _TOPS if most <= top), float(np.ceil(most / 10) * 10))


def _year_stage(top):
    figure, axes = new_figure()
    axes.set(xlim=_YEAR_ACROSS, ylim=(0, top), ylabel="Light of a mean day / kWh/m²")
    axes.set_xticks(range(1, 13), [month[:3] for month in MONTHS])
    axes.grid(axis="x", visible=False)
    axes.tick_params(axis="x", length=0)
    return figure, axes


@cache
def _year_live(top):
    with styled():
        return LivePicture(*_year_stage(top))
