#include "exposure_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "oxfade/flow/corrosion.hpp"
#include "oxfade/report/exposure.hpp"
#include "oxfade/report/units.hpp"

namespace oxfade::report {
namespace {

using outcome::LowPointOutcome;
using outcome::RiserOutcome;

bool water_lay(const RiserOutcome& riser) {
    return std::any_of(riser.low_points.begin(), riser.low_points.end(),
                       [](const LowPointOutcome& water) { return water.oxygen_limit.has_value(); });
}

std::string riser_text(const RiserOutcome& riser) {
    double worst = -1.0;
    std::string place;
    for (const outcome::PipeOutcome& pipe : riser.pipes) {
        for (const double exposure : pipe.oxygen_exposure) {
            if (exposure <= worst) continue;
            worst = exposure;
            place = pipe.name;
        }
    }
    std::string text =
        fmt::format("oxygen exposure {} of that on air", format_percent(riser.oxygen_exposure));
    const bool elsewhere = worst > riser.oxygen_exposure * (1.0 + 1e-3);
    return elsewhere ? text + fmt::format("; {} in the worst cell, in '{}'", format_percent(worst), place)
                     : text;
}

/// "0.35 mm (14 mil) a year"
std::string yearly(double penetration) {
    constexpr double mil = 25.4e-6;
    const double depth = penetration * flow::seconds_per_year;
    return fmt::format("{:.2g} mm ({:.2g} mil) a year", 1e3 * depth, depth / mil);
}

std::string water_text(const LowPointOutcome& water) {
    const outcome::OxygenLimit& limit = *water.oxygen_limit;
    return fmt::format(
        "'{}': under its water oxygen takes at most {} off the steel ({:.2g} A/m2), {} were the piping on "
        "air; for the {} that it lay there",
        water.name, yearly(limit.penetration), limit.current_density, yearly(limit.penetration_on_air),
        format_time(limit.time));
}

}  // namespace

std::vector<std::string> exposure_assumptions(const outcome::Outcome& outcome) {
    std::vector<std::string> out{
        "Not a prediction of life: how steel rusts also depends on how wet it is, on deposits, salts, "
        "bacteria and coatings, and none of that is in these numbers.",
        "Oxygen exposure is the oxygen's partial pressure over the whole run, relative to air at the same "
        "pressures; use it to compare piping, not to count years."};
    if (std::any_of(outcome.risers.begin(), outcome.risers.end(), water_lay)) {
        out.emplace_back(
            "Under water: all oxygen that still water passes on (1 cm/h of what is dissolved) reaches bare "
            "steel, evenly, and turns it into Fe2O3; pits go deeper. What it uses up is not taken out of "
            "water and "
            "gas. Time frozen or drained is not counted.");
    }
    return out;
}

void detail::write_exposure(Page& page, const outcome::Outcome& outcome) {
    page.heading("Corrosion exposure");
    for (const RiserOutcome& riser : outcome.risers) {
        page.labelled("System", riser.name + ": " + riser_text(riser));
        for (const LowPointOutcome& water : riser.low_points) {
            if (water.oxygen_limit) page.labelled("Low point", water_text(water));
        }
    }
    for (const std::string& assumption : exposure_assumptions(outcome)) page.paragraph(assumption, 2);
    page.blank();
}

}  // namespace oxfade::report
