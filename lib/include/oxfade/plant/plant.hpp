#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "oxfade/error.hpp"
#include "oxfade/plant/action.hpp"
#include "oxfade/plant/riser.hpp"
#include "oxfade/plant/site.hpp"
#include "oxfade/plant/source.hpp"

/// What the user has, as plain structs in SI units.
namespace oxfade::plant {

/// What spreads gas along pipes beside the flow itself (model.md section 4).
struct Mixing {
    bool molecular = true;
    bool buoyant = true;  ///< counter-flow of heavy and light gas
    bool shear = true;    ///< by the flow's own velocity profile and its turbulence
    double mouth = 2.0;   ///< depth to which a dead end is stirred by what passes its mouth [bores], 0 to 20
    double warm_end = 0.0;  ///< how much warmer the far end of a dead end is than its mouth [K], -10 to 10
};

/// What has to read the target: analysers at all vents and sampling points, the average of the gas in the
/// piping, or every part of it.
enum class TargetAt { readings, average, everywhere };

/// A value that nobody gave and that a usual one stands for.
struct Assumed {
    std::string key;    ///< dotted path of the scenario file
    std::string value;  ///< as a file would have it: `20 degC`
    std::string basis;  ///< its source, or `common practice, no source`
};

/// What `start` must be, for messages.
inline constexpr std::string_view start_allowed = "a local date such as 2026-03-02T08:00, without an offset";

/// A building's dry systems and how they are to be purged.
struct Plant {
    std::string title;
    double duration = 0.0;  ///< simulated time [s], > 0
    double target = 0.98;   ///< wanted purity, 1 - oxygen of the dry gas, in (0, 1)
    TargetAt target_at = TargetAt::everywhere;
    Site site;
    Source source;
    std::vector<Riser> risers;  ///< filled one at a time in this order
    Mixing mixing;
    std::vector<Action> actions;  ///< what happens on a date, in any order
    std::string start;  ///< local date and time at which the run begins, `2026-03-02T08:00:00`; or empty
    std::vector<Assumed> assumed;  ///< what the file leaves out; the values themselves are in their places
};

/// Indices of the actions in the order in which they act.
std::vector<std::size_t> actions_in_order(const Plant& plant);

/// The plant with another duration of its run [s]; what is done later falls away.
Plant lasting(Plant plant, double duration);

/// Changes the quantity under a dotted key, as an action does. Throws InputError where there is none.
void set_quantity(Plant& plant, const std::string& key, double si);

/// Everything that is impossible in a plant; empty when it can be computed. Keys are the dotted paths of the
/// scenario file, with list entries by name where they have one: `riser.North.vent.end vent.diameter`.
std::vector<Problem> find_problems(const Plant& plant);

/// Throws InputError with all problems, if any.
void require_valid(const Plant& plant);

}  // namespace oxfade::plant
