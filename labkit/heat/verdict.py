"""Whether a firing was long and hot enough: the verdict on a log, and what it says to do.

Where the readings leave two answers open, the one that can do less harm is given: nobody is told to
fire a powder again that may have been too hot, and nothing is called enough on what was not seen.
"""

from dataclasses import dataclass, replace

import numpy as np

from labkit.units import Q, Range, clock_text

LEVELS = ("enough", "may be enough", "too short", "hotter than the window", "too hot: lost", "may have been too hot",
          "cannot say")  # fmt: skip
GOOD = LEVELS[:2]
MOST_SHIFT = 15.0  # K that a junction may leave open, our choice; with more no verdict on the time is given
_AGAIN = "fire it again, under a loose lid, never sealed, outdoors or under extraction"
_COLD = "Open it only when it is cold, outdoors or under extraction"


@dataclass(frozen=True)
class Verdict:
    """One of ``LEVELS``, and the sentences that say why and what to do."""

    level: str
    sentence: str

    def __str__(self):
        return f"{self.level.replace(': ', ', and ')}: {self.sentence}"  # one colon is enough


@dataclass(frozen=True)
class Facts:
    """What a verdict is made from.

    ``inside``, ``longest``, ``above``, ``losing`` and ``over`` are Ranges of times as in a HeatReport;
    ``limits`` are those of the window, of the losses and of the loss (°C), ``hold`` is in minutes and
    ``wanted`` if it was asked for.  ``hot`` is whether the likely readings were hotter than the window,
    ``may_be_hot`` whether the probe leaves that open.  ``hidden`` minutes may hide in gaps, which may have
    reached ``gap_tops`` (°C, one for each) and last ``gaps`` minutes.  ``edges`` is where a log is hot: ``begins``, ``ends`` or both.
    ``coarse`` are the minutes from reading to reading where those are too many, else 0; ``shift`` is how
    far (K) the junction may move the readings; ``doubts`` and ``remarks`` are sentences of the log, and so are
    ``against``, if its unit was chosen against its heading, and ``impossible``, if most of its readings are.
    """

    inside: Range
    longest: Range
    above: Range
    losing: Range
    over: Range
    limits: tuple
    hold: float
    wanted: bool
    hot: bool
    may_be_hot: bool
    hidden: float
    gap_tops: tuple
    gaps: float
    edges: str
    coarse: float
    shift: tuple
    doubts: tuple
    remarks: tuple
    against: str = ""
    impossible: str = ""

    @property
    def gap_top(self):
        """The hottest that any gap could have been (°C)."""
        return max(self.gap_tops, default=-np.inf)

    @property
    def unsure_junction(self):
        """Whether the junction leaves more open than a verdict on the time can bear."""
        return self.shift[1] - self.shift[0] > MOST_SHIFT


def heat_verdict(facts):
    """Return the Verdict on the Facts of a firing."""
    if facts.impossible:  # a few readings that happen to be possible say nothing of the firing
        return Verdict("cannot say", facts.impossible)
    found = _hot(facts) or _time(facts)
    words = [*filter(None, [facts.against]), found.sentence, *_said(facts, found.level), *facts.doubts, *facts.remarks]
    return replace(found, sentence=" ".join(words))


def _hot(facts):
    """Return the Verdict on a firing that was too hot or may have been, or None."""
    low, high, losses, lost = facts.limits
    window, loss = f"{low:g} to {high:g} °C", _losing(facts)
    surely, maybe = (end.magnitude > 0 for end in (facts.losing.low, facts.losing.high))
    if facts.over.low.magnitude > 0:
        return Verdict("too hot: lost", f"it was above {lost:g} °C, where carbon nitride decomposes, for {printed_times(facts.over)}; "
                       f"hydrogen cyanide is among the gases. Expect little or no powder. {_COLD}, weigh what is there, and set "
                       "the kiln lower.")  # fmt: skip
    if facts.over.high.magnitude > 0:
        return Verdict("may have been too hot", f"within what the probe leaves open it may have been above {lost:g} °C, where carbon "
                       f"nitride decomposes, for up to {clock_text(facts.over.high, np.ceil)}. {loss}{_COLD}, weigh the powder against "
                       "what you expect, and check the probe.")  # fmt: skip
    if facts.hot or surely and losses >= high:
        return Verdict("hotter than the window", f"it was inside {window} for {printed_times(facts.inside)} and above it, where less powder "
                       f"stays, for {printed_times(facts.above)}. {loss}More heat would only cost more powder. {_COLD}, weigh "
                       "the powder against what you expect, and set the kiln lower.")  # fmt: skip
    if facts.may_be_hot and not facts.unsure_junction or maybe and losses >= high:
        over = f"above {high:g} °C, where less powder stays, for up to {clock_text(facts.above.high, np.ceil)}"
        return Verdict("may have been too hot", f"it was inside {window} for {printed_times(facts.inside)}, but within what the probe "
                       f"leaves open it may have been {over}. {loss}{_COLD}, weigh the powder against what you expect, "
                       "and check the probe before you heat it any longer.")  # fmt: skip
    return None


def _losing(facts):
    """Return a sentence on the time in which powder is being lost, or nothing."""
    if not facts.losing.high.magnitude > 0:
        return ""
    why = (
        f"above {facts.limits[2]:g} °C, from where powder is being lost even under a lid, with more hydrogen cyanide. "
    )
    if facts.losing.low.magnitude > 0:
        return f"For {printed_times(facts.losing)} it was {why}"
    return f"For up to {clock_text(facts.losing.high, np.ceil)} it may have been {why}"


def _time(facts):
    """Return the Verdict on a firing that was not too hot where it was seen."""
    low, high, losses, lost = facts.limits
    least, _, most = facts.inside.m_as("min")
    times, hold = f"{printed_times(facts.inside)} inside {low:g} to {high:g} °C", facts.hold
    needed = clock_text(Q(hold, "min"), np.ceil)
    usual = f"{needed} is what was wanted" if facts.wanted else f"{needed} or more is usual (common practice)"
    if facts.gap_top > lost:
        return Verdict("cannot say", f"{times} were seen, but in a gap of the log it could have passed {lost:g} °C, where the powder is lost. "
                       f"{_COLD}, and weigh the powder against what you expect.")  # fmt: skip
    if facts.unsure_junction:
        return Verdict("cannot say", f"{times}, if the junction was where it was taken to be.")
    if least >= hold:
        unseen = facts.doubts or facts.edges or facts.coarse or facts.gap_top > losses
        pieces = facts.longest.likely.m_as("min") < hold
        level = "may be enough" if unseen or pieces or facts.losing.high.magnitude > 0 else "enough"
        whole = np.allclose(facts.longest.m_as("min"), facts.inside.m_as("min"))
        stretch = (
            "in one stretch"
            if whole
            else f"{'but in pieces, ' * pieces}the longest stretch {clock_text(facts.longest.low, np.floor)} or more"
        )
        return Verdict(level, f"it was {times}, {stretch}; {usual}. The powder in the crucible lags behind the probe. {_losing(facts)}".strip())  # fmt: skip
    if most >= hold:
        return Verdict("may be enough", f"{times}; {usual}. The probe decides: check it, or hold longer next time. {_losing(facts)}".strip())  # fmt: skip
    if facts.edges or facts.coarse and most + 2 * facts.coarse >= hold:
        return Verdict("cannot say", f"{times} were seen; {usual}. Look at the colour and weigh the powder; if it is pale or heavy, {_AGAIN}.")  # fmt: skip
    if most + facts.hidden >= hold:
        return Verdict("cannot say", f"{times} are short of {needed}, but the gaps of the log could "
                       f"hide the rest. Look at the colour and weigh the powder; if it is pale or heavy, {_AGAIN}.")  # fmt: skip
    if facts.against:  # by its heading it may have been hot enough, or too hot
        return Verdict("cannot say", f"{times}; {usual}. Mend the heading if it is wrong; look at the colour and weigh the powder before "
                       "you heat it any longer.")  # fmt: skip
    missing = clock_text(Q(hold - least, "min"), np.ceil)
    return Verdict("too short", f"{times}; {usual}. To make up for up to {missing}, {_AGAIN}.")


def _said(facts, level):
    """Return sentences on what was not seen, where they bear on the level."""
    losses, words = facts.limits[2], []
    if facts.unsure_junction:
        low, high = (
            f"{end:+.0f}".replace("-", "\u2212") for end in (np.floor(facts.shift[0]), np.ceil(facts.shift[1]))
        )
        words.append(f"The temperature of the junction is not known well enough: it may move all readings by {low} to {high} K. "
                     "Give yours, or 0 °C if the logger adds the junction itself.")  # fmt: skip
    if facts.above.likely.m_as("min") >= 1 and level in (*GOOD, "too short"):
        words.append(f"For {printed_times(facts.above)} it was above the window, where less powder stays.")
    if facts.edges:
        after = {"begins": "came before", "ends": "came after", "begins and ends": "came before and after"}[facts.edges]
        words.append(f"The log {facts.edges} hot: what {after} is not known.")
    if facts.coarse:
        words.append(f"There is a reading only every {clock_text(Q(facts.coarse, 'min'), np.round)}: what was in between is not known.")  # fmt: skip
    if facts.gaps and level in GOOD:
        could = f"; in a gap it could have passed {losses:g} °C" if facts.gap_top > losses else ""
        words.append(f"{gap_text(len(facts.gap_tops), Q(facts.gaps, 'min'))}{could}.")
    return words


def printed_times(span):
    """Return a Range of times as ``1 h 52 min to 2 h 40 min, likely 2 h 15 min``: the low end rounded down, the high up.

    >>> printed_times(Range(Q(112.9, "min"), Q(135, "min"), Q(159.1, "min")))
    '1 h 52 min to 2 h 40 min, likely 2 h 15 min'
    """
    if span.low == span.high:
        return clock_text(span.likely, np.round) if span.likely.magnitude else "0 min"
    low, high = clock_text(span.low, np.floor), clock_text(span.high, np.ceil)
    return f"{low} to {high}, likely {clock_text(span.likely, np.round)}"


def gap_text(count, time):
    """Return what is said of gaps: how many, and how long they are together.

    >>> gap_text(2, Q(70.5, "min"))
    '2 gaps of together 1 h 11 min are not counted'
    """
    return f"{count} gap{'s of together' if count > 1 else ' of'} {clock_text(time, np.ceil)} {'are' if count > 1 else 'is'} not counted"
