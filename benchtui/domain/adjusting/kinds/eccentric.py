"""An eccentric bush or pin, clamped: it lifts by a sine of its angle, so that no pitch tells how far."""

from benchtui.domain.adjusting.kinds.face import SetBy
from benchtui.domain.refusal import Why

ECCENTRIC = SetBy("eccentric", locked=True, no_turn=Why.ECCENTRIC_NO_PITCH)
