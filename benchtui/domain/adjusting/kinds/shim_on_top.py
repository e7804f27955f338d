"""A shim on a bucket or under a follower, that is swapped with the cams in place."""

from benchtui.domain.adjusting.kinds.face import SetBy
from benchtui.domain.refusal import Why

SHIM_ON_TOP = SetBy(
    "shim", shims=True, no_turn=Why.SET_BY_SHIMS, keys=frozenset({"shims", "under_bucket"})
)
