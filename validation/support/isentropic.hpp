#pragma once

#include <cmath>

#include "check.hpp"
#include "oxfade/flow/orifice.hpp"

/// Reading the nozzle function as an isentropic table: A/A* is the choked value over the value at p/p0.
namespace oxfade::validation {

inline double area_ratio(double pressure_ratio) {
    return flow::choked_nozzle_function / flow::nozzle_function(pressure_ratio).value;
}

/// A/A* at the row's Mach number, whose pressure ratio is (1 + M^2/5)^(-7/2).
inline double area_ratio_at_mach(const Row& row) {
    const double mach = row.number("mach");
    return area_ratio(std::pow(1.0 + mach * mach / 5.0, -3.5));
}

/// The subsonic pressure ratio at which A/A* is the row's.
inline double pressure_ratio_at_area_ratio(const Row& row) {
    const double wanted = row.number("area_ratio");
    return root([&](double ratio) { return area_ratio(ratio) - wanted; }, flow::critical_ratio, 0.9999);
}

}  // namespace oxfade::validation
