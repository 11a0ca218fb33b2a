#pragma once

#include <cstddef>
#include <unordered_map>

namespace oxfade::engine {

/// How long the steps of a method of order 3 with an error estimate of order 2 may be.
class StepControl {
  public:
    double wanted() const { return wanted_; }  ///< [s]
    /// The rates have changed: legs that are alike, told apart by number, begin with steps as the last of
    /// them did.
    void turn(std::size_t leg);
    /// Takes in a step tried whose error over what is allowed is `norm`; whether it counts.
    bool take(double size, double norm);

  private:
    double wanted_ = 1.0;                               ///< [s]
    std::unordered_map<std::size_t, double> at_begin_;  ///< the same after the first step of a leg [s]
    std::size_t leg_ = 0;
    bool leg_begins_ = false;
};

}  // namespace oxfade::engine
