#pragma once

#include "check.hpp"
#include "oxfade/gas/mixture.hpp"
#include "purge.hpp"
#include "units.hpp"

namespace oxfade::validation {

/// Volume exchanges, or with a volume the gas for them in the row's unit.
inline double swept(const Row& row) {
    const double exchanges = exchanges_until(row.number("purity"), row.number("oxygen"));
    if (!row.has("volume_m3")) return exchanges;
    return exchanges * row.number("volume_m3") / (row.text("unit") == "ft3" ? foot * foot * foot : 1.0);
}

inline Cycles cycles_of(const Row& row, bool filled_first) {
    return cycles_until(row.number("low_pa"), row.number("high_pa"), row.number("oxygen"), filled_first,
                        row.number("temperature_k"));
}

/// Nitrogen for the row's cycles: in vessel volumes at one atmosphere, or in pounds.
inline double nitrogen_for(const Row& row, bool filled_first) {
    const double per_volume = cycles_of(row, filled_first).supplied;
    if (row.text("unit") == "lb") {
        return per_volume * row.number("volume_m3") * gas::nitrogen_of_purity(1.0).molar_mass() / pound;
    }
    return per_volume / gas::moles(atmosphere, 1.0, row.number("temperature_k"));
}

/// Purging of a vessel by sweeping and by cycles, by name; air at the start.
inline std::map<std::string, Law> purge_laws() {
    return {{"engine::predict, sweep", swept},
            {"engine::predict, oxygen after cycles",
             [](const Row& row) {
                 return 100.0 * oxygen_after_cycles(row.number("low_pa"), row.number("high_pa"),
                                                    static_cast<int>(row.number("cycles")), true,
                                                    row.number("temperature_k"));
             }},
            {"engine::predict, pressure cycles", [](const Row& row) { return cycles_of(row, true).count; }},
            {"engine::predict, vacuum cycles", [](const Row& row) { return cycles_of(row, false).count; }},
            {"engine::predict, nitrogen by pressure cycles",
             [](const Row& row) { return nitrogen_for(row, true); }},
            {"engine::predict, nitrogen by vacuum cycles",
             [](const Row& row) { return nitrogen_for(row, false); }}};
}

}  // namespace oxfade::validation
