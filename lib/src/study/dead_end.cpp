#include "oxfade/study/dead_end.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "oxfade/flow/counterflow.hpp"
#include "oxfade/gas/constants.hpp"
#include "oxfade/gas/transport.hpp"

namespace oxfade::study {
namespace {

constexpr int cells_wanted = 40, least_cells = 4;
constexpr double most_change = 0.03;  ///< of a cell's share of air in one step, or of the share wanted

/// Half a cell: from its middle to one of its ends.
struct Half {
    double length = 0.0, area = 0.0, radius = 0.0, sine = 0.0;
};

struct Cell {
    double volume = 0.0;
    Half half;
};

/// What passes a face towards the mouth, as a volume flow of air, and how that grows with the difference.
struct Flux {
    double flow = 0.0, slope = 0.0;
};

class DeadEnd {
  public:
    explicit DeadEnd(const DeadEndWay& way) : way_(way) {
        const gas::Mixture air = gas::dry_air();
        mass_product_ = way.product.molar_mass();
        mass_excess_ = air.molar_mass() - mass_product_;
        diffusivity_ = gas::diffusivity_times_pressure(way.temperature) / way.pressure;
        viscosity_ = gas::viscosity(way.product, way.temperature);
        double all = 0.0;
        for (const DeadEndPiece& piece : way.pieces) all += piece.length;
        warming_ = way.mixing.warm_end / all;
        bool first = true;
        for (const DeadEndPiece& piece : way.pieces) {
            add(piece, all, first);
            first = false;
        }
        air_.assign(cells_.size(), 1.0);
    }

    double time_to(double share, double longest) {
        double time = 0.0, step = first_step();
        if (!(step > 0.0)) return std::numeric_limits<double>::infinity();
        while (air_.back() > share) {
            const std::vector<double> before = air_;
            const double last = air_.back();
            take(step);
            double change = 0.0;
            for (std::size_t i = 0; i < air_.size(); ++i)
                change = std::max(change, std::abs(air_[i] - before[i]) / std::max(before[i], share));
            if (change > 2.0 * most_change) {
                air_ = before;
                step *= 0.5;
                continue;
            }
            if (air_.back() <= share) {
                const double part =
                    last > air_.back() ? std::log(last / share) / std::log(last / air_.back()) : 1.0;
                return time + part * step;
            }
            time += step;
            if (!(time < longest)) return std::numeric_limits<double>::infinity();
            step *= std::clamp(most_change / std::max(change, 1e-12), 0.5, 1.5);
        }
        return time;
    }

  private:
    void add(const DeadEndPiece& piece, double all, bool at_mouth) {
        constexpr double least = 0.05;  // of a length that is stirred from the mouth
        const double still =
            at_mouth ? std::max(piece.length - way_.mixing.mouth * piece.bore, least * piece.length)
                     : piece.length;
        const int count =
            std::max(least_cells, static_cast<int>(std::lround(cells_wanted * piece.length / all)));
        const double area = std::numbers::pi / 4.0 * piece.bore * piece.bore * piece.lines;
        const double length = still / count;
        for (int k = 0; k < count; ++k)
            cells_.push_back(
                {area * length, {0.5 * length, area, 0.5 * piece.bore, std::clamp(piece.pitch, -1.0, 1.0)}});
        cells_.back().volume += piece.aside;
    }

    /// Time in which the first cell would lose a little of its air.
    double first_step() {
        const Flux flux = flux_at(0);
        return flux.flow > 0.0 ? most_change * cells_.front().volume / flux.flow : 0.0;
    }

    double air_before(std::size_t i) const { return i == 0 ? 0.0 : air_[i - 1]; }

    /// Through the face between cell i and the one before it, or the mouth.
    Flux flux_at(std::size_t i) const {
        const Half* halves[2] = {i > 0 ? &cells_[i - 1].half : nullptr, &cells_[i].half};
        const double difference = air_[i] - air_before(i), middle = 0.5 * (air_[i] + air_before(i));
        double resistance = 0.0;
        for (const Half* half : halves) resistance += half != nullptr ? half->length / half->area : 0.0;
        double spread = 0.0, slope = 0.0;  // resistances with them
        for (const Half* half : halves) {
            if (half == nullptr) continue;
            const flow::CounterFlowExchange e =
                exchange(*half, difference / (resistance * half->area), middle);
            spread += half->length / (half->area * std::max(e.spread, 1e-30));
            slope += half->length / (half->area * std::max(e.slope, 1e-30));
        }
        return {difference / spread, 1.0 / slope};
    }

    flow::CounterFlowExchange exchange(const Half& half, double gradient, double middle) const {
        constexpr double least = 1e-9;
        const double molecular = way_.mixing.molecular ? diffusivity_ : 0.0;
        if (!way_.mixing.buoyant) return {molecular, molecular};
        const double mass = mass_product_ + middle * mass_excess_;
        flow::CounterFlowGas gas;
        gas.reduced_gravity = gas::standard_gravity * mass_excess_ / mass;
        gas.diffusivity = diffusivity_;
        gas.kinematic_viscosity = viscosity_ * gas::gas_constant * way_.temperature / (way_.pressure * mass);
        const double along = gradient < 0.0 ? -1.0 : 1.0;
        gas.other_gradient = -along * gas::standard_gravity * warming_ / way_.temperature;
        const flow::CounterFlowPipe pipe{half.radius, along * half.sine,
                                         std::sqrt(1.0 - half.sine * half.sine)};
        flow::CounterFlowExchange e =
            flow::counter_flow(pipe, gas, std::max(std::abs(gradient), least), std::max(middle, least));
        e.spread += molecular - diffusivity_;
        // Where warmth nearly balances composition the flux could fall with the gradient.
        e.slope = std::max(e.slope, diffusivity_) + molecular - diffusivity_;
        return e;
    }

    /// One implicit step: fluxes made straight in the differences, twice.
    void take(double step) {
        const std::size_t n = cells_.size();
        const std::vector<double> before = air_;
        std::vector<double> lower(n), diagonal(n), upper(n), right(n);
        for (int round = 0; round < 2; ++round) {
            for (std::size_t i = 0; i < n; ++i) {
                diagonal[i] = cells_[i].volume / step;
                right[i] = diagonal[i] * before[i];
                lower[i] = upper[i] = 0.0;
            }
            for (std::size_t i = 0; i < n; ++i) {
                const Flux flux = flux_at(i);
                const double rest = flux.flow - flux.slope * (air_[i] - air_before(i));
                diagonal[i] += flux.slope;
                right[i] -= rest;
                lower[i] = -flux.slope;
                if (i == 0) continue;
                diagonal[i - 1] += flux.slope;
                upper[i - 1] = -flux.slope;
                right[i - 1] += rest;
            }
            for (std::size_t i = 1; i < n; ++i) {
                const double factor = lower[i] / diagonal[i - 1];
                diagonal[i] -= factor * upper[i - 1];
                right[i] -= factor * right[i - 1];
            }
            for (std::size_t i = n; i-- > 0;) {
                const double next = i + 1 < n ? upper[i] * air_[i + 1] : 0.0;
                air_[i] = std::clamp((right[i] - next) / diagonal[i], 0.0, 1.0);
            }
        }
    }

    const DeadEndWay& way_;
    double mass_product_ = 0.0, mass_excess_ = 0.0, diffusivity_ = 0.0, viscosity_ = 0.0, warming_ = 0.0;
    std::vector<Cell> cells_;
    std::vector<double> air_;
};

}  // namespace

double washout_time(const DeadEndWay& way, double share, double longest) {
    return DeadEnd(way).time_to(share, longest);
}

}  // namespace oxfade::study
