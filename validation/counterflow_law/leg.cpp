#include "leg.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>
#include <numbers>

namespace oxfade::validation {
namespace {

using Values = std::vector<double>;

class Solver {
  public:
    Solver(const Leg& leg, int cells)
        : leg_(leg),
          pipe_{0.5 * leg.bore, std::sin(leg.pitch), std::abs(std::cos(leg.pitch))},
          size_(static_cast<std::size_t>(cells)),
          width_(leg.length / cells),
          flux_(size_ + 1),
          by_near_(size_ + 1),
          by_far_(size_ + 1),
          lower_(size_),
          diagonal_(size_),
          upper_(size_),
          right_(size_) {}

    std::size_t size() const { return size_; }
    double mean(const Values& c) const {
        double sum = 0.0;
        for (const double value : c) sum += value;
        return sum / static_cast<double>(size_);
    }
    /// Mean of how far two states differ, over the leg.
    double distance(const Values& a, const Values& b) const {
        double sum = 0.0;
        for (std::size_t i = 0; i < a.size(); ++i) sum += std::abs(a[i] - b[i]);
        return sum / static_cast<double>(size_);
    }

    /// y = base + step dy/dt by Newton's method from the y given; whether it converged.
    bool implicit(Values& y, const Values& base, double step) {
        for (int i = 0; i < 12; ++i) {
            fluxes(y);
            for (std::size_t k = 0; k < size(); ++k) {
                const double share = step / width_;
                right_[k] = base[k] + share * (flux_[k + 1] - flux_[k]) - y[k];
                diagonal_[k] = 1.0 - share * (by_near_[k + 1] - by_far_[k]);
                upper_[k] = -share * by_far_[k + 1];
                lower_[k] = share * by_near_[k];
            }
            for (std::size_t k = 1; k < size(); ++k) {
                const double factor = lower_[k] / diagonal_[k - 1];
                diagonal_[k] -= factor * upper_[k - 1];
                right_[k] -= factor * right_[k - 1];
            }
            double largest = 0.0;
            for (std::size_t k = size(); k-- > 0;) {
                if (k + 1 < size()) right_[k] -= upper_[k] * right_[k + 1];
                right_[k] /= diagonal_[k];
                y[k] += right_[k];
                largest = std::max(largest, std::abs(right_[k]));
            }
            if (!(largest < 10.0)) return false;
            if (largest < 1e-7) return true;
        }
        return false;
    }

  private:
    /// Towards the mouth through each face, with its slopes by the fraction on the mouth's side and beyond.
    void fluxes(const Values& c) {
        for (std::size_t k = 0; k < size(); ++k) {
            const double near = k > 0 ? c[k - 1] : 0.0, far = c[k];
            const double distance = k > 0 ? width_ : 0.5 * width_;
            const double gradient = (far - near) / distance;
            if (!(gradient > 0.0)) {
                flux_[k] = leg_.gas.diffusivity * gradient;
                by_far_[k] = leg_.gas.diffusivity / distance;
                by_near_[k] = -by_far_[k];
                continue;
            }
            const flow::CounterFlowExchange e =
                flow::counter_flow(pipe_, leg_.gas, gradient, 0.5 * (near + far));
            flux_[k] = e.spread * gradient;
            by_far_[k] = e.slope / distance + 0.5 * e.contrast_slope;
            by_near_[k] = -e.slope / distance + 0.5 * e.contrast_slope;
        }
        flux_[size()] = by_near_[size()] = by_far_[size()] = 0.0;
        by_near_[0] = 0.0;
    }

    Leg leg_;
    flow::CounterFlowPipe pipe_;
    std::size_t size_;
    double width_;
    Values flux_, by_near_, by_far_, lower_, diagonal_, upper_, right_;
};

}  // namespace

std::vector<double> times_of(const Leg& leg, const std::vector<Level>& levels, double longest, int cells,
                             double tolerance) {
    // Two implicit stages of second order, stable for however stiff a leg (Alexander 1977).
    const double gamma = 1.0 - std::numbers::sqrt2 / 2.0;
    Solver solver(leg, cells);
    std::vector<double> times(levels.size(), std::numeric_limits<double>::infinity());
    Values c(solver.size(), 1.0), first(c), second(c), base(c), other(c);
    double time = 0.0, step = 1e-3 * leg.length, mean = 1.0, end = 1.0;
    std::size_t left = levels.size();
    while (time < longest && left > 0) {
        first = c;
        bool good = solver.implicit(first, c, gamma * step);
        double error = 0.0;
        if (good) {
            for (std::size_t i = 0; i < c.size(); ++i)
                base[i] = c[i] + (1.0 - gamma) / gamma * (first[i] - c[i]);
            second = first;
            good = solver.implicit(second, base, gamma * step);
            // Held against the stages' mean, which is of second order too but not of the same.
            for (std::size_t i = 0; i < c.size(); ++i)
                other[i] = second[i] + (0.5 - gamma) / gamma * ((second[i] - base[i]) - (first[i] - c[i]));
            error = solver.distance(second, other) / std::max(mean, 1e-3);
        }
        if (!good || !(error <= tolerance)) {
            step *= good ? std::max(0.2, 0.9 * std::sqrt(tolerance / error)) : 0.25;
            if (step < 1e-9) break;
            continue;
        }
        const double mean_now = solver.mean(second), end_now = second.back();
        for (std::size_t k = 0; k < levels.size(); ++k) {
            if (std::isfinite(times[k])) continue;
            const bool whole = levels[k].of == Level::Of::leg;
            const double before = whole ? mean : end, now = whole ? mean_now : end_now;
            if (now > levels[k].fraction) continue;
            times[k] = time + step * (before - levels[k].fraction) / (before - now);
            --left;
        }
        time += step;
        c = second;
        mean = mean_now;
        end = end_now;
        step *= std::min(2.0, 0.9 * std::sqrt(tolerance / std::max(error, 1e-12)));
    }
    return times;
}

}  // namespace oxfade::validation
