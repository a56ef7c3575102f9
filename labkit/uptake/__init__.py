"""Uptake: what is really in the powder afterwards, how fast it went in, and when washing is done.

Rinsing, spinning and drying have their cautions: ``cautions("chlorides", "solvent", "spinning")`` from
``labkit.data.cautions`` belong beside every number from here.
"""

from labkit.uptake.account import Account, metal_account
from labkit.uptake.calibration import Calibration, calibration
from labkit.uptake.concentration import Concentration, Difference
from labkit.uptake.drying import DryingReport, drying_report, read_weighings, solvent_left
from labkit.uptake.fit import Fit, fitted
from labkit.uptake.isotherm import IsothermReport, isotherm_report
from labkit.uptake.kinetics import KineticsReport, kinetics_report
from labkit.uptake.linearised import Linearised, linearised
from labkit.uptake.liquids import density, viscosity
from labkit.uptake.models import FIRST_ORDER, FREUNDLICH, LANGMUIR, SECOND_ORDER, Curve
from labkit.uptake.photo import PhotoScale, photo_scale
from labkit.uptake.readings import (
    Column,
    Readings,
    read_columns,
    read_isotherm,
    read_kinetics,
    read_photo,
    read_samples,
    read_standards,
)
from labkit.uptake.residual import WashingPlan, solvent_notes, washing_plan
from labkit.uptake.rotor import counterweight, highest_speed, imbalance_force, speed_down, tube_words, tubes
from labkit.uptake.settling import scale_height, settling_time, smallest_settled
from labkit.uptake.sinking import settling_speed, stokes_speed
from labkit.uptake.spinning import clearing_factor, relative_force, rotor_speed, speed_for, time_to_pellet
from labkit.uptake.taken_up import TakenUp, smallest_uptake_seen, taken_up
from labkit.uptake.washing import Split, WashCount, best_split, held_volume, wash_course, wash_residual, washes_needed

__all__ = ["Curve", "FIRST_ORDER", "FREUNDLICH", "Fit", "IsothermReport", "KineticsReport", "LANGMUIR", "Linearised", "SECOND_ORDER", "fitted", "isotherm_report", "kinetics_report", "linearised", "clearing_factor", "counterweight", "density", "highest_speed", "imbalance_force", "relative_force", "rotor_speed", "scale_height", "settling_speed", "settling_time", "smallest_settled", "speed_down", "speed_for", "stokes_speed", "time_to_pellet", "tube_words", "tubes", "viscosity", "Calibration", "Concentration", "Difference", "PhotoScale", "calibration", "photo_scale", "Account", "Column", "DryingReport", "Readings", "Split", "TakenUp", "WashCount", "WashingPlan", "best_split", "drying_report", "held_volume", "metal_account", "read_columns", "read_isotherm", "read_kinetics", "read_photo", "read_samples", "read_standards", "read_weighings", "smallest_uptake_seen", "solvent_left", "solvent_notes", "taken_up", "wash_course", "wash_residual", "washes_needed", "washing_plan"]  # fmt: skip
