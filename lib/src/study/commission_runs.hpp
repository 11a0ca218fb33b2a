#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "oxfade/outcome/outcome.hpp"
#include "oxfade/study/commission.hpp"

namespace oxfade::study::detail {

/// A run over the days that a commissioning sheet looks at.
class FirstDays {
  public:
    FirstDays(const plant::Plant& plant, const SheetOptions& options);

    std::optional<double> fill_time(std::size_t riser) const { return outcome_.risers[riser].fill_time; }
    /// Oxygen at the far end of a pipe at a time [s] within the run.
    double oxygen_at(std::size_t riser, const std::string& pipe, double time) const;

  private:
    const plant::Plant& plant_;
    outcome::Outcome outcome_;
};

/// Pressure [Pa] that a riser loses through its leaks in the usual air test.
double test_loss(const plant::Riser& riser, const plant::Site& site);

/// How far an oxygen reading may be off.
inline double oxygen_band(double expected, const SheetOptions& options) {
    return options.oxygen_band + 0.1 * expected;
}

}  // namespace oxfade::study::detail
