#include "oxfade/study/commission.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "oxfade/error.hpp"
#include "oxfade/gas/mixture.hpp"
#include "oxfade/outcome/duty.hpp"
#include "study/commission_runs.hpp"
#include "study/csv_table.hpp"

namespace oxfade::study {
namespace {

using scenario::Dimension;

void require_sound(const plant::Plant& plant, const SheetOptions& options) {
    plant::require_valid(plant);
    std::vector<Problem> problems;
    const auto range = [&](const char* key, double value, double high) {
        if (value >= 0.0 && value <= high) return;
        problems.push_back(
            {key, fmt::format("{}", value), "is out of range", fmt::format("0 to {}", high), {}, 0});
    };
    range("time_band", options.time_band, 1.0);
    range("purity_band", options.purity_band, 1.0);
    range("loss_band", options.loss_band, 1e6);
    range("oxygen_band", options.oxygen_band, 1.0);
    for (const double time : options.oxygen_times) range("oxygen_times", time, 1e9);
    if (!problems.empty()) throw InputError(std::move(problems));
}

Step timed(StepKind kind, std::string riser, double expected, const SheetOptions& options) {
    Step step;
    step.kind = kind;
    step.riser = std::move(riser);
    step.expected = expected;
    step.low = expected * (1.0 - options.time_band);
    step.high = expected * (1.0 + options.time_band);
    return step;
}

void add_receiver(std::vector<Step>& sheet, const plant::Plant& plant, const SheetOptions& options) {
    const plant::Receiver* receiver = plant::receiver_of(plant.source);
    if (receiver == nullptr) return;
    const auto time = [&](double from, double standard_flow) {
        return gas::moles(receiver->stop - from, receiver->volume, plant.site.temperature.mean()) /
               plant::standard_moles(plant.site.reference, standard_flow);
    };
    const auto* generator = std::get_if<plant::Generator>(&plant.source);
    const double air =
        generator != nullptr ? generator->air_flow : std::get<plant::Compressor>(plant.source).air_flow;
    sheet.push_back(timed(StepKind::charge, "", time(plant.site.pressure, air), options));
    if (generator != nullptr)
        sheet.push_back(timed(StepKind::rise, "", time(receiver->start, generator->nitrogen_flow), options));
}

void add_purity(std::vector<Step>& sheet, const plant::Plant& plant, const SheetOptions& options) {
    if (std::holds_alternative<plant::Compressor>(plant.source)) return;
    Step step;
    step.kind = StepKind::purity;
    step.expected = plant::product_purity(plant.source);
    step.low = step.expected - options.purity_band;
    step.high = std::min(1.0, step.expected + options.purity_band);
    sheet.push_back(step);
}

void add_hold(std::vector<Step>& sheet, const plant::Plant& plant, const SheetOptions& options) {
    for (const plant::Riser& riser : plant.risers) {
        Step step;
        step.kind = StepKind::hold;
        step.riser = riser.name;
        step.expected = detail::test_loss(riser, plant.site);
        const double allowed = outcome::AcceptanceTest{}.loss_allowed;
        step.high = std::min(step.expected + options.loss_band, std::max(step.expected, allowed));
        sheet.push_back(step);
    }
}

void add_oxygen(std::vector<Step>& sheet, const plant::Plant& plant, const detail::FirstDays& days,
                const SheetOptions& options) {
    for (std::size_t r = 0; r < plant.risers.size(); ++r) {
        for (const plant::Vent& vent : plant.risers[r].vents) {
            for (const double time : options.oxygen_times) {
                if (!(time > 0.0) || time > plant.duration) continue;
                Step step;
                step.kind = StepKind::oxygen;
                step.riser = plant.risers[r].name;
                step.vent = vent.name;
                step.time = time;
                step.expected = days.oxygen_at(r, vent.at, time);
                const double band = detail::oxygen_band(step.expected, options);
                step.low = std::max(0.0, step.expected - band);
                step.high = step.expected + band;
                sheet.push_back(step);
            }
        }
    }
}

/// Reads the filled-in sheet line by line.
class Entry {
  public:
    Entry(std::vector<Step>& sheet, std::string_view csv, const std::string& file, const plant::Plant& plant)
        : sheet_(sheet),
          table_(csv, file, {"step", "riser", "vent", "time", "expected", "low", "high", "measured"},
                 {"step", "measured"}),
          plant_(plant) {}

    void read() {
        for (row_ = 0; row_ < table_.rows(); ++row_) {
            const std::string text = table_.at(row_, "measured");
            if (text.empty()) continue;
            Step* step = find();
            if (step == nullptr) {
                add("step", table_.at(row_, "step"), "is no line of this plant's sheet",
                    "print the sheet anew and fill that in");
            } else if (const auto value = quantity(text, step->dimension())) {
                step->measured = value;
                judge_range(*step, text);
            }
        }
        if (!problems_.empty()) throw InputError(std::move(problems_));
    }

  private:
    Step* find() {
        const std::string time_text = table_.at(row_, "time");
        const double time = time_text.empty() ? 0.0 : quantity(time_text, Dimension::time).value_or(-1.0);
        for (Step& step : sheet_) {
            // Times are printed rounded.
            const bool then = std::abs(step.time - time) <= 0.01 * step.time;
            if (step_name(step.kind) == table_.at(row_, "step") && step.riser == table_.at(row_, "riser") &&
                step.vent == table_.at(row_, "vent") && then)
                return &step;
        }
        return nullptr;
    }

    void judge_range(const Step& step, const std::string& text) {
        const bool share = step.dimension() == Dimension::fraction;
        if (*step.measured < 0.0 || (share && *step.measured > 1.0))
            add("measured", text, "is out of range", share ? "0 % to 100 %" : "not below zero");
        const bool time = step.dimension() == Dimension::time;
        if (time && *step.measured == 0.0) add("measured", text, "is out of range", "above zero");
    }

    std::optional<double> quantity(const std::string& text, Dimension dimension) {
        const auto parsed = scenario::parse_quantity(text, dimension, plant_.site.pressure);
        if (const auto* found = std::get_if<scenario::Quantity>(&parsed)) return found->value;
        const auto& error = std::get<scenario::QuantityError>(parsed);
        add("measured", text, error.what, error.allowed);
        return std::nullopt;
    }

    void add(std::string key, std::string value, std::string what, std::string allowed) {
        problems_.push_back({std::move(key), std::move(value), std::move(what), std::move(allowed),
                             table_.file(), table_.line(row_)});
    }

    std::vector<Step>& sheet_;
    detail::CsvTable table_;
    const plant::Plant& plant_;
    std::size_t row_ = 0;
    std::vector<Problem> problems_;
};

}  // namespace

std::string_view step_name(StepKind kind) {
    constexpr std::array<std::string_view, 6> names{"charge", "rise", "purity", "fill", "hold", "oxygen"};
    return names[static_cast<std::size_t>(kind)];
}

Dimension Step::dimension() const {
    switch (kind) {
        case StepKind::purity:
        case StepKind::oxygen:
            return Dimension::fraction;
        case StepKind::hold:
            return Dimension::pressure_difference;
        default:
            return Dimension::time;
    }
}

std::vector<Step> commissioning_sheet(const plant::Plant& plant, const SheetOptions& options) {
    require_sound(plant, options);
    const detail::FirstDays days(plant, options);
    std::vector<Step> sheet;
    add_receiver(sheet, plant, options);
    add_purity(sheet, plant, options);
    for (std::size_t r = 0; r < plant.risers.size(); ++r) {
        if (const auto fill = days.fill_time(r))
            sheet.push_back(timed(StepKind::fill, plant.risers[r].name, *fill, options));
    }
    add_hold(sheet, plant, options);
    add_oxygen(sheet, plant, days, options);
    return sheet;
}

void enter_measured(std::vector<Step>& sheet, std::string_view csv, const std::string& file,
                    const plant::Plant& plant) {
    Entry(sheet, csv, file, plant).read();
}

}  // namespace oxfade::study
