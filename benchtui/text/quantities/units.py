"""The units this program knows, and no others.

Short on purpose: a large registry costs 0.4 s to build and takes words for units that no workshop
uses. There are no prefixes either, or ``min`` could pass for a milli-inch. Factors are exact by
definition: the inch, the pound force (lb x standard gravity) and the kilogram force.
"""

from __future__ import annotations

from fractions import Fraction

_SAME = ("mm", "km", "mi", "h", "N*m", "deg", "degC", "F")
_NM_A_POUND_FOOT = Fraction("4.4482216152605") * Fraction("0.3048")
_KM_A_MILE = Fraction("1.609344")

AT_HAND: dict[tuple[str, str], tuple[Fraction, Fraction]] = {
    **{(unit, unit): (Fraction(1), Fraction(0)) for unit in _SAME},
    ("in", "mm"): (Fraction("25.4"), Fraction(0)),
    ("mi", "km"): (_KM_A_MILE, Fraction(0)),
    ("km", "mi"): (1 / _KM_A_MILE, Fraction(0)),
    ("lbf*ft", "N*m"): (_NM_A_POUND_FOOT, Fraction(0)),
    ("lbf*in", "N*m"): (_NM_A_POUND_FOOT / 12, Fraction(0)),
    ("F", "degC"): (Fraction(5, 9), Fraction(-160, 9)),
    ("degC", "F"): (Fraction(9, 5), Fraction(32)),
}
"""Scale and offset between the units that sheets are written in.

With these the engines are listed without the registry, which takes 17 MB and a fifth of a second to
load. A test holds each against it.
"""

DEFINITIONS = """
metre = [length] = m
centimetre = metre / 100 = cm
millimetre = metre / 1000 = mm
micrometre = metre / 1000000 = um
kilometre = 1000 * metre = km
inch = 25.4 * millimetre = in = inches
thou = inch / 1000
foot = 12 * inch = ft = feet
mile = 5280 * foot = mi = miles
second = [time] = s
minute = 60 * second = min
hour = 3600 * second = h = hr
day = 24 * hour
kilogram = [mass] = kg
newton = kilogram * metre / second ** 2 = N
pound_force = 4.4482216152605 * newton = lbf = lb
kilogram_force = 9.80665 * newton = kgf
newton_metre = newton * metre = Nm
kelvin = [temperature]; offset: 0 = K
degree_Celsius = kelvin; offset: 273.15 = degC = C
degree_Fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9 = degF = F
degree = [angle] = deg
turn = 360 * degree
flat = 60 * degree
"""
