#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <utility>

#include "oxfade/flow/leak.hpp"
#include "oxfade/outcome/duty.hpp"
#include "oxfade/study/commission.hpp"
#include "oxfade/study/faults.hpp"
#include "study/commission_runs.hpp"

namespace oxfade::study {
namespace {

/// Two shares that are as good as the same: one cause for both.
constexpr double alike = 0.12;
/// No size of a vent explains readings that are off by so many bands, in the root mean square.
constexpr double unexplained = 1.0;
constexpr double least_share = 1e-3, largest_share = 9.0;  ///< of a vent's area

void scale_volume(plant::Riser& riser, double factor) {
    for (plant::Pipe& pipe : riser.pipes) {
        if (auto* cylinder = std::get_if<plant::Cylinder>(&pipe.shape)) {
            cylinder->length *= factor;
        } else {
            std::get<plant::VolumeOnly>(pipe.shape).volume *= factor;
        }
    }
}

class Reviewer {
  public:
    Reviewer(const plant::Plant& plant, const std::vector<Step>& sheet, const SheetOptions& options)
        : plant_(plant), options_(options) {
        result_.steps = sheet;
        result_.found = with_leaks_as_holes(plant);
        for (const Step& step : sheet) {
            const bool within = !step.measured || (*step.measured >= step.low && *step.measured <= step.high);
            result_.within.push_back(within);
            result_.measured += step.measured ? 1U : 0U;
        }
    }

    Review run() {
        judge_source();
        for (std::size_t r = 0; r < plant_.risers.size(); ++r) judge_hold(r);
        for (std::size_t r = 0; r < plant_.risers.size(); ++r) judge_fill(r);
        for (std::size_t r = 0; r < plant_.risers.size(); ++r) judge_vents(r);
        return std::move(result_);
    }

  private:
    using FirstDays = detail::FirstDays;

    const Step* measured(StepKind kind, const std::string& riser) const {
        for (const Step& step : result_.steps) {
            if (step.kind == kind && step.riser == riser && step.measured) return &step;
        }
        return nullptr;
    }
    static bool off(const Step* step) {
        return step != nullptr && (*step->measured < step->low || *step->measured > step->high);
    }
    void add(Cause cause, double size, std::string riser = "", std::string vent = "",
             std::optional<double> other = std::nullopt) {
        result_.verdicts.push_back({cause, std::move(riser), std::move(vent), size, other});
    }

    void judge_source() {
        const Step* charge = measured(StepKind::charge, "");
        const Step* rise = measured(StepKind::rise, "");
        const double air = charge != nullptr ? charge->expected / *charge->measured : 1.0;
        const double nitrogen = rise != nullptr ? rise->expected / *rise->measured : 1.0;
        const bool both = off(charge) && off(rise) && std::abs(air / nitrogen - 1.0) < alike;
        if (both) {
            add(Cause::compressor_weak, std::sqrt(air * nitrogen));
        } else {
            if (off(charge)) add(rise != nullptr ? Cause::air_flow_off : Cause::compressor_weak, air);
            if (off(rise)) add(Cause::separator_off, nitrogen);
        }
        if (auto* generator = std::get_if<plant::Generator>(&result_.found.source)) {
            generator->air_flow *= off(charge) ? air : 1.0;
            generator->nitrogen_flow *= off(rise) ? nitrogen : 1.0;
        } else if (auto* compressor = std::get_if<plant::Compressor>(&result_.found.source)) {
            compressor->air_flow *= off(charge) ? air : 1.0;
        }
        const Step* purity = measured(StepKind::purity, "");
        if (off(purity)) add(Cause::purity_off, *purity->measured);
        if (purity != nullptr)
            result_.found = with_fault(result_.found, {FaultKind::low_purity, 0, 0}, 1.0 - *purity->measured);
    }

    void judge_hold(std::size_t r) {
        plant::Riser& riser = result_.found.risers[r];
        const Step* hold = measured(StepKind::hold, riser.name);
        if (!off(hold)) return;
        const outcome::AcceptanceTest test;
        const double from = plant_.site.pressure + test.gauge_pressure;
        const double loss = std::min(*hold->measured, 0.999 * test.gauge_pressure);
        const double area = flow::leak_area_from_test(riser.volume(), from, from - loss, test.duration,
                                                      plant_.site.pressure, plant_.site.temperature.mean());
        riser.leaks = {{std::nullopt, hole_of(area)}};
        add(Cause::leak, area, riser.name, "", *hold->measured / test.loss_allowed);
    }

    double fill_time(const plant::Plant& plant, std::size_t r) const {
        return FirstDays(plant, options_).fill_time(r).value_or(plant.duration);
    }

    /// The factor in (low, high) with which a fill takes as long as measured; none when none does.
    template <class Change>
    std::optional<double> matching(std::size_t r, double wanted, double low, double high,
                                   const Change& change) const {
        const auto miss = [&](double log_factor) {
            plant::Plant plant = result_.found;
            change(plant.risers[r], std::exp(log_factor));
            return std::log(fill_time(plant, r) / wanted);
        };
        const double a = std::log(low), b = std::log(high), at_a = miss(a), at_b = miss(b);
        if (at_a * at_b > 0.0) return std::nullopt;
        std::uintmax_t iterations = 40;
        const auto bracket = boost::math::tools::toms748_solve(
            miss, a, b, at_a, at_b, boost::math::tools::eps_tolerance<double>(10), iterations);
        return std::exp(0.5 * (bracket.first + bracket.second));
    }

    void judge_fill(std::size_t r) {
        const std::string& name = plant_.risers[r].name;
        const Step* fill = measured(StepKind::fill, name);
        if (fill == nullptr) return;
        const double expected = fill_time(result_.found, r), ratio = *fill->measured / expected;
        if (std::abs(ratio - 1.0) <= options_.time_band) {
            if (off(fill)) add(Cause::fill_explained, ratio, name);
            return;
        }
        const auto volume = matching(r, *fill->measured, 0.1, 10.0, scale_volume);
        if (ratio < 1.0) {
            add(Cause::fill_fast, 1.0, name, "", volume);
            return;
        }
        const auto passage = matching(r, *fill->measured, 1e-3, 1.0, [](plant::Riser& riser, double share) {
            riser.fill.diameter *= std::sqrt(share);
        });
        add(Cause::fill_slow, passage.value_or(0.0), name, "", volume);
        if (passage) result_.found.risers[r].fill.diameter *= std::sqrt(*passage);
    }

    /// Root mean square of what the readings at a vent are off, in bands.
    double misfit(const plant::Plant& plant, std::size_t r, const plant::Vent& vent) const {
        const FirstDays days(plant, options_);
        double sum = 0.0, count = 0.0;
        for (const Step& step : result_.steps) {
            if (!is_reading(step, r, vent)) continue;
            const double expected = days.oxygen_at(r, vent.at, step.time);
            sum += std::pow((*step.measured - expected) / oxygen_band(expected), 2);
            ++count;
        }
        return std::sqrt(sum / count);
    }
    double oxygen_band(double expected) const { return detail::oxygen_band(expected, options_); }

    bool is_reading(const Step& step, std::size_t r, const plant::Vent& vent) const {
        return step.kind == StepKind::oxygen && step.measured && step.riser == plant_.risers[r].name &&
               step.vent == vent.name;
    }

    /// The largest deviation of readings at a vent from what is found so far, in bands; zero without
    /// readings.
    double worst(std::size_t r, const plant::Vent& vent, const FirstDays& days) const {
        double largest = 0.0;
        for (const Step& step : result_.steps) {
            if (!is_reading(step, r, vent)) continue;
            const double expected = days.oxygen_at(r, vent.at, step.time);
            largest = std::max(largest, std::abs(*step.measured - expected) / oxygen_band(expected));
        }
        return largest;
    }

    /// The vent that is off most first: what is wrong with it may explain the others.
    void judge_vents(std::size_t r) {
        std::vector<std::size_t> open(plant_.risers[r].vents.size());
        for (std::size_t v = 0; v < open.size(); ++v) open[v] = v;
        while (!open.empty()) {
            const FirstDays days(result_.found, options_);
            const auto off_by = [&](std::size_t v) { return worst(r, plant_.risers[r].vents[v], days); };
            const auto next = std::max_element(open.begin(), open.end(), [&](std::size_t a, std::size_t b) {
                return off_by(a) < off_by(b);
            });
            if (off_by(*next) <= 1.0) return;
            judge_vent(r, *next);
            open.erase(next);
        }
    }

    void judge_vent(std::size_t r, std::size_t v) {
        const plant::Vent& vent = plant_.risers[r].vents[v];
        const auto with_share = [&](double log_share) {
            return with_fault(result_.found, {FaultKind::blocked_vent, r, v}, std::exp(log_share));
        };
        const auto [log_share, least] =
            boost::math::tools::brent_find_minima([&](double x) { return misfit(with_share(x), r, vent); },
                                                  std::log(least_share), std::log(largest_share), 12);
        const double share = std::exp(log_share);
        if (least > unexplained) {
            add(Cause::oxygen_unexplained, least, plant_.risers[r].name, vent.name);
            return;
        }
        add(share < 1.0 ? Cause::vent_restricted : Cause::vent_large, share, plant_.risers[r].name,
            vent.name);
        result_.found = with_share(log_share);
    }

    const plant::Plant& plant_;
    const SheetOptions& options_;
    Review result_;
};

}  // namespace

Review review(const plant::Plant& plant, const std::vector<Step>& sheet, const SheetOptions& options) {
    plant::require_valid(plant);
    return Reviewer(plant, sheet, options).run();
}

}  // namespace oxfade::study
