"""The units this program knows, and no others.

Short on purpose: a large registry costs 0.4 s to build and takes words for units that no workshop
uses. There are no prefixes either, or ``min`` could pass for a milli-inch. Factors are exact by
definition: the inch, the pound force (lb x standard gravity) and the kilogram force.
"""

from __future__ import annotations

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
