#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "oxfade/outcome/outcome.hpp"
#include "oxfade/plant/plant.hpp"
#include "oxfade/report/units.hpp"
#include "oxfade/scenario/read.hpp"

namespace oxfade::python {

/// The text a plant was read from, so that changes by dotted keys are read as the program reads them.
struct Origin {
    std::string text;
    std::string name;
    std::vector<scenario::Override> overrides;
};

/// What Python calls a Plant: a sound plant, and what its file said beside it.
struct Model {
    plant::Plant plant;
    std::optional<double> relative_tolerance, refinement;
    scenario::UnitSystem units = scenario::UnitSystem::si;
    std::shared_ptr<const Origin> origin;  ///< null once an attribute was changed, or when built from objects
};

/// What Python calls a Run: a plant and what it did.
struct Run {
    Model model;
    outcome::Outcome outcome;
};

/// Reads a text with overrides.
Model read_model(std::shared_ptr<const Origin> origin);

/// Units of a report: "si", "us", or those of the plant's file. Throws InputError for another word.
report::Units report_units(const Model& model, const std::optional<std::string>& system);

/// Throws InputError that names what there is when `index` is empty.
std::size_t require_named(const std::optional<std::size_t>& index, const std::string& kind,
                          const std::string& name, const std::vector<std::string>& known);

}  // namespace oxfade::python
