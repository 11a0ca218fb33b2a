#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

namespace oxfade::outcome {

/// What is done to one riser.
struct RemedyChange {
    std::size_t riser = 0;
    std::size_t lines = 0, all_lines = 0;  ///< branch lines that get a vent at their far end, of so many
    double orifice = 0.0;                  ///< diameter of those vents, or of the one that cycles [m]
    double low = 0.0, high = 0.0;          ///< pressures of the cycles [Pa abs]
    std::optional<int> cycles;             ///< until the target is met, or in all
};

/// Something that a fitter can do about a missed target, and the days it would take.
struct Remedy {
    enum class Kind {
        vents,   ///< purge vents at the far ends of branch lines
        cycles,  ///< pressure cycles
        longer   ///< nothing but more time
    };
    Kind kind = Kind::longer;
    std::vector<RemedyChange> changes;   ///< of the risers that miss their target
    double duration = 0.0;               ///< simulated [s]
    std::optional<double> demand_share;  ///< steady demand over what the separator makes
    /// Of each riser [s]; none: not met within that duration, or not tried.
    std::vector<std::optional<double>> time_to_target;
    bool on_air = false;     ///< the source would fall back on air: it does not help
    bool too_large = false;  ///< not run: even the smallest vents would take more than the separator makes
};

}  // namespace oxfade::outcome
