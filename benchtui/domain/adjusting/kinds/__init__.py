"""The kinds of adjuster, one module a kind; callers ask what they need to know and never which it is."""

from benchtui.domain.adjusting.kinds.eccentric import ECCENTRIC
from benchtui.domain.adjusting.kinds.face import SetBy
from benchtui.domain.adjusting.kinds.hydraulic import HYDRAULIC
from benchtui.domain.adjusting.kinds.pillar_nut import PILLAR_NUT
from benchtui.domain.adjusting.kinds.screw import SCREW
from benchtui.domain.adjusting.kinds.shim_on_top import SHIM_ON_TOP
from benchtui.domain.adjusting.kinds.shim_under_bucket import SHIM_UNDER_BUCKET

__all__ = ["KINDS", "SetBy", "set_by"]

KINDS = {
    "screw": SCREW,
    "pillar nut": PILLAR_NUT,
    "eccentric": ECCENTRIC,
    "shim": SHIM_ON_TOP,
    "hydraulic": HYDRAULIC,
}
"""By the name that stands on a sheet."""


def set_by(name: str, *, under_bucket: bool) -> SetBy:
    """The kind that a sheet names."""
    kind = KINDS[name]
    return SHIM_UNDER_BUCKET if kind.shims and under_bucket else kind
