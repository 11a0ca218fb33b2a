#pragma once

#include <oxfade/oxfade.hpp>
#include <vector>

/// The work that speed is measured on.
namespace oxfade::cases {

/// A: one riser of two compartments behind a generator, 21 days; `vent_inch` is the vent's diameter [in].
/// 0.03 and 0.05 in can be fed, 0.08 in takes more than the separator makes.
plant::Plant one_riser(double vent_inch);

/// B: four risers of 20 compartments each in trees, 20 to 60 gal apiece, vents at the far ends, 21 days.
plant::Plant four_risers();

/// C: one riser of so many compartments of 1000 gal in all, as a chain or as a binary tree; 21 days.
plant::Plant many_compartments(int count, bool chain);

/// D: variations of A drawn from a fixed seed: vent diameter, leaks, volumes, purity.
std::vector<plant::Plant> variations(std::size_t count);

}  // namespace oxfade::cases
