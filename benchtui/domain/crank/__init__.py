"""The right valve at the right time: crank positions for a four-stroke of any firing.

Angles are fractions of a degree of crank. The crank angle counts from the zero of the sheet's
firing angles; a cylinder's angle counts from its own compression TDC.
"""
