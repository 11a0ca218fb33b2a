#pragma once

#include <string>
#include <string_view>

namespace oxfade::plant {

/// What is done to a plant on a date.
enum class Deed {
    drain,   ///< a low point (or all of a riser's) loses its water
    trip,    ///< the riser opens: all its gas is lost, and drained it is left with air at the site's pressure
    outage,  ///< the source stops
    restore,  ///< and works again
    shut,     ///< a vent, or the supply, is shut by hand
    open,     ///< and opened again
    set,      ///< a quantity of the plant changes
};

std::string_view to_string(Deed deed);

/// What an action calls the valve between source and riser, where no vent has that name.
inline constexpr std::string_view supply_valve = "supply";

/// A dated event of a run. Several at one time act in their order.
struct Action {
    double at = 0.0;  ///< from the start of the run [s], in [0, duration)
    Deed deed = Deed::drain;
    std::string riser;      ///< its name; of drain, trip, shut and open
    std::string what;       ///< a low point, or empty for all of them; a vent, or "supply"
    std::string key;        ///< of set: the quantity by the dotted path of the scenario file
    double value = 0.0;     ///< of set: what it becomes, in SI units
    double duration = 0.0;  ///< of trip: how long it stays open before its fill may begin [s], >= 0
};

}  // namespace oxfade::plant
