#include "engine/link_friction.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "oxfade/flow/pipe_friction.hpp"
#include "oxfade/gas/constants.hpp"

namespace oxfade::engine {
namespace {

/// Squared pressures that every link loses per flow besides [Pa2 s/mol]: keeps the rounding of two nearly
/// equal pressures from showing as a flow in very wide pipe. 1 mol/s loses less than 1e-7 of any riser's
/// pressure so.
constexpr double least_loss = 1e3;

/// Both halves of a link with one gas in it.
class Law {
  public:
    Law(const LinkFriction& link, const LinkGas& gas) {
        for (std::size_t h = 0; h < 2; ++h) {
            const LinkFriction::Half& half = link.halves[h];
            Part& part = parts_[h];
            const double area = std::numbers::pi / 4.0 * half.bore * half.bore;
            part.roughness = flow::steel_roughness / half.bore;
            part.reynolds = flow::reynolds_number(1.0, gas.molar_mass, half.bore, gas.viscosity);
            // (f L/d) (M N / A)^2 R T / M
            part.squares = half.length / half.bore * gas.molar_mass * gas::gas_constant * gas.temperature /
                           (area * area);
            laminar_ += 64.0 * part.squares / part.reynolds;
            laminar_below_ = std::min(laminar_below_, flow::laminar_below / part.reynolds);
        }
    }

    double laminar() const { return laminar_; }              ///< squared pressures lost per flow
    double laminar_below() const { return laminar_below_; }  ///< flow up to which both halves are [mol/s]

    struct Loss {
        double value, slope;
    };
    /// Squared pressures lost at a flow > 0, and the slope of that.
    Loss loss(double flow) const {
        Loss loss{least_loss * flow, least_loss};
        for (const Part& part : parts_) {
            const auto f = flow::friction_factor_with_slope(part.reynolds * flow, part.roughness);
            loss.value += part.squares * f.value * flow * flow;
            loss.slope += part.squares * flow * (2.0 * f.value + f.slope * part.reynolds * flow);
        }
        return loss;
    }

    /// Squared pressures lost at a flow either way.
    double signed_loss(double flow) const {
        if (std::abs(flow) <= laminar_below_) return laminar_ * flow;
        return std::copysign(loss(std::abs(flow)).value, flow);
    }

  private:
    struct Part {
        double roughness, reynolds, squares;  ///< of the bore; per flow; per flow squared and friction factor
    };
    std::array<Part, 2> parts_{};
    double laminar_ = least_loss, laminar_below_ = std::numeric_limits<double>::infinity();
};

/// Newton's method kept within a bracket: the loss rises with the flow, faster than straight.
FrictionFlow turbulent_flow(const Law& law, double squares, double guess) {
    double low = law.laminar_below(), high = squares / law.laminar();  // friction never falls below laminar
    double flow = guess > low && guess < high ? guess : std::sqrt(low * high);
    Law::Loss loss{};
    for (int i = 0; i < 100; ++i) {
        loss = law.loss(flow);
        const double excess = loss.value - squares;
        (excess > 0.0 ? high : low) = flow;
        const double step = -excess / loss.slope;
        if (std::abs(step) <= 1e-13 * flow) break;
        const double next = flow + step;
        flow = next > low && next < high ? next : 0.5 * (low + high);
    }
    return {flow, 1.0 / loss.slope};
}

}  // namespace

FrictionFlow friction_flow(const LinkFriction& link, double squares, const LinkGas& gas, double guess,
                           double towards) {
    const Law law(link, gas);
    FrictionFlow found{squares / law.laminar(), 1.0 / law.laminar()};
    if (std::abs(found.flow) > law.laminar_below()) {
        found = turbulent_flow(law, std::abs(squares), std::abs(guess));
        found.flow = std::copysign(found.flow, squares);
    }
    constexpr double near = 1e-3;  // a chord shorter than this is as good as the tangent
    const double apart = found.flow - towards;
    if (std::abs(apart) > near * std::max(std::abs(found.flow), law.laminar_below())) {
        found.slope = apart / (squares - law.signed_loss(towards));
    }
    return found;
}

}  // namespace oxfade::engine
