#pragma once

#include <vector>

#include "engine/lanes/series_view.hpp"
#include "engine/network.hpp"

namespace oxfade::engine {

/// Implicit steps of the cruise, for compartments so short-lived that series would have to be many.
///
/// Rosenbrock's method of rosenbrock.hpp on the compositions, the receiver and the totals at once. Its
/// Jacobian leaves out that flows depend on composition, so it is a triangle: one sweep outward along the
/// trees solves it, whatever their size. Over a step everything is a cubic in time, as in DenseStep, and
/// keeps its balances.
class CruiseSweep {
  public:
    /// @param vent_part share of each node's outflow that goes through vents
    CruiseSweep(const Network& net, const std::vector<double>& vent_part, double relative_tolerance);

    /// Puts cubics into the view for a step as long as asked for or as the tolerance allows, and says how
    /// long that is [s]. The view's flows of power 0 must be there.
    double step(SeriesView<double>& view, double size);
    /// Adds what left by a time within the step to the first totals, four a riser.
    void add_totals(double t, std::vector<double>& totals) const;

  private:
    /// Entries of a state: receiver, air in it, totals, then air fractions of the nodes.
    static constexpr std::size_t source = 0, source_air = 1, first_total = 2;
    std::size_t first_node() const { return first_total + 4 * net_.risers.size(); }
    using Values = std::vector<double>;

    void take_start(const SeriesView<double>& view);
    void rates(const SeriesView<double>& view, const Values& x, Values& dxdt);
    void solve(const SeriesView<double>& view, const Values& rhs, Values& u) const;
    double attempt(const SeriesView<double>& view, double size);
    double error_norm() const;
    void hand_over(SeriesView<double>& view, double size) const;

    const Network& net_;
    const std::vector<double>& vent_part_;
    double tolerance_, floor_;
    double wanted_ = 1.0;             ///< step size the error control asks for [s]
    std::vector<std::size_t> holes_;  ///< nodes with any
    Values x_, f_, x1_, f1_, error_, at_, rhs_, u_[4];
    Values rate_;               ///< flow through each node over its content [1/s]
    Values inverse_, carried_;  ///< of the factorised triangle: inverse diagonal, and that times the rate
    Values link_;
    double supply_ = 0.0, shift_ = 1.0, size_ = 1.0;
};

}  // namespace oxfade::engine
