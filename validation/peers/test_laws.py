"""Laws on a grid against fluids, iapws, gsw and SciPy: libraries that nobody here wrote."""

import math
import warnings

import fluids
import gsw
import iapws
import numpy
import pytest
from fluids.compressible import P_isothermal_critical_flow, is_critical_flow, isothermal_gas
from iapws._iapws import _Henry, _Sublimation_Pressure
from iapws.iapws97 import _PSat_T, _TSat_P
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq, minimize_scalar

R = 8.314462618
AIR = 0.78084 * 28.0134e-3 + 0.209476 * 31.9988e-3 + 0.009684 * 39.948e-3
GAMMA = 1.4


def agree(ours, theirs, relative):
    numpy.testing.assert_allclose(ours, theirs, rtol=relative)


def test_pipe_bores(evaluate):
    sizes = ["1/2", "3/4", "1", "1-1/4", "1-1/2", "2", "2-1/2", "3", "3-1/2", "4", "5", "6", "8", "10", "12"]
    number = {"1/2": 0.5, "3/4": 0.75, "1-1/4": 1.25, "1-1/2": 1.5, "2-1/2": 2.5, "3-1/2": 3.5}
    pairs = [(size, schedule) for size in sizes for schedule in ("5", "10", "40")]
    theirs = [fluids.nearest_pipe(NPS=number.get(size) or float(size), schedule=schedule)[1] for size, schedule in pairs]
    # fluids has the metric dimensions, walls rounded to 0.01 mm and diameters to 0.1 mm.
    numpy.testing.assert_allclose(evaluate("bore", pairs), theirs, atol=0.13e-3)


def test_atmosphere(evaluate):
    altitudes = numpy.linspace(-600.0, 10900.0, 116)
    theirs = [fluids.ATMOSPHERE_1976(z).P for z in altitudes]
    agree(evaluate("air_pressure", [[z] for z in altitudes]), theirs, 1e-9)


def test_saturation_over_water(evaluate):
    temperatures = numpy.linspace(273.15, 640.0, 368)
    agree(evaluate("saturation_over_water", [[t] for t in temperatures]),
          [1e6 * _PSat_T(t) for t in temperatures], 1e-12)


def test_dew_point(evaluate):
    pressures = numpy.geomspace(612.0, 20e6, 200)
    agree(evaluate("dew_point", [[p] for p in pressures]), [_TSat_P(p / 1e6) for p in pressures], 1e-12)


def test_saturation_over_ice_and_frost_point(evaluate):
    temperatures = numpy.linspace(180.0, 273.16, 188)
    theirs = numpy.array([1e6 * _Sublimation_Pressure(t) for t in temperatures])
    agree(evaluate("saturation_over_ice", [[t] for t in temperatures]), theirs, 1e-9)
    agree(evaluate("frost_point", [[p * (1 - 1e-12)] for p in theirs]), temperatures, 1e-10)


def test_water_density(evaluate):
    temperatures = numpy.linspace(274.15, 372.0, 50)
    theirs = [iapws.IAPWS95(T=t, P=0.101325).rho for t in temperatures]
    agree(evaluate("water_density", [[t] for t in temperatures]), theirs, 2e-5)


@pytest.mark.parametrize("gas, name, worst", [("oxygen", "O2", 0.012), ("nitrogen", "N2", 0.015)])
def test_henry_constants(evaluate, gas, name, worst):
    """Against the guideline of IAPWS, a fit over 270 K to 620 K: good to 1 % or so at room temperature."""
    temperatures = numpy.linspace(278.15, 318.15, 41)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        theirs = [iapws.IAPWS95(T=t, P=0.101325).rho / 18.015268e-3 / (1e6 * _Henry(t, name)) for t in temperatures]
    agree(evaluate(f"henry_{gas}", [[t] for t in temperatures]), theirs, worst)


def test_dissolved_oxygen(evaluate):
    """Against the oceanographers' fit (Garcia and Gordon) at salinity zero and one atmosphere."""
    celsius = numpy.linspace(0.0, 40.0, 81)
    densities = evaluate("water_density", [[t + 273.15] for t in celsius])
    # TEOS-10 temperatures differ by a factor from those of 1968, which the function wants; micromoles a kilogram.
    theirs = [gsw.O2sol_SP_pt(0.0, t) for t in celsius] * densities * 1e-6 * 31.9988e-3
    agree(evaluate("oxygen_saturation", [[101325.0, t + 273.15] for t in celsius]), theirs, 6e-4)


def nozzle_flux(upstream, downstream, temperature, molar_mass):
    """Mass flux [kg/(m2 s)] by integrating dp/rho along the isentrope, at its maximum where that lies before the end."""
    density = upstream * molar_mass / (R * temperature)

    def flux(end):
        work, _ = quad(lambda p: (upstream / p) ** (1.0 / GAMMA) / density, end, upstream, epsrel=1e-12)
        return density * (end / upstream) ** (1.0 / GAMMA) * math.sqrt(max(0.0, 2.0 * work))

    if is_critical_flow(upstream, downstream, GAMMA):
        best = minimize_scalar(lambda e: -flux(e), bounds=(0.3 * upstream, 0.8 * upstream), method="bounded",
                               options={"xatol": 1e-6 * upstream})
        return -best.fun
    return flux(downstream)


def test_orifice(evaluate):
    ratios = [0.01, 0.2, 0.4, 0.5, 0.52, 0.5283, 0.54, 0.6, 0.7, 0.8, 0.9, 0.95, 0.98, 0.99, 0.995, 0.999, 0.9998]
    rows = [(1e-6, p, r * p, t, m) for p in (1.2e5, 4e5, 8e5) for r in ratios for t in (263.15, 300.0)
            for m in (AIR, 28.0134e-3)]
    theirs = [1e-6 * nozzle_flux(*row[1:]) / row[4] for row in rows]
    agree(evaluate("orifice_flow", rows), theirs, 1e-8)


def test_blow_down(evaluate):
    """A leaking vessel integrated in time with LSODA, from choked flow down to a breath above the outside."""
    area, volume, outside, temperature = 2e-6, 3.0, 101325.0, 290.0

    def slope(_, state):
        flow = evaluate_flow(state[0])
        return [-flow * R * temperature / volume]

    def evaluate_flow(pressure):
        return area * nozzle_flux(pressure, outside, temperature, AIR) / AIR

    for start, end in [(9e5, 4e5), (4.5e5, 1.3e5), (1.8e5, 1.03e5)]:
        def arrived(_, state, end=end):
            return state[0] - end
        arrived.terminal = True
        run = solve_ivp(slope, [0.0, 1e7], [start], method="LSODA", events=arrived, rtol=1e-9, atol=1e-3)
        time = run.t_events[0][0]
        agree(evaluate("blow_down_time", [(area, volume, start, end, outside, temperature)]), [time], 1e-6)
        agree(evaluate("leak_area_from_test", [(volume, start, end, time, outside, temperature)]), [area], 1e-6)


def test_friction_factor(evaluate):
    rows = [(re, e) for re in [500.0, 1999.0, *numpy.geomspace(4000.0, 1e8, 25)] for e in (0.0, 1e-6, 1e-4, 1e-3, 1e-2, 0.05)]
    theirs = [64.0 / re if re < 2000 else fluids.friction.Colebrook(re, e) for re, e in rows]
    agree(evaluate("friction_factor", rows), theirs, 1e-9)


def test_transition_is_between_laminar_and_turbulent_and_smooth(evaluate):
    numbers = numpy.linspace(2000.0, 4000.0, 401)
    factors = evaluate("friction_factor", [(re, 1e-3) for re in numbers])
    turbulent = [fluids.friction.Colebrook(re, 1e-3) for re in numbers]
    assert numpy.all(factors <= numpy.maximum(64.0 / numbers, turbulent) * (1 + 1e-12))
    assert numpy.all(factors >= numpy.minimum(64.0 / numbers, turbulent) * (1 - 1e-12))
    assert numpy.max(numpy.abs(numpy.diff(factors))) < 3e-4


def test_isothermal_pipe_flow(evaluate):
    rows, theirs = [], []
    for bore in (0.027, 0.1):
        for length in (5.0, 100.0):
            for upstream in (2e5, 8e5):
                for ratio in (0.3, 0.9, 0.999):
                    factor, temperature = 0.02, 288.0
                    resistance = factor * length / bore
                    choked = P_isothermal_critical_flow(P=upstream, fd=factor, D=bore, L=length)
                    # A hair above choking, which the other library refuses.
                    end = max(ratio * upstream, choked * (1 + 1e-9))
                    density = upstream * AIR / (R * temperature)
                    rows.append((resistance, bore, upstream, ratio * upstream, temperature, AIR))
                    theirs.append(isothermal_gas(density, factor, P1=upstream, P2=end, L=length, D=bore) / AIR)
    agree(evaluate("isothermal_accelerated", rows), theirs, 2e-7)


def test_isothermal_run_finds_its_own_friction_factor(evaluate):
    rows, theirs = [], []
    temperature = 293.15
    viscosity = evaluate("air_viscosity", [[temperature]])[0]
    for bore in (0.0525, 0.1082):
        for length in (50.0, 300.0):
            for drop in (500.0, 5e3, 5e4):
                upstream, roughness = 4e5, 45e-6
                density = upstream * AIR / (R * temperature)
                flow = 1.0
                for _ in range(100):
                    factor = fluids.friction.Colebrook(4.0 * flow / (math.pi * bore * viscosity), roughness / bore)
                    flow = isothermal_gas(density, factor, P1=upstream, P2=upstream - drop, L=length, D=bore)
                rows.append((length, bore, roughness, 0.0, upstream, upstream - drop, temperature))
                theirs.append(flow / AIR)
    agree(evaluate("isothermal_run", rows), theirs, 1e-8)


def counter_flow(a, pitch, pull, d, nu, other, gradient, contrast):
    """Spread of the closure as documented at flow/counterflow.hpp, its highest speed found on a grid and by bisection."""
    sine, cosine = math.sin(pitch), math.cos(pitch)
    most_carried, inertia, choking, stirring, calm = 2.42, 1.87, 0.434, 0.136, 6.9
    weak = 4 / math.pi * (2 / 15) / 8
    b = 7 / 46080 / weak**2
    lift = 1 / (67.95 * weak * b)
    contrast = contrast + a * gradient
    w = a * contrast * (pull + abs(other) / (gradient + contrast / (30 * a)))

    def carried(u):
        m = u * u / (u * u + calm * cosine * w)
        x = stirring * a * m * u / d
        across = d * (1 + (x - 1 + math.sqrt((x - 1) ** 2 + 0.04) - (math.sqrt(1.04) - 1)) / 2)
        made = b * a * a * gradient * u / across
        q = 1 / (1 + made / (most_carried * contrast))
        return made * q, q, m

    def lack(u):
        s, q, m = carried(u)
        drive = a * math.hypot(cosine * (pull * gradient + other), 0.01 * pull * gradient)
        drive += lift * sine * (pull + 67.95 / 215.6 * other / gradient) * s
        choked = (m * u / choking) ** 2 / w if drive > 0 else 0.0
        return nu * u / (weak * a * a) + inertia * u * u * q * gradient / contrast - drive * (1 - choked)

    speeds = numpy.geomspace(1e3, 1e-12, 3000)
    below = next((k for k, u in enumerate(speeds) if lack(u) < 0), None)
    if not below:
        return d
    u = brentq(lack, speeds[below], speeds[below - 1], xtol=1e-18, rtol=1e-13)
    return d + u * carried(u)[0] / gradient


def test_counter_flow_is_the_closure_that_is_documented(evaluate):
    draw = numpy.random.default_rng(7)
    rows = []
    for _ in range(300):
        bars = draw.uniform(1.0, 8.0)
        contrast = 10 ** draw.uniform(-3, 0)
        rows.append([draw.uniform(0.005, 0.15), math.radians(draw.choice([0.0, draw.uniform(-90.0, 90.0)])), draw.uniform(0.05, 0.35),
                     2e-5 / bars, 1.5e-5 / bars, draw.choice([0.0, draw.uniform(-0.01, 0.01)]),
                     contrast * 10 ** draw.uniform(-2, 1), contrast])
    theirs = numpy.array([counter_flow(*row) for row in rows])
    # The library leaves out counter-flow that carries a millionth of what diffusion does.
    numpy.testing.assert_allclose(evaluate("counter_flow", rows), theirs, rtol=3e-6)
