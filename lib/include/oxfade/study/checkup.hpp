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
    std::string pipe;              ///< the first pipe of it
    std::size_t pipes = 0;         ///< in it
    double volume = 0.0;           ///< [m3]
    std::optional<double> length;  ///< from its mouth to its farthest end [m]; none without all geometry
    /// How long its farthest end takes from air to the target once clean gas stands at its mouth [s].
    /// Infinite where the source cannot give the target; none without geometry, or without that kind of
    /// mixing.
    std::optional<double> by_diffusion;  ///< by diffusion alone
    std::optional<double> by_mixing;     ///< with buoyant exchange too, where the pipe is level
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

/// Time [s] in which the closed end of a pipe falls from one excess of oxygen to another, with clean gas held
/// at its mouth: the slowest mode of diffusion, 4 L^2 / (pi^2 D), with D raised by buoyant exchange as far as
/// the excess that is left still drives it (model.md eq. 9 and 10; the ceiling of eq. 11, which matters for
/// ends of a metre or less, is left out).
/// @param length [m]  @param diffusivity [m2/s]
/// @param buoyancy factor C of D_eff = D (1 + C x^2) for an even gradient from the mouth to the excess x at
/// the
///     end; 0 for diffusion alone. The slowest mode is steeper at its mouth: projected on it, C counts 3
///     pi^2/16.
/// @param from, to excess mole fractions over the gas at the mouth, from > to > 0
double dead_end_time(double length, double diffusivity, double buoyancy, double from, double to);

}  // namespace oxfade::study
