#pragma once

#include "describe/describe.hpp"
#include "oxfade/plant/source.hpp"

namespace oxfade::python {

template <class Visit>
void describe(Kind<plant::Receiver>, Visit&& visit) {
    visit(
        "volume_m3", [](auto& r) -> auto& { return r.volume; }, "Volume [m3].", Need::required);
    visit(
        "start_pa", [](auto& r) -> auto& { return r.start; },
        "The machine starts at or below this absolute pressure [Pa].", Need::required);
    visit(
        "stop_pa", [](auto& r) -> auto& { return r.stop; },
        "The machine stops at or above this absolute pressure [Pa].", Need::required);
    visit(
        "initial_pressure_pa", [](auto& r) -> auto& { return r.initial_pressure; },
        "Absolute pressure at the start of the run [Pa].", Need::required);
    visit(
        "initial_gas", [](auto& r) -> auto& { return r.initial_gas; },
        "str: what it holds at the start, 'air' or 'source'.", Need::optional);
}

template <class Visit>
void describe(Kind<plant::Generator>, Visit&& visit) {
    visit(
        "purity", [](auto& g) -> auto& { return g.purity; },
        "Of the product: 1 less the mole fraction of oxygen [1].", Need::required);
    visit(
        "nitrogen_flow_m3_per_s", [](auto& g) -> auto& { return g.nitrogen_flow; },
        "Standard volume flow of product while it runs [m3/s].", Need::required);
    visit(
        "air_flow_m3_per_s", [](auto& g) -> auto& { return g.air_flow; },
        "Standard volume flow of air with the separator passed by [m3/s].", Need::required);
    visit(
        "air_below_pa", [](auto& g) -> auto& { return g.air_below; },
        "Absolute receiver pressure at or below which it falls back on air [Pa].", Need::required);
    visit(
        "power_w", [](auto& g) -> auto& { return g.power; },
        "Electrical power while it runs [W], or None: then there is no energy in the results.",
        Need::optional);
    visit(
        "receiver", [](auto& g) -> auto& { return g.receiver; },
        "Receiver: the tank between machine and risers.", Need::required);
}

template <class Visit>
void describe(Kind<plant::Cylinders>, Visit&& visit) {
    visit(
        "purity", [](auto& c) -> auto& { return c.purity; },
        "Of the gas: 1 less the mole fraction of oxygen [1].", Need::required);
    visit(
        "content_m3", [](auto& c) -> auto& { return c.content; }, "Standard volume in all [m3].",
        Need::required);
    visit(
        "delivery_pressure_pa", [](auto& c) -> auto& { return c.delivery_pressure; },
        "Absolute pressure behind the regulator [Pa].", Need::required);
}

template <class Visit>
void describe(Kind<plant::Compressor>, Visit&& visit) {
    visit(
        "air_flow_m3_per_s", [](auto& c) -> auto& { return c.air_flow; },
        "Standard volume flow of air while it runs [m3/s].", Need::required);
    visit(
        "power_w", [](auto& c) -> auto& { return c.power; },
        "Electrical power while it runs [W], or None: then there is no energy in the results.",
        Need::optional);
    visit(
        "receiver", [](auto& c) -> auto& { return c.receiver; },
        "Receiver: the tank between machine and risers.", Need::required);
}

}  // namespace oxfade::python
