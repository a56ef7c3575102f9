"""Heat: what a kiln did, what it can do, and whether that was enough for the powder."""

from labkit.heat.energy import Cost, Tariff, cost, firing_energy, heat_to_decompose, tariff, usual_tariff
from labkit.heat.fit import KilnFit, kiln_fit
from labkit.heat.hold import (
    HoldVerdict,
    Ripple,
    Switching,
    duty_to_hold,
    fastest_rate,
    hold_verdict,
    ripple,
    switching_to_hold,
)
from labkit.heat.kiln import Course, Kiln, course, cycles, kiln_from_power
from labkit.heat.lag import temperature_after, time_constant_from, time_to_reach
from labkit.heat.log import HeatReport, KilnLog, Skipped, heat_report
from labkit.heat.logfile import read_log
from labkit.heat.probe import probe_temperature, probe_tolerance, probe_voltage, probes
from labkit.heat.schedule import Schedule, Step, schedule, usual_schedule
from labkit.heat.stages import Stage, StageTime, heat_remarks, stage_times, stages
from labkit.heat.trace import Trace

__all__ = [
    "Cost",
    "Course",
    "HeatReport",
    "HoldVerdict",
    "Kiln",
    "KilnFit",
    "KilnLog",
    "Ripple",
    "Schedule",
    "Skipped",
    "Stage",
    "StageTime",
    "Step",
    "Switching",
    "Tariff",
    "Trace",
    "cost",
    "course",
    "cycles",
    "duty_to_hold",
    "fastest_rate",
    "firing_energy",
    "heat_remarks",
    "heat_report",
    "heat_to_decompose",
    "hold_verdict",
    "kiln_fit",
    "kiln_from_power",
    "probe_temperature",
    "probe_tolerance",
    "probe_voltage",
    "probes",
    "read_log",
    "ripple",
    "schedule",
    "stage_times",
    "stages",
    "switching_to_hold",
    "tariff",
    "temperature_after",
    "time_constant_from",
    "time_to_reach",
    "usual_schedule",
    "usual_tariff",
]
