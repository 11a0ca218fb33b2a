#pragma once

#include "describe/describe.hpp"
#include "oxfade/plant/plant.hpp"

namespace oxfade::python {

template <class Visit>
void describe(Kind<plant::Reference>, Visit&& visit) {
    visit(
        "pressure_pa", [](auto& r) -> auto& { return r.pressure; }, "Absolute pressure [Pa].",
        Need::optional);
    visit(
        "temperature_k", [](auto& r) -> auto& { return r.temperature; }, "Temperature [K].", Need::optional);
}

template <class Visit>
void describe(Kind<plant::DailySwing>, Visit&& visit) {
    visit(
        "mean_k", [](auto& t) -> auto& { return t.mean; }, "Mean temperature [K].", Need::required);
    visit(
        "swing_k", [](auto& t) -> auto& { return t.swing; }, "From coldest to warmest [K].", Need::required);
    visit(
        "period_s", [](auto& t) -> auto& { return t.period; }, "From one warmest moment to the next [s].",
        Need::optional);
    visit(
        "warmest_s", [](auto& t) -> auto& { return t.warmest; },
        "When it is warmest, from the start of the run [s].", Need::optional);
    visit(
        "season_k", [](auto& t) -> auto& { return t.season; },
        "From the coldest to the warmest day of the year, of its mean [K]; 0: no seasons.", Need::optional);
    visit(
        "season_warmest_s", [](auto& t) -> auto& { return t.season_warmest; },
        "The middle of the warmest season, from the start of the run [s]; may be negative.", Need::optional);
}

template <class Visit>
void describe(Kind<plant::TemperatureTable::Knot>, Visit&& visit) {
    visit(
        "time_s", [](auto& k) -> auto& { return k.time; }, "From the start of the run [s].", Need::required);
    visit(
        "temperature_k", [](auto& k) -> auto& { return k.temperature; }, "Temperature then [K].",
        Need::required);
}

template <class Visit>
void describe(Kind<plant::TemperatureTable>, Visit&& visit) {
    visit(
        "knots", [](auto& t) -> auto& { return t.knots; },
        "tuple of TemperatureKnot, times rising: straight lines between.", Need::required);
    visit(
        "period_s", [](auto& t) -> auto& { return t.period; },
        "Starts over after this long [s], or None: the last one stays.", Need::optional);
}

template <class Visit>
void describe(Kind<plant::Action>, Visit&& visit) {
    visit(
        "at_s", [](auto& a) -> auto& { return a.at; }, "When, from the start of the run [s].",
        Need::required);
    visit(
        "do", [](auto& a) -> auto& { return a.deed; },
        "str: 'drain', 'trip', 'outage', 'restore', 'shut', 'open' or 'set'.", Need::required);
    visit(
        "riser", [](auto& a) -> auto& { return a.riser; },
        "str: the riser that is drained or trips, or whose valve is moved.", Need::optional);
    visit(
        "what", [](auto& a) -> auto& { return a.what; },
        "str: a low point (empty: all); or the vent, or 'supply', that is shut or opened.", Need::optional);
    visit(
        "key", [](auto& a) -> auto& { return a.key; },
        "str: what is set, by the dotted path of the scenario file.", Need::optional);
    visit(
        "value", [](auto& a) -> auto& { return a.value; }, "What it becomes [unit of the key].",
        Need::optional);
    visit(
        "for_s", [](auto& a) -> auto& { return a.duration; },
        "How long a riser that trips stays open before its fill may begin [s].", Need::optional);
}

template <class Visit>
void describe(Kind<plant::Site>, Visit&& visit) {
    visit(
        "pressure_pa", [](auto& s) -> auto& { return s.pressure; },
        "Absolute pressure of the air around the piping [Pa].", Need::optional);
    visit(
        "temperature_k", [](auto& s) -> auto& { return s.temperature; },
        "Temperature of air, pipes and receiver [K], 200 to 400; or a DailySwing or TemperatureTable.",
        Need::optional);
    visit(
        "reference", [](auto& s) -> auto& { return s.reference; },
        "Reference: the conditions at which standard volumes are counted.", Need::optional);
}

template <class Visit>
void describe(Kind<plant::Mixing>, Visit&& visit) {
    visit(
        "molecular", [](auto& m) -> auto& { return m.molecular; },
        "bool: whether gases diffuse along the pipes.", Need::optional);
    visit(
        "buoyant", [](auto& m) -> auto& { return m.buoyant; },
        "bool: whether layers of different density pass one another.", Need::optional);
    visit(
        "shear", [](auto& m) -> auto& { return m.shear; },
        "bool: whether the flow's own velocity profile and turbulence spread gas.", Need::optional);
    visit(
        "mouth_bores", [](auto& m) -> auto& { return m.mouth; },
        "Depth to which a dead end is stirred by what passes its mouth [bores], 0 to 20.", Need::optional);
    visit(
        "warm_end_k", [](auto& m) -> auto& { return m.warm_end; },
        "How much warmer the far end of a dead end is than its mouth [K], -10 to 10.", Need::optional);
}

}  // namespace oxfade::python
