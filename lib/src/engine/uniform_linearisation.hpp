#pragma once

#include "engine/linearisation.hpp"
#include "engine/uniform_dynamics.hpp"

namespace oxfade::engine {

/// One pressure a riser: an arrow matrix, every riser meets the receiver only.
class UniformLinearisation : public Linearisation {
  public:
    explicit UniformLinearisation(const UniformDynamics& dynamics);

  private:
    void prepare_gas() override;
    void solve_gas(const State& rhs, State& u) override;
    bool gas_changes(int r, const State& u) override;

    double source_diagonal_ = 1.0;        ///< receiver's pivot
    std::vector<double> riser_diagonal_;  ///< each riser's pivot
    std::vector<double> need_;
};

}  // namespace oxfade::engine
