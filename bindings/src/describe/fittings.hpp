#pragma once

#include "describe/describe.hpp"
#include "oxfade/plant/riser.hpp"

namespace oxfade::python {

/// Diameter and coefficient of a hole, whatever it belongs to.
template <class Visit, class Hole>
void describe_hole(Visit&& visit, Hole hole) {
    visit(
        "diameter_m", [hole](auto& o) -> auto& { return hole(o).diameter; }, "Diameter of the bore [m].",
        Need::required);
    visit(
        "coefficient", [hole](auto& o) -> auto& { return hole(o).coefficient; },
        "Discharge coefficient [1], above 0 and up to 1.", Need::optional);
}

template <class Visit>
void describe(Kind<plant::Orifice>, Visit&& visit) {
    describe_hole(
        visit, [](auto& o) -> auto& { return o; });
}

template <class Visit>
void describe(Kind<plant::Regulator>, Visit&& visit) {
    describe_hole(
        visit, [](auto& r) -> auto& { return r.orifice; });
}

template <class Visit>
void describe(Kind<plant::PressureSwitch>, Visit&& visit) {
    describe_hole(
        visit, [](auto& s) -> auto& { return s.orifice; });
    visit(
        "low_pa", [](auto& s) -> auto& { return s.low; }, "Opens at or below this absolute pressure [Pa].",
        Need::required);
    visit(
        "high_pa", [](auto& s) -> auto& { return s.high; }, "Shuts at or above this absolute pressure [Pa].",
        Need::required);
}

template <class Visit>
void describe(Kind<plant::OpenAlways>, Visit&&) {}

template <class Visit>
void describe(Kind<plant::OpenUntilTarget>, Visit&&) {}

template <class Visit>
void describe(Kind<plant::OpenUntil>, Visit&& visit) {
    visit(
        "until_s", [](auto& p) -> auto& { return p.time; }, "Shuts for good at this time of the run [s].",
        Need::required);
}

template <class Visit>
void describe(Kind<plant::OpenTimed>, Visit&& visit) {
    visit(
        "every_s", [](auto& p) -> auto& { return p.every; }, "From one opening to the next [s].",
        Need::required);
    visit(
        "for_s", [](auto& p) -> auto& { return p.duration; }, "How long it is open each time [s].",
        Need::required);
}

template <class Visit>
void describe(Kind<plant::OpenBetween>, Visit&& visit) {
    visit(
        "high_pa", [](auto& p) -> auto& { return p.high; }, "Opens at this absolute pressure [Pa].",
        Need::required);
    visit(
        "low_pa", [](auto& p) -> auto& { return p.low; }, "Shuts at this absolute pressure [Pa].",
        Need::required);
}

template <class Visit>
void describe(Kind<plant::Vent>, Visit&& visit) {
    visit(
        "name", [](auto& v) -> auto& { return v.name; }, "str: its name, unique in the riser.",
        Need::required);
    visit(
        "at", [](auto& v) -> auto& { return v.at; }, "str: the pipe at whose far end it sits.",
        Need::required);
    describe_hole(
        visit, [](auto& v) -> auto& { return v.orifice; });
    visit(
        "open", [](auto& v) -> auto& { return v.policy; },
        "OpenAlways, OpenUntil, OpenUntilTarget, OpenTimed or OpenBetween: when it is open.", Need::optional);
    visit(
        "liquid_stop", [](auto& v) -> auto& { return v.liquid_stop; },
        "bool: whether it shuts when more water reaches it than its chamber holds.", Need::optional);
    visit(
        "chamber_m3", [](auto& v) -> auto& { return v.chamber; },
        "Water its chamber holds before a liquid stop shuts [m3].", Need::optional);
}

template <class Visit>
void describe(Kind<plant::LeakByTest>, Visit&& visit) {
    visit(
        "loss_pa", [](auto& l) -> auto& { return l.loss; }, "Pressure lost in the test [Pa].",
        Need::required);
    visit(
        "over_s", [](auto& l) -> auto& { return l.over; }, "How long the test took [s].", Need::required);
    visit(
        "from_pa", [](auto& l) -> auto& { return l.from; }, "Absolute pressure at its start [Pa].",
        Need::required);
}

template <class Visit>
void describe(Kind<plant::LeakByFlow>, Visit&& visit) {
    visit(
        "flow_m3_per_s", [](auto& l) -> auto& { return l.flow; }, "Standard volume flow of air [m3/s].",
        Need::required);
    visit(
        "pressure_pa", [](auto& l) -> auto& { return l.pressure; }, "Absolute pressure it was seen at [Pa].",
        Need::required);
}

template <class Visit>
void describe(Kind<plant::Leak>, Visit&& visit) {
    visit(
        "size", [](auto& l) -> auto& { return l.size; }, "LeakByTest, LeakByFlow, or the Orifice it equals.",
        Need::required);
    visit(
        "at", [](auto& l) -> auto& { return l.at; },
        "str: the pipe at whose far end it is; None: spread over the riser.", Need::optional);
    visit(
        "spread", [](auto& l) -> auto& { return l.spread; },
        "str: how it is spread where it is at no one place, by 'volume', 'length' or 'joints'.",
        Need::optional);
}

}  // namespace oxfade::python
