"""Equinoxes, solstices and full moons: instants in UTC, and the days on which they fall.

Knows the mean motions of sun and moon. Must not know what anybody does on such a day. Pure
arithmetic without a table of positions: an instant is a polynomial in time and a few dozen waves.

Method: Jean Meeus, Astronomical Algorithms, 2nd edition, chapter 27 (equinoxes and solstices,
tables 27.B and 27.C) and chapter 49 (phases of the moon). All coefficients are values from memory;
the tests hold every instant of two centuries against an independent ephemeris.

Invariants: an instant of 1900 to 2100 is right to a minute, but for what nobody can know yet of the
earth's turning after 2030 (see `DELTA_T`); a day is that of the zone asked for.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from functools import lru_cache
from math import cos, floor, radians, sin
from typing import Literal

from assistant.scheduling.zones import zone as known_zone

Season = Literal["March equinox", "June solstice", "September equinox", "December solstice"]

_J2000 = 2451545.0  # Julian day (terrestrial time) of 2000-01-01 12:00
_NOON_2000 = datetime(2000, 1, 1, 12, tzinfo=UTC)
_CENTURY = 36525.0  # days

# Mean instants, in powers of millennia from 2000 (table 27.B).
_SEASONS: tuple[tuple[Season, tuple[float, ...]], ...] = (
    ("March equinox", (2451623.80984, 365242.37404, 0.05169, -0.00411, -0.00057)),
    ("June solstice", (2451716.56767, 365241.62603, 0.00325, 0.00888, -0.00030)),
    ("September equinox", (2451810.21715, 365242.01767, -0.11575, 0.00337, 0.00078)),
    ("December solstice", (2451900.05952, 365242.74049, -0.06223, -0.00823, 0.00032)),
)
# Amplitude in 0.00001 day, phase in degrees, degrees a century (table 27.C).
_SEASON_WAVES = (
    (485, 324.96, 1934.136),
    (203, 337.23, 32964.467),
    (199, 342.08, 20.186),
    (182, 27.85, 445267.112),
    (156, 73.14, 45036.886),
    (136, 171.52, 22518.443),
    (77, 222.54, 65928.934),
    (74, 296.72, 3034.906),
    (70, 243.58, 9037.513),
    (58, 119.81, 33718.147),
    (52, 297.17, 150.678),
    (50, 21.02, 2281.226),
    (45, 247.54, 29929.562),
    (44, 325.15, 31555.956),
    (29, 60.93, 4443.417),
    (18, 155.12, 67555.328),
    (17, 288.79, 4562.452),
    (16, 198.04, 62894.029),
    (14, 199.76, 31436.921),
    (12, 95.39, 14577.848),
    (12, 287.11, 31931.756),
    (12, 320.81, 34777.259),
    (9, 227.73, 1222.114),
    (8, 15.45, 16859.074),
)

_MONTH = 29.530588861  # mean days from full moon to full moon
_MONTHS_A_CENTURY = 1236.85
# Powers of centuries, in days; the first belongs to the mean new moon of 2000-01-06.
_MOON = (2451550.09766, 0.0, 0.00015437, -0.000000150, 0.00000000073)
# Angles in degrees: at that new moon, a month, then in powers 2, 3, 4 of centuries.
_SUN_ANOMALY = (2.5534, 29.10535670, -0.0000014, -0.00000011, 0.0)
_MOON_ANOMALY = (201.5643, 385.81693528, 0.0107582, 0.00001238, -0.000000058)
_LATITUDE = (160.7108, 390.67050284, -0.0016118, -0.00000227, 0.000000011)
_NODE = (124.7746, -1.56375588, 0.0020672, 0.00000215, 0.0)
# Amplitude in 0.00001 day, then how often the anomaly of the sun, that of the moon, the moon's
# argument of latitude and its node go into the angle. Waves with the sun's anomaly shrink with the
# earth's eccentricity. Full moons only.
_MOON_WAVES = (
    (-40614, 0, 1, 0, 0),
    (17302, 1, 0, 0, 0),
    (1614, 0, 2, 0, 0),
    (1043, 0, 0, 2, 0),
    (734, -1, 1, 0, 0),
    (-515, 1, 1, 0, 0),
    (209, 2, 0, 0, 0),
    (-111, 0, 1, -2, 0),
    (-57, 0, 1, 2, 0),
    (56, 1, 2, 0, 0),
    (-42, 0, 3, 0, 0),
    (42, 1, 0, 2, 0),
    (38, 1, 0, -2, 0),
    (-24, -1, 2, 0, 0),
    (-17, 0, 0, 0, 1),
    (-7, 2, 1, 0, 0),
    (4, 0, 2, -2, 0),
    (4, 3, 0, 0, 0),
    (3, 1, 1, -2, 0),
    (3, 0, 2, 2, 0),
    (-3, 1, 1, 2, 0),
    (3, -1, 1, 2, 0),
    (-2, -1, 1, -2, 0),
    (-2, 1, 3, 0, 0),
    (2, 0, 4, 0, 0),
)
# Amplitude in 0.000001 day, degrees at that new moon, degrees a month: the pull of the planets.
_PLANETS = (
    (325, 299.77, 0.107408),
    (165, 251.88, 0.016321),
    (164, 251.83, 26.651886),
    (126, 349.42, 36.412478),
    (110, 84.66, 18.206239),
    (62, 141.74, 53.303771),
    (60, 207.14, 2.453732),
    (56, 154.84, 7.306860),
    (47, 34.52, 27.261239),
    (42, 207.19, 0.121824),
    (40, 291.34, 1.844379),
    (37, 161.72, 24.198154),
    (35, 239.56, 25.513099),
    (23, 331.55, 3.592518),
)

# Terrestrial time less UTC in seconds, every ten years from 1900. To 2020 as measured (values from
# memory); after that a guess: the earth has turned evenly of late, and slows in the long run.
DELTA_T = (
    *(-2.8, 10.4, 21.2, 24.0, 24.3, 29.1, 33.2, 40.2, 50.5, 56.9, 63.8, 66.1, 69.4),
    *(69.5, 72.0, 76.0, 80.0, 84.0, 88.0, 92.0, 96.0),
)
_DELTA_T_FROM, _DELTA_T_STEP = 1900, 10


@lru_cache(maxsize=64)
def seasons(year: int) -> tuple[tuple[Season, datetime], ...]:
    """The equinoxes and solstices of a year, in order, as instants in UTC to the second."""
    return tuple((name, _season(powers, year)) for name, powers in _SEASONS)


@lru_cache(maxsize=64)
def full_moons(year: int) -> tuple[datetime, ...]:
    """The full moons of a year of UTC, in order, as instants in UTC to the second."""
    first = floor((year - 2000) * _MONTHS_A_CENTURY / 100) - 1
    moons = (_full_moon(month + 0.5) for month in range(first, first + 16))
    return tuple(moon for moon in moons if moon.year == year)


def local_day(instant: datetime, zone: str) -> date:
    """The day on which an instant falls in a zone of the IANA database (UTC where unknown)."""
    return instant.astimezone(known_zone(zone) or UTC).date()


def _season(powers: tuple[float, ...], year: int) -> datetime:
    mean = _series(powers, (year - 2000) / 1000)
    centuries = (mean - _J2000) / _CENTURY
    around = radians(35999.373 * centuries - 2.47)
    pace = 1 + 0.0334 * cos(around) + 0.0007 * cos(2 * around)
    waves = sum(
        size * cos(radians(phase + speed * centuries)) for size, phase, speed in _SEASON_WAVES
    )
    return _utc(mean + 0.00001 * waves / pace)


def _full_moon(months: float) -> datetime:
    """The full moon `months` (a whole number and a half) after the new moon of 2000-01-06."""
    centuries = months / _MONTHS_A_CENTURY
    sun, moon, latitude, node = (
        start + speed * months + _series((0.0, 0.0, *curve), centuries)
        for start, speed, *curve in (_SUN_ANOMALY, _MOON_ANOMALY, _LATITUDE, _NODE)
    )
    eccentricity = 1 - 0.002516 * centuries - 0.0000074 * centuries**2
    waves = sum(
        size * eccentricity ** abs(a) * sin(radians(a * sun + b * moon + c * latitude + d * node))
        for size, a, b, c, d in _MOON_WAVES
    )
    pulls = sum(size * sin(radians(start + speed * months)) for size, start, speed in _PLANETS)
    mean = _series(_MOON, centuries) + _MONTH * months
    return _utc(mean + 0.00001 * waves + 0.000001 * pulls)


def _series(powers: tuple[float, ...], x: float) -> float:
    """A polynomial by its coefficients, the constant first."""
    return sum(factor * x**power for power, factor in enumerate(powers))


def delta_t(year: float) -> float:
    """Terrestrial time less UTC in seconds, between the values of the table or at its end."""
    last = len(DELTA_T) - 1
    place = min(max((year - _DELTA_T_FROM) / _DELTA_T_STEP, 0.0), float(last))
    at = min(int(place), last - 1)
    return DELTA_T[at] + (place - at) * (DELTA_T[at + 1] - DELTA_T[at])


def _utc(julian_day: float) -> datetime:
    """The instant of a Julian day in terrestrial time, to the second."""
    year = 2000 + (julian_day - _J2000) / 365.25
    seconds = (julian_day - _J2000) * 86400 - delta_t(year)
    return _NOON_2000 + timedelta(seconds=round(seconds))
