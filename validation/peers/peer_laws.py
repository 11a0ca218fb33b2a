"""The laws the peer model needs, written down again from model.md and the papers, not from the library."""

import math

import numpy
from scipy.integrate import quad

from peer_scenario import G0, hole_area, quantity

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


def viscosity(fractions, temperature):
    """Dilute gas of Lemmon and Jacobsen (2004), mixed by Wilke (1950); rows of fractions."""
    mass = numpy.array([28.01348, 31.9988, 39.948])
    energy, size = numpy.array([98.94, 118.5, 143.2]), numpy.array([0.3656, 0.3428, 0.335])
    x = numpy.log(temperature / energy)
    omega = numpy.exp(0.431 - 0.4623 * x + 0.08406 * x**2 + 0.005341 * x**3 - 0.00331 * x**4)
    mu = 0.0266958e-6 * numpy.sqrt(mass * temperature) / (size**2 * omega)
    ratio = mu[:, None] / mu[None, :]
    other = mass[None, :] / mass[:, None]
    phi = (1 + numpy.sqrt(ratio) * other**0.25) ** 2 / numpy.sqrt(8 * (1 + 1 / other))
    return (fractions * mu / (fractions @ phi.T)).sum(axis=1)


class NO_GEOMETRY:
    length, bore = 1.0, 1.0  # any: the link does not mix


class Mixing:
    """Exchange on the links of a riser, eq. 8 to 11."""

    def __init__(self, riser, scenario):
        self.temperature, self.molecular, self.buoyant = scenario.temperature, scenario.molecular, scenario.buoyant
        ends = [(riser.cells[a], riser.cells[b]) for a, b, _ in riser.links]
        self.a = numpy.array([a for a, _, _ in riser.links], dtype=int)
        self.b = numpy.array([b for _, b, _ in riser.links], dtype=int)
        self.fixed = numpy.array([numpy.nan if fixed is None else fixed for _, _, fixed in riser.links])
        self.open = numpy.array([bool(p.length and q.length) for p, q in ends])
        self.level = numpy.array([not (p.vertical or q.vertical) for p, q in ends])
        pick = [(p, q) if p.length and q.length else (NO_GEOMETRY, NO_GEOMETRY) for p, q in ends]
        self.half = numpy.array([[p.length / 2, q.length / 2] for p, q in pick]).reshape(-1, 2)
        self.bore = numpy.array([[p.bore, q.bore] for p, q in pick]).reshape(-1, 2)
        self.diffusion = 1.13e-5 * self.temperature**1.724 * 1e-4 * 101325.0  # p D, eq. 9

    def exchange(self, fractions, pressure):
        """G of every link [mol/s]."""
        if not len(self.a):
            return numpy.zeros(0)
        concentration = pressure / (R * self.temperature)
        d = self.diffusion / pressure
        area, length = math.pi / 4 * self.bore**2, self.half.sum(axis=1)
        density = concentration * (fractions @ MASS)
        difference = numpy.abs(density[self.a] - density[self.b])
        mean = 0.5 * (density[self.a] + density[self.b])
        mu = viscosity(0.5 * (fractions[self.a] + fractions[self.b]), self.temperature)
        narrow = self.bore.min(axis=1)  # of two bores the smaller one rules
        rayleigh = G0 * difference / (length * mu * d) * (narrow / 2) ** 4
        spread = numpy.where(self.level & self.buoyant, 7 / 46080 * rayleigh**2, 0.0)  # eq. 10
        still = concentration * d / (self.half / area).sum(axis=1)
        limit = concentration * math.pi / 8 * narrow**2 * 0.5 * numpy.sqrt(G0 * difference / mean * narrow)  # eq. 11
        exchange = numpy.where(self.open, float(self.molecular) * still + numpy.minimum(spread * still, limit), 0.0)
        return numpy.where(numpy.isnan(self.fixed), exchange, self.fixed)
