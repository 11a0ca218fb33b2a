#pragma once

#include "describe/describe.hpp"
#include "oxfade/plant/riser.hpp"

namespace oxfade::python {

template <class Visit>
void describe(Kind<plant::VolumeOnly>, Visit&& visit) {
    visit(
        "volume_m3", [](auto& s) -> auto& { return s.volume; }, "Inside volume [m3].", Need::required);
}

template <class Visit>
void describe(Kind<plant::Cylinder>, Visit&& visit) {
    visit(
        "bore_m", [](auto& s) -> auto& { return s.bore; }, "Inside diameter [m].", Need::required);
    visit(
        "length_m", [](auto& s) -> auto& { return s.length; }, "Length [m].", Need::required);
}

template <class Visit>
void describe(Kind<plant::Pipe>, Visit&& visit) {
    visit(
        "name", [](auto& p) -> auto& { return p.name; }, "str: its name, unique in the riser.",
        Need::required);
    visit(
        "shape", [](auto& p) -> auto& { return p.shape; },
        "Cylinder, or VolumeOnly where no dimensions are known.", Need::required);
    visit(
        "from_pipe", [](auto& p) -> auto& { return p.from; },
        "str: the pipe whose far end it is joined to; None: the one before it.", Need::optional);
    visit(
        "cells", [](auto& p) -> auto& { return p.cells; },
        "int: well-mixed cells in series [count], at least 1, or None: the program chooses.", Need::optional);
    visit(
        "count", [](auto& p) -> auto& { return p.count; },
        "int: equal pipes side by side from the same point [count], each with all that hangs on it.",
        Need::optional);
    visit(
        "pitch", [](auto& p) -> auto& { return p.pitch; },
        "Rise of the far end over the length [1], -1 to 1, or None: from the elevations, else as usual.",
        Need::optional);
    visit(
        "position", [](auto& p) { return PositionOf{p.pitch}; },
        "str: the pitch as a word, 'level' (0), 'vertical' (1) or 'drop' (-1); None for any other.",
        Need::optional);
    visit(
        "elevations_m", [](auto& p) -> auto& { return p.elevation; },
        "tuple of float: elevations of the near and the far end [m], or None.", Need::optional);
    visit(
        "exchange_mol_per_s", [](auto& p) -> auto& { return p.exchange; },
        "Fixed mixing exchange on its links [mol/s], or None: from its dimensions.", Need::optional);
}

template <class Visit>
void describe(Kind<plant::LoopLink>, Visit&& visit) {
    visit(
        "first", [](auto& l) -> auto& { return l.first; }, "str: a pipe.", Need::required);
    visit(
        "second", [](auto& l) -> auto& { return l.second; }, "str: the pipe it is joined to.",
        Need::required);
}

template <class Visit>
void describe(Kind<plant::WaterRise>, Visit&& visit) {
    visit(
        "rise_m", [](auto& w) -> auto& { return w.height; },
        "How far the water can be pushed up before gas bubbles through [m].", Need::required);
}

template <class Visit>
void describe(Kind<plant::LegSlopes>, Visit&& visit) {
    visit(
        "before", [](auto& s) -> auto& { return s.before; },
        "Height over length of the leg gas comes from at the fill [1], up to 0.25.", Need::required);
    visit(
        "behind", [](auto& s) -> auto& { return s.behind; },
        "Height over length of the other leg [1], up to 0.25.", Need::required);
}

template <class Visit>
void describe(Kind<plant::LowPoint>, Visit&& visit) {
    visit(
        "name", [](auto& l) -> auto& { return l.name; }, "str: its name, unique in the riser.",
        Need::required);
    visit(
        "on", [](auto& l) -> auto& { return l.on; },
        "str: a pipe; the water is on the link from it back to the pipe it hangs on.", Need::required);
    visit(
        "water_m3", [](auto& l) -> auto& { return l.water; }, "Volume at the start of the run [m3].",
        Need::required);
    visit(
        "shape", [](auto& l) -> auto& { return l.shape; },
        "WaterRise, or LegSlopes from which it follows: how far it can be pushed up.", Need::required);
}

template <class Visit>
void describe(Kind<plant::SamplingPoint>, Visit&& visit) {
    visit(
        "name", [](auto& s) -> auto& { return s.name; },
        "str: its name, unique among vents and sampling points.", Need::required);
    visit(
        "at", [](auto& s) -> auto& { return s.at; }, "str: the pipe it is on.", Need::required);
    visit(
        "distance_m", [](auto& s) -> auto& { return s.distance; },
        "Distance from the pipe's near end [m], or None: at its far end.", Need::optional);
}

template <class Visit>
void describe_lists(Visit&& visit) {
    visit(
        "pipes", [](auto& r) -> auto& { return r.pipes; }, "tuple of Pipe: the first is where gas enters.",
        Need::required);
    visit(
        "links", [](auto& r) -> auto& { return r.links; },
        "tuple of LoopLink: what closes loops between far ends.", Need::optional);
    visit(
        "vents", [](auto& r) -> auto& { return r.vents; }, "tuple of Vent: the ways out.", Need::optional);
    visit(
        "leaks", [](auto& r) -> auto& { return r.leaks; }, "tuple of Leak: holes that always act.",
        Need::optional);
    visit(
        "low_points", [](auto& r) -> auto& { return r.low_points; },
        "tuple of LowPoint: water that was left in dips.", Need::optional);
    visit(
        "samples", [](auto& r) -> auto& { return r.samples; },
        "tuple of SamplingPoint: where gas is analysed, other than at vents.", Need::optional);
}

template <class Visit>
void describe(Kind<plant::Riser>, Visit&& visit) {
    visit(
        "name", [](auto& r) -> auto& { return r.name; }, "str: its name, unique in the plant.",
        Need::required);
    visit(
        "set_pressure_pa", [](auto& r) -> auto& { return r.set_pressure; },
        "Absolute pressure it is kept at [Pa].", Need::required);
    visit(
        "fill", [](auto& r) -> auto& { return r.fill; }, "Orifice of the fill passage.", Need::required);
    visit(
        "supply", [](auto& r) -> auto& { return r.supply; },
        "Regulator or PressureSwitch: what keeps the pressure up.", Need::required);
    describe_lists(visit);
    visit(
        "fill_limit_s", [](auto& r) -> auto& { return r.fill_limit; }, "Time its fill may take [s].",
        Need::optional);
    visit(
        "rest_s", [](auto& r) -> auto& { return r.rest; }, "Pause before the next riser's fill [s].",
        Need::optional);
    visit(
        "initial_gas", [](auto& r) -> auto& { return r.initial_gas; },
        "str: what it holds at the start, 'air' or 'source'.", Need::optional);
    visit(
        "initial_pressure_pa", [](auto& r) -> auto& { return r.initial_pressure; },
        "Absolute pressure at the start [Pa], or None: the site's.", Need::optional);
    visit(
        "temperature_k", [](auto& r) -> auto& { return r.temperature; },
        "Temperature of its pipes [K], a DailySwing or a TemperatureTable; None: the site's.",
        Need::optional);
}

}  // namespace oxfade::python
