#pragma once

#include <Eigen/Core>

#include "study/fit_model.hpp"

namespace oxfade::study::detail {

/// Least squares for one fault.
struct Solution {
    Eigen::VectorXd x;
    Eigen::VectorXd residuals;
    Eigen::MatrixXd covariance;  ///< of x, from the Jacobian at the solution
    double misfit() const { return residuals.squaredNorm(); }
};

/// Minimises the residuals, from the best of a few sizes of the fault: Eigen's Levenberg-Marquardt with
/// forward differences, several columns at once.
Solution solve(const FitModel& model, const Fault& fault);

}  // namespace oxfade::study::detail
