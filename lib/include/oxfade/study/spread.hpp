#pragma once

#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <variant>

#include "oxfade/study/parameter.hpp"

namespace oxfade::study {

/// Normal distribution, cut off below `low` and above `high`.
struct Normal {
    double mean = 0.0;
    double deviation = 0.0;  ///< standard deviation, > 0
    double low = -std::numeric_limits<double>::infinity();
    double high = std::numeric_limits<double>::infinity();
};
/// Every value from `low` to `high` alike.
struct Uniform {
    double low = 0.0, high = 0.0;  ///< low < high
};

/// Likeliest at `mode`, falling in a straight line to none at both ends.
struct Triangular {
    double low = 0.0, mode = 0.0, high = 0.0;  ///< low <= mode <= high, low < high
};
using Distribution = std::variant<Normal, Uniform, Triangular>;

/// What is impossible in a distribution, and what is allowed.
struct Unsound {
    std::string what, allowed;
};
std::optional<Unsound> find_unsound(const Distribution& distribution);

/// The value below which a share of `probability` in (0, 1) lies.
double quantile(const Distribution& distribution, double probability);

/// Reads `normal(98 %, 0.3 %)`, `normal(mean, deviation, low, high)`, `uniform(low, high)` or
/// `triangular(low, mode, high)`, each value a quantity of the parameter's kind.
/// Throws InputError with what is wrong.
Distribution parse_distribution(std::string_view text, const Parameter& parameter, const plant::Plant& plant);

/// A quantity of which only its spread is known.
struct Unknown {
    std::string key;
    Distribution distribution;
};
/// A quantity that is given one value after the other.
struct Axis {
    std::string key;
    std::vector<double> values;  ///< SI
};

/// Read `KEY=normal(…)` and `KEY=a..b:n` (n values from a to b, both included) or `KEY=a, b, c`.
/// Throw InputError.
Unknown parse_unknown(std::string_view assignment, const plant::Plant& plant);
Axis parse_axis(std::string_view assignment, const plant::Plant& plant);

}  // namespace oxfade::study
