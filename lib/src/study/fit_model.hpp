#pragma once

#include <Eigen/Core>
#include <cstddef>
#include <vector>

#include "oxfade/outcome/outcome.hpp"
#include "oxfade/study/fit.hpp"

namespace oxfade::study::detail {

/// What readings a plant would give, as a function of how far its data are off. The unknowns are logarithms
/// of factors in units of their tolerance: for each riser that was read vents, volume and leaks; then the
/// oxygen of the product; then, for a fault that has a size, its size.
class FitModel {
  public:
    FitModel(const plant::Plant& plant, const std::vector<Reading>& readings, const FitOptions& options);

    struct Unknown {
        Quantity quantity;
        std::size_t riser;
        double tolerance;
        double designed;
    };
    const std::vector<Unknown>& unknowns() const { return unknowns_; }
    std::size_t data() const { return data_; }  ///< numbers read

    static bool has_size(const Fault& fault);
    std::size_t dimension(const Fault& fault) const { return unknowns_.size() + (has_size(fault) ? 1 : 0); }
    /// Start values worth trying for the size's unknown.
    std::vector<double> size_starts(const Fault& fault) const;
    /// Size of the fault from its unknown.
    double size_of(const Fault& fault, double unknown) const;

    plant::Plant plant_of(const Fault& fault, const Eigen::VectorXd& x) const;
    /// (model - read) / uncertainty for each number read, then each unknown's own pull towards its start.
    Eigen::VectorXd residuals(const Fault& fault, const Eigen::VectorXd& x) const;

  private:
    double value_at(const outcome::History& history, const outcome::Series& series, std::size_t column,
                    double time) const;

    plant::Plant plant_;
    const std::vector<Reading>& readings_;
    const FitOptions& options_;
    std::vector<Unknown> unknowns_;
    std::size_t data_ = 0;
    double last_ = 0.0;          ///< time of the last reading [s]
    outcome::Outcome designed_;  ///< the plant's own run: what stands in a branch when water closes it
};

}  // namespace oxfade::study::detail
