#include "model.hpp"

#include <utility>

#include "text/nearest.hpp"

namespace oxfade::python {

Model read_model(std::shared_ptr<const Origin> origin) {
    scenario::Scenario read = scenario::read_text(origin->text, origin->name, origin->overrides);
    // A plant never changes, whatever becomes of the files of its takeoffs.
    if (!read.resolved.empty())
        origin = std::make_shared<const Origin>(Origin{std::move(read.resolved), origin->name, {}});
    return {std::move(read.plant), read.relative_tolerance, read.refinement, read.units, std::move(origin)};
}

report::Units report_units(const Model& model, const std::optional<std::string>& system) {
    if (system && *system != "si" && *system != "us") {
        throw InputError(
            {Problem{"units", *system, "there is no such system of units", "'si' or 'us'", {}, 0}});
    }
    const bool si = system ? *system == "si" : model.units == scenario::UnitSystem::si;
    return report::units_of(model.plant, si ? report::System::si : report::System::us);
}

std::size_t require_named(const std::optional<std::size_t>& index, const std::string& kind,
                          const std::string& name, const std::vector<std::string>& known) {
    if (index) return *index;
    throw InputError(
        {Problem{kind, name, "there is none of this name", text::suggest(name, known, "there are"), {}, 0}});
}

}  // namespace oxfade::python
