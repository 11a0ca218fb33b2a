#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "oxfade/plant/leak_area.hpp"
#include "oxfade/plant/plant.hpp"

namespace oxfade::study {

/// One thing that is not as designed.
enum class FaultKind {
    none,
    leak,           ///< a further leak, spread over the riser; its size is an effective area [m2]
    blocked_vent,   ///< its size is the share of the vent's area that is left
    closed_branch,  ///< water closes the way into a pipe and all behind it; it has no size
    dry_low_point,  ///< a low point holds no water, whatever the plant says; it has no size
    low_purity,     ///< its size is the oxygen fraction of the source's product
    small_supply,   ///< its size is the share of the supply passage's area that is there
    small_source,   ///< its size is the share of its rated flows that the source makes
};

/// Where it is. Only what its kind needs is looked at.
struct Fault {
    FaultKind kind = FaultKind::none;
    std::size_t riser = 0;
    std::size_t item = 0;  ///< index of the vent, of the first pipe behind the water, or of the low point
};

/// In plain words: "'end vent' of 'North' is blocked".
std::string describe(const plant::Plant& plant, const Fault& fault);

/// The plant with a fault of some size. Throws InputError for a fault that the plant cannot have: no such
/// riser, vent, pipe or low point, a branch that a loop passes by, a source without flows or purity.
plant::Plant with_fault(const plant::Plant& plant, const Fault& fault, double size);

/// The plant without a pipe and all behind it, as when water stands in the way there: their volume, vents and
/// low points are gone, leaks placed there too, and of leaks spread by volume the part that fell there.
///
/// A simple picture of a closed dip. The water is never blown through, the branch keeps the gas it has at
/// that moment, and no gas dissolves. Its pressure may fall by its leaks; nothing is said of it.
plant::Plant without_branch(const plant::Plant& plant, std::size_t riser, std::size_t pipe);

/// Pipes of a riser behind which water could cut everything off: all but the first and those that a loop
/// passes by.
std::vector<std::size_t> branches_of(const plant::Riser& riser);
/// A pipe and all behind it, as indices.
std::vector<std::size_t> subtree_of(const plant::Riser& riser, std::size_t pipe);

/// The plant with every leak given as a hole of the same effective area, so that its size no longer depends
/// on volumes. Each has the coefficient 1.
plant::Plant with_leaks_as_holes(const plant::Plant& plant);

/// A hole of an effective area [m2], with the coefficient 1.
plant::Orifice hole_of(double effective_area);
/// Effective area of all vents of a riser [m2]; that of all leaks is in plant.
double vent_area(const plant::Riser& riser);
using plant::leak_area;

}  // namespace oxfade::study
