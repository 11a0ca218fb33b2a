#pragma once

namespace oxfade::engine {

/// How long the steps of a method of order 3 with an error estimate of order 2 may be.
class StepControl {
  public:
    double wanted() const { return wanted_; }  ///< [s]
    /// Nothing longer for now [s].
    void limit(double size) { wanted_ = size < wanted_ ? size : wanted_; }
    /// Takes in a step tried whose error over what is allowed is `norm`; whether it counts.
    bool take(double size, double norm);

  private:
    double wanted_ = 1.0;  ///< [s]
};

}  // namespace oxfade::engine
