#include "oxfade/report/csv.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstddef>
#include <iterator>
#include <vector>

#include "oxfade/gas/mixture.hpp"

namespace oxfade::report {
namespace {

/// What a line says about its compartment, made once: `riser,pipe,cell`.
struct Column {
    std::size_t riser = 0;
    std::string label;
};

std::vector<Column> columns_of(const outcome::Outcome& outcome) {
    std::vector<Column> columns;
    for (std::size_t r = 0; r < outcome.risers.size(); ++r) {
        const std::string riser = csv_field(outcome.risers[r].name);
        for (const outcome::PipeOutcome& pipe : outcome.risers[r].pipes) {
            for (std::size_t cell = 1; cell <= pipe.oxygen.size(); ++cell) {
                columns.push_back({r, fmt::format("{},{},{}", riser, csv_field(pipe.name), cell)});
            }
        }
    }
    return columns;
}

std::string number(double value) { return std::isfinite(value) ? fmt::format("{}", value) : std::string(); }

}  // namespace

double nitrogen_in_blend(double oxygen, double product_purity) {
    const gas::Mixture air = gas::dry_air();
    const gas::Mixture product = gas::nitrogen_of_purity(product_purity);
    const double span = air[gas::Species::oxygen] - product[gas::Species::oxygen];
    if (std::abs(span) < 1e-12) return air[gas::Species::nitrogen];  // the source gives plain air
    const double air_share = (oxygen - product[gas::Species::oxygen]) / span;
    return air_share * air[gas::Species::nitrogen] + (1.0 - air_share) * product[gas::Species::nitrogen];
}

std::string csv_field(std::string_view text) {
    if (text.find_first_of(",\"\r\n") == std::string_view::npos) return std::string(text);
    std::string quoted = "\"";
    for (const char c : text) {
        if (c == '"') quoted += '"';
        quoted += c;
    }
    return quoted + '"';
}

std::string to_csv(const outcome::Outcome& outcome) {
    std::string text = "time_s,riser,pipe,cell,pressure_pa,oxygen,nitrogen\n";
    const std::vector<Column> columns = columns_of(outcome);
    const outcome::History& history = outcome.history;
    for (std::size_t row = 0; row < history.times.size(); ++row) {
        const std::string time = number(history.times[row]);
        for (std::size_t c = 0; c < columns.size(); ++c) {
            const double oxygen = history.oxygen.at(row, c);
            fmt::format_to(std::back_inserter(text), "{},{},{},{},{}\n", time, columns[c].label,
                           number(history.pressure_at(row, c, columns[c].riser)), number(oxygen),
                           number(nitrogen_in_blend(oxygen, outcome.nitrogen_purity)));
        }
    }
    return text;
}

}  // namespace oxfade::report
