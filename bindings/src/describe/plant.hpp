#pragma once

#include "describe/describe.hpp"
#include "oxfade/plant/plant.hpp"

namespace oxfade::python {

/// Attributes of a plant, wherever it is kept: `part` gives it.
template <class Visit, class Part>
void describe_plant(Visit&& visit, Part part) {
    visit(
        "duration_s", [part](auto& p) -> auto& { return part(p).duration; }, "Simulated time [s].",
        Need::required);
    visit(
        "target", [part](auto& p) -> auto& { return part(p).target; },
        "Wanted purity: 1 less the mole fraction of oxygen [1].", Need::required);
    visit(
        "source", [part](auto& p) -> auto& { return part(p).source; }, "Generator, Cylinders or Compressor.",
        Need::required);
    visit(
        "risers", [part](auto& p) -> auto& { return part(p).risers; },
        "tuple of Riser, filled one at a time in this order.", Need::required);
    visit(
        "target_at", [part](auto& p) -> auto& { return part(p).target_at; },
        "str: what has to read the target, 'everywhere', the 'average' or all 'readings'.", Need::optional);
    visit(
        "site", [part](auto& p) -> auto& { return part(p).site; }, "Site: the surroundings.", Need::optional);
    visit(
        "mixing", [part](auto& p) -> auto& { return part(p).mixing; },
        "Mixing: which kinds act between compartments.", Need::optional);
    visit(
        "actions", [part](auto& p) -> auto& { return part(p).actions; },
        "tuple of Action: what happens on a date.", Need::optional);
    visit(
        "title", [part](auto& p) -> auto& { return part(p).title; }, "str: a name for reports.",
        Need::optional);
    visit(
        "start", [part](auto& p) -> auto& { return part(p).start; },
        "str: local date and time of the start of the run, such as '2026-03-02T08:00'; empty if not said. "
        "Dates of readings count from it.",
        Need::optional);
}

template <class Visit>
void describe(Kind<plant::Plant>, Visit&& visit) {
    describe_plant(
        visit, [](auto& p) -> auto& { return p; });
}

}  // namespace oxfade::python
