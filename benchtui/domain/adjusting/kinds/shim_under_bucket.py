"""A shim under a bucket: the cams come out for it, and every valve they served is gauged again."""

from dataclasses import replace

from benchtui.domain.adjusting.kinds.shim_on_top import SHIM_ON_TOP

SHIM_UNDER_BUCKET = replace(SHIM_ON_TOP, cams_out=True)
