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
void describe(Kind<plant::Site>, Visit&& visit) {
    visit(
        "pressure_pa", [](auto& s) -> auto& { return s.pressure; },
        "Absolute pressure of the air around the piping [Pa].", Need::optional);
    visit(
        "temperature_k", [](auto& s) -> auto& { return s.temperature; },
        "Temperature of air, pipes and receiver [K], 200 to 400.", Need::optional);
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
        "bool: whether layers of different density pass one another in level pipes.", Need::optional);
}

}  // namespace oxfade::python
