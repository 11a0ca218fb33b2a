#pragma once

#include <optional>
#include <string>
#include <vector>

#include "oxfade/plant/plant.hpp"

namespace oxfade::study {

/// Size steps of dry-pipe systems in NFPA 13: what a riser's volume asks for.
enum class SizeStep {
    plain,       ///< up to 500 gal: no quick-opening device asked for
    with_quick,  ///< up to 750 gal: with a quick-opening device
    by_delivery  ///< above: only with the water delivery time shown by calculation or test
};
inline constexpr double plain_volume = 500.0 * 3.785411784e-3;       ///< [m3]
inline constexpr double with_quick_volume = 750.0 * 3.785411784e-3;  ///< [m3]

SizeStep size_step(double volume);

/// A branch that no vent lies behind and no loop passes by. Gas there is renewed by mixing from its mouth and
/// by what its own leaks draw in.
struct DeadEnd {
    std::string riser;
    std::string pipe;              ///< the line that it begins with
    std::size_t pipes = 0;         ///< in it
    int copies = 1;                ///< equal ones side by side, each of this volume
    double volume = 0.0;           ///< [m3]
    std::optional<double> length;  ///< from its mouth to its farthest end [m]; none without all geometry
    /// How long its farthest end takes from air to the target once clean gas stands at its mouth [s].
    /// Infinite where the source cannot give the target; none without geometry, or without that kind of
    /// mixing.
    std::optional<double> by_diffusion;  ///< by diffusion alone
    std::optional<double> by_mixing;     ///< with buoyant exchange too, at the pitch that the pipes have
    std::optional<double> leak_renewal;  ///< its leaks draw in as much gas as it holds in this time [s]
};

/// What can be said of a plant without running it, beside its duty and the findings.
struct Checkup {
    std::vector<SizeStep> sizes;  ///< one a riser
    std::vector<DeadEnd> dead_ends;
    /// Part of what the separator makes that is left beside the steady demand; negative when it is not
    /// enough. None for cylinders and compressors.
    std::optional<double> margin;
};

/// Needs a valid plant.
Checkup checkup(const plant::Plant& plant);

}  // namespace oxfade::study
