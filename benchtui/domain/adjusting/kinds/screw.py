"""A screw with a locknut, at either end of a rocker: a pitch tells how far to turn it."""

from benchtui.domain.adjusting.kinds.face import SetBy

SCREW = SetBy("screw", locked=True, threaded=True, keys=frozenset({"pitch", "thread", "left_hand"}))
