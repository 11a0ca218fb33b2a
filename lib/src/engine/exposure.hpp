#pragma once

#include <vector>

#include "engine/dense_step.hpp"

namespace oxfade::engine {

/// What oxygen the piping was exposed to (model.md section 11): integrals over time, exact for the cubics and
/// series a run is made of.
class ExposureMeter {
  public:
    explicit ExposureMeter(const Dynamics& dynamics);

    /// Takes in a step up to theta.
    void step(const DenseStep& dense, double theta);
    /// Takes in `time` [s] from `begin` on, over which no pressure changed and no temperature; `air` is the
    /// integral of the air in each node [mol s].
    void cruise(const State& x, double begin, double time, const double* air);

    /// Integral of the partial pressure of oxygen in a node [Pa s], and what it is with as much dry air
    /// there.
    double oxygen(int node) const;
    double on_air(int node) const;

    /// The water of a low point while it lay unfrozen.
    struct Water {
        double time = 0.0;             ///< [s]
        double oxygen = 0.0;           ///< integral of its concentration [mol s/m3]
        double oxygen_pressure = 0.0;  ///< integral of its partial pressure beside it, were that air [Pa s]
    };
    const Water& water(int spot) const { return water_[static_cast<std::size_t>(spot)]; }

  private:
    void add_simpson(const DenseStep& dense, double theta);
    void add_moving(const DenseStep& dense, double theta);
    void weigh(const DenseStep& dense, double time, double size);
    void add_water(const DenseStep& dense, double time, double size);
    double concentration(const State& x, int spot) const;
    double pressure_beside(const State& x, int spot) const;

    const Network& net_;
    Layout layout_;
    State integral_;  ///< of the state's entries, gas as it would be at the mean temperature
    State middle_, end_;
    std::vector<int> riser_of_entry_;  ///< -1 for what no temperature weighs
    std::vector<Water> water_;
};

}  // namespace oxfade::engine
