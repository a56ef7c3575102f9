"""Two fits side by side: which is better, and both as text."""

from html import escape
from math import isfinite

from labkit.units import number_text, printed, printed_range, wrapped
from labkit.uptake.doubts import ALIKE, EVIDENCE, NONE

_ALIKE = 2e-3  # of a value: ends that differ by less are printed as one


def lead_of(first, second):
    """Return by how much the criterion of the first fit is lower than that of the second; None with too few readings for it."""
    return second.aicc - first.aicc if isfinite(first.aicc) and isfinite(second.aicc) else None


def compared(lead, first, second, count):
    """Return in words which of two curves fits better.

    >>> compared(14.2, "Langmuir", "Freundlich", 9), compared(0.3, "Langmuir", "Freundlich", 6)
    ('The Langmuir curve fits clearly better than the Freundlich one.', 'The Langmuir and the Freundlich curve cannot be told apart with 6 readings.')
    """
    if lead is None:
        return f"With {count} readings the {first} and the {second} curve cannot be compared; that takes five or more."
    better, worse = (first, second) if lead > 0 else (second, first)
    if abs(lead) < ALIKE:
        return f"The {first} and the {second} curve cannot be told apart with {count} readings."
    if abs(lead) < EVIDENCE:
        return f"The {better} curve fits somewhat better than the {worse} one, which is no proof."
    return f"The {better} curve fits clearly better than the {worse} one."


def kept(first, second):
    """Return the fits that cannot be ruled out by the other, the better one first."""
    lead = lead_of(first, second) or 0.0
    better, worse = (first, second) if lead >= 0 else (second, first)
    return [better, worse] if abs(lead) < EVIDENCE else [better]


def span_text(span, unit):
    """Return a Range as text, its likely value alone where the ends hardly differ.

    >>> from labkit.units import Q, Range
    >>> span_text(Range(Q(21.999, "mg/g"), Q(22.0, "mg/g"), Q(22.001, "mg/g")), "mg/g")
    '22.00 mg/g'
    """
    low, likely, high = span.m_as(unit)
    return printed(span.likely, 4, unit) if high - low < _ALIKE * abs(likely) else printed_range(span, 3, unit)


def ends_text(fit, name, unit):
    """Return a parameter with its 95 % interval as text."""
    low, high = fit.ends[name]
    likely = fit.parameters[name]
    said = [
        number_text(end, 3) if 0 < abs(end) < float("inf") else "0" if end == 0 else "no end seen"
        for end in (low, high)
    ]
    if fit.verdict == NONE:
        return f"cannot tell ({said[0]} to {said[1]}{f' {unit}' if unit else ''} if the curve holds)"
    return f"{number_text(likely, 3)} ({said[0]} to {said[1]}){f' {unit}' if unit else ''}"


def criterion_text(fit, criterion=None):
    """Return a criterion as text."""
    size = fit.aicc if criterion is None else criterion
    return f"{size:.1f}" if abs(size) < float("inf") else "too few readings"


def share_text(fit, x):
    """Return what share of its ceiling a curve has at x, with its 95 % interval, as text.

    A value that rounds to 100 % from below is said to be over 99 %.
    """
    low, likely, high = (100 * share for share in fit.share(x))
    return f"{_percent(likely)} ({_percent(low)} to {_percent(high)}) %"


def _percent(size):
    return f"{size:.0f}" if size < 99.5 or size == 100 else f"{min(size, 99.9):.1f}"


def joint_reasons(pairs):
    """Return reasons of several fits, each kind once: of those that differ in a number alone the first is taken.

    >>> joint_reasons([("weak", "Barely seen: 60 %"), ("weak", "Barely seen: 70 %"), ("weak", "Few")])
    ('Barely seen: 60 %', 'Few')
    """
    found = {}
    for _, reason in pairs:
        found.setdefault(reason.split(":")[0], reason)
    return tuple(found.values())


def reasons_beside(first, second):
    """Return the reasons of two fits side by side, as pairs of texts."""
    count = max(len(first.reasons), len(second.reasons))
    return [
        tuple(fit.reasons[place] if place < len(fit.reasons) else "" for fit in (first, second))
        for place in range(count)
    ]


def printed_report(sentence, rows, remarks, head):
    """Return a report as wrapped text: the sentence, a line for each row and fit, and the remarks."""
    lines = [wrapped(sentence)]
    for place, name in enumerate(head[1:], start=1):
        lines.append(f"{name}:")
        lines += [wrapped(f"  {row[0]}: {row[place]}", hanging="    ") for row in rows if row[place]]
    return "\n".join([*lines, *(wrapped(remark) for remark in remarks)])


def html_report(words, rows, head):
    """Return a report as HTML: the words, and the rows as a table."""
    left = 'style="text-align:left;vertical-align:top;padding:4px 14px 4px 0"'
    top = "".join(f"<th {left}>{escape(cell)}</th>" for cell in head)
    body = "".join(f"<tr>{''.join(f'<td {left}>{escape(cell)}</td>' for cell in row)}</tr>" for row in rows)
    return f"{words._repr_html_()}<table><tr>{top}</tr>{body}</table>"
