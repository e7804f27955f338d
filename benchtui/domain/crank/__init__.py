"""The right valve at the right time: crank positions for a four-stroke of any firing.

Angles are fractions of a degree of crank. The crank angle counts from the zero of the sheet's
firing angles; a cylinder's angle counts from its own compression TDC.
"""

from benchtui.domain.crank.angles import (
    Stroke,
    crank_angle_of,
    cylinder_angle,
    degrees,
    from_dead_centre,
    mark_angle,
    marks_at,
    stroke_at,
)
from benchtui.domain.crank.dial import CylinderNow, Dial, DialPoint, dial
from benchtui.domain.crank.faults import faults_of, warnings_of
from benchtui.domain.crank.other_stops import judge_stop
from benchtui.domain.crank.overlap import Finding, Look, LooksLike, Seen, judge
from benchtui.domain.crank.plan import Plan, Stop, mark_words, plan, rocking_at
from benchtui.domain.crank.windows import (
    Authority,
    Permission,
    is_rocking,
    may_measure,
    on_base_circle,
    permissions,
    rocking_span,
    stop_valves,
)
from benchtui.domain.crank.words import (
    companion_words,
    companions,
    decompressor_words,
    look_words,
    rule_of_nine,
    stop_words,
    to_compression,
)

__all__ = [
    "Authority",
    "CylinderNow",
    "Dial",
    "DialPoint",
    "Finding",
    "Look",
    "LooksLike",
    "Permission",
    "Plan",
    "Seen",
    "Stop",
    "Stroke",
    "companion_words",
    "companions",
    "crank_angle_of",
    "cylinder_angle",
    "decompressor_words",
    "degrees",
    "dial",
    "faults_of",
    "from_dead_centre",
    "is_rocking",
    "judge",
    "judge_stop",
    "look_words",
    "mark_angle",
    "mark_words",
    "marks_at",
    "may_measure",
    "on_base_circle",
    "permissions",
    "plan",
    "rocking_at",
    "rocking_span",
    "rule_of_nine",
    "stop_valves",
    "stop_words",
    "stroke_at",
    "to_compression",
    "warnings_of",
]
