"""The laws the peer model needs, written down again from model.md and the papers, not from the library."""

import math

import numpy
from scipy.integrate import quad

from peer_scenario import hole_area, quantity

R = 8.314462618
MASS = numpy.array([28.0134e-3, 31.9988e-3, 39.948e-3])  # N2, O2, Ar
AIR = numpy.array([0.78084, 0.209476, 0.009684])
GAMMA = 1.4
CRITICAL = (2 / (GAMMA + 1)) ** (GAMMA / (GAMMA - 1))
EDGE = 1e-5  # the root's infinite slope at equal pressures is rounded off over this


def product(purity):
    return numpy.array([purity, 1 - purity, 0.0])


def psi(ratio):
    """Eq. 12."""
    ratio = max(ratio, CRITICAL)
    if ratio > 1 - EDGE:
        return psi(1 - EDGE) * (1 - ratio) / EDGE if ratio < 1 else 0.0
    return math.sqrt(2 * GAMMA / (GAMMA - 1) * (ratio ** (2 / GAMMA) - ratio ** ((GAMMA + 1) / GAMMA)))


def orifice(area, upstream, downstream, temperature, mass):
    """Molar flow, eq. 12; nothing against the pressure."""
    if upstream <= downstream:
        return 0.0
    return area * upstream * psi(downstream / upstream) / math.sqrt(mass * R * temperature)


def leak_areas(leak, riser, scenario):
    """Effective area of a leak given in any of the three ways (5.2)."""
    site, temperature, mass = scenario.pressure, scenario.temperature, float(AIR @ MASS)
    if "diameter" in leak:
        return hole_area(leak)
    if "flow" in leak:
        pressure, (p_ref, t_ref) = quantity(leak["pressure"], site), scenario.reference
        return p_ref * quantity(leak["flow"]) / (R * t_ref) / orifice(1.0, pressure, site, temperature, mass)
    start, loss, time = quantity(leak["from"], site), quantity(leak["loss"]), quantity(leak["over"])
    per_pressure = riser.volume / (R * temperature)
    area_time, _ = quad(lambda p: per_pressure / orifice(1.0, p, site, temperature, mass), start - loss, start,
                        epsrel=1e-11, points=[site / CRITICAL] if start - loss < site / CRITICAL < start else None)
    return area_time / time


class NO_GEOMETRY:
    length, bore = 1.0, 1.0  # any: the link does not mix


class Mixing:
    """Exchange on the links of a riser, eq. 8 and 9."""

    def __init__(self, riser, scenario):
        self.temperature, self.molecular = scenario.temperature, scenario.molecular
        ends = [(riser.cells[a], riser.cells[b]) for a, b, _ in riser.links]
        self.a = numpy.array([a for a, _, _ in riser.links], dtype=int)
        self.b = numpy.array([b for _, b, _ in riser.links], dtype=int)
        self.fixed = numpy.array([numpy.nan if fixed is None else fixed for _, _, fixed in riser.links])
        self.open = numpy.array([bool(p.length and q.length) for p, q in ends])
        pick = [(p, q) if p.length and q.length else (NO_GEOMETRY, NO_GEOMETRY) for p, q in ends]
        self.half = numpy.array([[p.length / 2, q.length / 2] for p, q in pick]).reshape(-1, 2)
        self.bore = numpy.array([[p.bore, q.bore] for p, q in pick]).reshape(-1, 2)
        self.diffusion = 1.13e-5 * self.temperature**1.724 * 1e-4 * 101325.0  # p D, eq. 9

    def exchange(self, pressure):
        """G of every link [mol/s]."""
        if not len(self.a):
            return numpy.zeros(0)
        area = math.pi / 4 * self.bore**2
        still = pressure / (R * self.temperature) * self.diffusion / pressure / (self.half / area).sum(axis=1)
        exchange = numpy.where(self.open, float(self.molecular) * still, 0.0)
        return numpy.where(numpy.isnan(self.fixed), exchange, self.fixed)
