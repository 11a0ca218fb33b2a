#include "oxfade/study/size.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <utility>

#include "oxfade/engine/ensemble.hpp"
#include "oxfade/outcome/duty.hpp"
#include "oxfade/plant/limits.hpp"
#include "study/space_error.hpp"

namespace oxfade::study {
namespace {

constexpr int default_sizes = 37;                                                 // a step of 12 %
constexpr std::array default_deadlines{0.4, 0.5, 0.65, 0.8, 1.0, 1.5, 2.0, 3.0};  // of the wanted one

/// What a run says of a design, before any deadline is looked at.
struct Assessment {
    std::vector<double> times, fills;  ///< of each riser: [s], and share of its fill limit; infinite if never
    double separator_use = 0.0;
    bool fell_back = false;
};

Assessment run(
    const plant::Plant& sized, double duration, double relative_tolerance,
    const std::function<bool()>& go_on = [] { return true; }) {
    const plant::Plant plant = plant::lasting(sized, duration);
    engine::EnsembleOptions settings;
    settings.run.relative_tolerance = relative_tolerance;
    settings.progress = [&](std::size_t) { return go_on(); };
    const engine::Trial trial = engine::predict_many(
                                    1, [&](std::size_t) { return plant; }, settings)
                                    .front();
    if (!trial.done()) throw Error(go_on() ? trial.error : "sizing was stopped");
    Assessment result;
    for (std::size_t r = 0; r < plant.risers.size(); ++r) {
        const engine::RiserHeadline& riser = trial.risers[r];
        const auto reached = [](double time) { return std::isnan(time) ? INFINITY : time; };
        result.times.push_back(reached(riser.time_to_target));
        result.fills.push_back(reached(riser.fill_time) / plant.risers[r].fill_limit);
    }
    const outcome::PlantDuty duty = outcome::duty_of(plant);
    result.separator_use = duty.demand / *duty.separator;
    result.fell_back = trial.air_after_fill > 0.0;
    return result;
}

Design design_of(const plant::Plant& sized, const Assessment& found, double by) {
    const auto& source = std::get<plant::Generator>(sized.source);
    Design design;
    design.nitrogen_flow = source.nitrogen_flow;
    design.air_flow = source.air_flow;
    for (const plant::Riser& riser : sized.risers)
        design.drills.push_back(riser.vents.empty() ? NAN : riser.vents.front().orifice.diameter);
    design.time_to_target = *std::max_element(found.times.begin(), found.times.end());
    design.target_use = design.time_to_target / by;
    design.fill_use = *std::max_element(found.fills.begin(), found.fills.end());
    design.separator_use = found.fell_back ? std::max(1.0, found.separator_use) : found.separator_use;
    return design;
}

void require_sound(const plant::Plant& plant, const SizeOptions& options) {
    plant::require_valid(plant);
    std::vector<Problem> problems;
    const auto add = [&](std::string key, std::string value, std::string what, std::string allowed) {
        problems.push_back({std::move(key), std::move(value), std::move(what), std::move(allowed), {}, 0});
    };
    if (!std::holds_alternative<plant::Generator>(plant.source))
        add("source.kind", "", "only a generator can be sized", "kind = \"generator\"");
    if (options.drills.empty()) add("drills", "", "there is nothing to choose from", "give some diameters");
    const auto positive = [&](const char* key, const std::vector<double>& values) {
        for (const double value : values) {
            if (!(value > 0.0) || !std::isfinite(value))
                add(key, fmt::format("{}", value), "is out of range", "above zero");
        }
    };
    positive("drills", options.drills);
    positive("flows", options.flows);
    positive("deadlines", options.deadlines);
    if (options.by) positive("by", {*options.by});
    if (!(options.margin >= 0.0 && options.margin <= 0.9))
        add("margin", fmt::format("{}", options.margin), "is out of range", "0 % to 90 %");
    if (!problems.empty()) throw InputError(std::move(problems));
}

std::vector<double> sorted(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    values.erase(std::unique(values.begin(), values.end()), values.end());
    return values;
}

/// Finds designs, and remembers every run.
class Sizer {
  public:
    Sizer(const plant::Plant& plant, const SizeOptions& options)
        : plant_(plant), options_(options), drills_(sorted(options.drills)), flows_(sorted(options.flows)) {
        const double given = std::get<plant::Generator>(plant.source).nitrogen_flow;
        for (int k = 0; options.flows.empty() && k < default_sizes; ++k)
            flows_.push_back(given * std::pow(2.0, -4.0 + 6.0 * k / (default_sizes - 1)));
        by_ = options.by.value_or(plant.duration);
        deadlines_ = sorted(options.deadlines);
        for (const double share : default_deadlines) {
            if (options.deadlines.empty())
                deadlines_.push_back(std::min(share * by_, plant::limits::duration));
        }
        duration_ = std::max(by_, deadlines_.back());
    }

    SizeResult result() {
        SizeResult result;
        result.by = by_;
        const std::size_t best = smallest_source(by_);
        if (best < flows_.size()) result.design = smallest_vents(best, by_).design;
        if (best > 0) {
            result.binding = smallest_vents(best - 1, by_).obstacle;
            if (best < flows_.size()) result.next_smaller = flows_[best - 1];
        }
        for (const double deadline : deadlines_) {
            const std::size_t source = smallest_source(deadline);
            TradeOff point{deadline, std::nullopt};
            if (source < flows_.size()) point.design = smallest_vents(source, deadline).design;
            result.curve.push_back(std::move(point));
        }
        result.runs = memory_.size();
        return result;
    }

  private:
    using Choice = std::vector<std::size_t>;  ///< source, then the drill of each riser
    struct Attempt {
        std::optional<Design> design;
        Obstacle obstacle;
    };

    /// Index of the first source that will do; the number of sources when none does.
    std::size_t smallest_source(double by) {
        std::size_t low = 0, high = flows_.size();
        while (low < high) {
            const std::size_t middle = (low + high) / 2;
            if (smallest_vents(middle, by).design) {
                high = middle;
            } else {
                low = middle + 1;
            }
        }
        return low;
    }

    /// From the smallest drills up: a riser that is late needs the next one, and whatever fails apart from
    /// that fails with every larger drill too.
    Attempt smallest_vents(std::size_t source, double by) {
        const double kept = 1.0 - options_.margin;
        Choice choice(plant_.risers.size() + 1, 0);
        choice[0] = source;
        for (;;) {
            const Assessment& found = assessment(choice);
            if (found.separator_use > kept || found.fell_back) return {{}, {Limit::separator, ""}};
            bool changed = false;
            for (std::size_t r = 0; r < plant_.risers.size(); ++r) {
                if (found.fills[r] > kept) return {{}, {Limit::fill, plant_.risers[r].name}};
                if (found.times[r] <= kept * by) continue;
                const bool larger = !plant_.risers[r].vents.empty() && choice[r + 1] + 1 < drills_.size();
                if (!larger) return {{}, {Limit::target, plant_.risers[r].name}};
                ++choice[r + 1];
                changed = true;
            }
            if (!changed) return {design_of(plant_of(choice), found, by), {}};
        }
    }

    plant::Plant plant_of(const Choice& choice) const {
        std::vector<double> drills;
        for (std::size_t r = 0; r < plant_.risers.size(); ++r) drills.push_back(drills_[choice[r + 1]]);
        return sized_plant(plant_, flows_[choice[0]], drills);
    }

    const Assessment& assessment(const Choice& choice) {
        const auto known = memory_.find(choice);
        if (known != memory_.end()) return known->second;
        const auto go_on = [&] { return !options_.progress || options_.progress(memory_.size()); };
        if (!go_on()) throw Error("sizing was stopped");
        return memory_.emplace(choice, run(plant_of(choice), duration_, options_.relative_tolerance, go_on))
            .first->second;
    }

    const plant::Plant& plant_;
    const SizeOptions& options_;
    std::vector<double> drills_, flows_, deadlines_;
    double by_ = 0.0, duration_ = 0.0;
    std::map<Choice, Assessment> memory_;
};

}  // namespace

std::string_view limit_name(Limit limit) {
    constexpr std::array<std::string_view, 4> names{"none", "target", "fill", "separator"};
    return names[static_cast<std::size_t>(limit)];
}

plant::Plant sized_plant(const plant::Plant& plant, double nitrogen_flow, const std::vector<double>& drills) {
    plant::Plant sized = plant;
    auto& source = std::get<plant::Generator>(sized.source);
    const double scale = nitrogen_flow / source.nitrogen_flow;
    source.nitrogen_flow = nitrogen_flow;
    source.air_flow *= scale;
    if (source.power) *source.power *= scale;
    for (std::size_t r = 0; r < sized.risers.size(); ++r) {
        for (plant::Vent& vent : sized.risers[r].vents) {
            if (!std::isnan(drills.at(r))) vent.orifice.diameter = drills[r];
        }
    }
    return sized;
}

Design assess(const plant::Plant& sized, double by, double duration, double relative_tolerance) {
    return design_of(sized, run(sized, duration, relative_tolerance), by);
}

SizeResult size(const plant::Plant& plant, const SizeOptions& options) {
    require_sound(plant, options);
    SizeResult result = Sizer(plant, options).result();
    if (result.design) {
        plant::Plant sized = sized_plant(plant, result.design->nitrogen_flow, result.design->drills);
        result.space_error =
            space_error_of(plant::lasting(std::move(sized), result.by), options.relative_tolerance);
    }
    return result;
}

}  // namespace oxfade::study
