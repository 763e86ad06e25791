"""Gaits: from when each foot was down to strides, leads and a name, with their errors."""

from racecalc.gait.analysis import ClipReading, read_clip
from racecalc.gait.clip import FEET, PAIRS, SIDES, Clip, make_clip, written_step_s
from racecalc.gait.cycle import (
    TOGETHER,
    Cycle,
    beats,
    flights,
    fore_lag,
    mean_cycle,
    support_shares,
    together,
)
from racecalc.gait.force import FORCE_ERROR, FORCE_SOURCES, FORE_SHARE, peak_force
from racecalc.gait.ground import (
    froude_number,
    froude_speed_m_s,
    stride_length_m,
    trot_stride_length_m,
)
from racecalc.gait.leads import LeadChange, disunited, lead_changes
from racecalc.gait.naming import (
    GAITS,
    NAMING_SOURCES,
    REASONS,
    UNCLEAR,
    Gait,
    is_symmetrical,
    name_gait,
)
from racecalc.gait.precision import (
    LIMITS,
    PRECISION_SOURCES,
    landing_error_s,
    printable,
    stance_error_s,
    stride_time_error_s,
)
from racecalc.gait.regions import LAG_EDGES, RUN_BELOW, WALK_FROM, symmetrical_name
from racecalc.gait.strides import (
    NEAR_HALF,
    Couplet,
    Stride,
    StrideTime,
    couplets,
    pair_gaps,
    stride_time,
    strides_of,
)
from racecalc.gait.support import support_over_time

__all__ = [
    "FEET",
    "FORCE_ERROR",
    "FORCE_SOURCES",
    "FORE_SHARE",
    "GAITS",
    "LAG_EDGES",
    "LIMITS",
    "NAMING_SOURCES",
    "NEAR_HALF",
    "PAIRS",
    "PRECISION_SOURCES",
    "REASONS",
    "RUN_BELOW",
    "SIDES",
    "TOGETHER",
    "UNCLEAR",
    "WALK_FROM",
    "Clip",
    "ClipReading",
    "Couplet",
    "Cycle",
    "Gait",
    "LeadChange",
    "Stride",
    "StrideTime",
    "beats",
    "couplets",
    "disunited",
    "flights",
    "fore_lag",
    "froude_number",
    "froude_speed_m_s",
    "is_symmetrical",
    "landing_error_s",
    "lead_changes",
    "make_clip",
    "mean_cycle",
    "name_gait",
    "pair_gaps",
    "peak_force",
    "printable",
    "read_clip",
    "stance_error_s",
    "stride_length_m",
    "stride_time",
    "stride_time_error_s",
    "strides_of",
    "support_over_time",
    "support_shares",
    "symmetrical_name",
    "together",
    "trot_stride_length_m",
    "written_step_s",
]
