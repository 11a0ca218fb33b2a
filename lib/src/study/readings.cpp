#include "oxfade/study/readings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>
#include <variant>

#include "oxfade/scenario/quantity.hpp"
#include "study/csv_table.hpp"
#include "text/nearest.hpp"

namespace oxfade::study {
namespace {

using scenario::Dimension;

constexpr std::size_t most_readings = 10'000;

const std::vector<std::string> columns{
    "time", "riser", "pipe", "oxygen", "pressure", "oxygen_uncertainty", "pressure_uncertainty"};

template <class Entry>
std::vector<std::string> names_of(const std::vector<Entry>& entries) {
    std::vector<std::string> names;
    names.reserve(entries.size());
    for (const Entry& entry : entries) names.push_back(entry.name);
    return names;
}

class Reader {
  public:
    Reader(std::string_view csv, const std::string& file, const plant::Plant& plant)
        : table_(csv, file, columns, {"time"}), plant_(plant) {}

    std::vector<Reading> read() {
        std::vector<Reading> readings;
        if (table_.rows() > most_readings) {
            throw InputError({{"", "", fmt::format("there are {} readings", table_.rows()),
                               fmt::format("at most {}; thin them out", most_readings), table_.file(), 0}});
        }
        for (row_ = 0; row_ < table_.rows(); ++row_) readings.push_back(read_row());
        if (readings.empty() && problems_.empty())
            problems_.push_back({"", "", "there are no readings in it", "one a line", table_.file(), 0});
        if (!problems_.empty()) throw InputError(std::move(problems_));
        return readings;
    }

  private:
    Reading read_row() {
        const std::size_t before = problems_.size();
        Reading reading;
        reading.time = moment().value_or(NAN);
        if (table_.at(row_, "time").empty()) add("time", "", "is missing", "for example 1.5 d");
        reading.riser = table_.at(row_, "riser");
        if (reading.riser.empty() && plant_.risers.size() == 1) reading.riser = plant_.risers[0].name;
        reading.pipe = table_.at(row_, "pipe");
        reading.oxygen = quantity("oxygen", Dimension::fraction);
        reading.pressure = quantity("pressure", Dimension::pressure);
        reading.oxygen_uncertainty =
            quantity("oxygen_uncertainty", Dimension::fraction).value_or(reading.oxygen_uncertainty);
        reading.pressure_uncertainty = quantity("pressure_uncertainty", Dimension::pressure_difference)
                                           .value_or(reading.pressure_uncertainty);
        if (problems_.size() > before) return reading;
        for (Problem& problem : find_problems({reading}, plant_)) {
            const auto dot = problem.key.rfind('.');
            add(problem.key.substr(dot + 1), std::move(problem.value), std::move(problem.what),
                std::move(problem.allowed));
        }
        return reading;
    }

    /// When it was read: a time from the start of the run, or a date.
    std::optional<double> moment() {
        const std::string text = table_.at(row_, "time");
        return text.empty() ? std::nullopt : taken("time", text, scenario::parse_moment(text, plant_.start));
    }

    std::optional<double> quantity(const char* column, Dimension dimension) {
        const std::string text = table_.at(row_, column);
        if (text.empty()) return std::nullopt;
        return taken(column, text, scenario::parse_quantity(text, dimension, plant_.site.pressure));
    }

    std::optional<double> taken(const char* column, const std::string& text,
                                const std::variant<scenario::Quantity, scenario::QuantityError>& parsed) {
        if (const auto* found = std::get_if<scenario::Quantity>(&parsed)) return found->value;
        const auto& error = std::get<scenario::QuantityError>(parsed);
        add(column, text, error.what, error.allowed);
        return std::nullopt;
    }

    void add(std::string key, std::string value, std::string what, std::string allowed) {
        problems_.push_back({std::move(key), std::move(value), std::move(what), std::move(allowed),
                             table_.file(), table_.line(row_)});
    }

    detail::CsvTable table_;
    const plant::Plant& plant_;
    std::size_t row_ = 0;
    std::vector<Problem> problems_;
};

}  // namespace

std::vector<Problem> find_problems(const std::vector<Reading>& readings, const plant::Plant& plant) {
    std::vector<Problem> problems;
    for (std::size_t k = 0; k < readings.size(); ++k) {
        const Reading& reading = readings[k];
        const auto add = [&](const char* key, std::string value, std::string what, std::string allowed) {
            problems.push_back({fmt::format("reading.{}.{}", k, key),
                                std::move(value),
                                std::move(what),
                                std::move(allowed),
                                {},
                                0});
        };
        if (!(reading.time > 0.0) || !std::isfinite(reading.time))
            add("time", fmt::format("{} s", reading.time), "is out of range", "after the start of the run");
        if (!reading.oxygen && !reading.pressure)
            add("oxygen", "", "nothing was read", "oxygen, pressure or both");
        if (reading.oxygen && !(*reading.oxygen >= 0.0 && *reading.oxygen <= 1.0))
            add("oxygen", fmt::format("{}", *reading.oxygen), "is out of range", "0 % to 100 %");
        if (reading.pressure && !(*reading.pressure >= 0.0))
            add("pressure", fmt::format("{} Pa", *reading.pressure), "is out of range", "not below vacuum");
        if (!(reading.oxygen_uncertainty > 0.0))
            add("oxygen_uncertainty", "", "is out of range", "above zero");
        if (!(reading.pressure_uncertainty > 0.0))
            add("pressure_uncertainty", "", "is out of range", "above zero");
        const auto riser = std::find_if(plant.risers.begin(), plant.risers.end(),
                                        [&](const plant::Riser& r) { return r.name == reading.riser; });
        if (riser == plant.risers.end()) {
            add("riser", reading.riser, "the plant has no such riser",
                text::suggest(reading.riser, names_of(plant.risers), "there are"));
        } else if (!riser->pipe_index(reading.pipe)) {
            add("pipe", reading.pipe, "the riser has no such pipe",
                text::suggest(reading.pipe, names_of(riser->pipes), "there are"));
        }
    }
    return problems;
}

std::vector<Reading> parse_readings(std::string_view csv, const std::string& file,
                                    const plant::Plant& plant) {
    return Reader(csv, file, plant).read();
}

}  // namespace oxfade::study
