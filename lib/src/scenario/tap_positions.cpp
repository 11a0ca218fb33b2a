#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "scenario/branch_lines.hpp"
#include "text/key_path.hpp"

namespace oxfade::scenario::detail {
namespace {

namespace limits = plant::limits;

class Taps {
  public:
    Taps(Reading& reading, const BranchLineRow& row, double length)
        : reading_(reading), row_(row), length_(length) {}

    /// None when they do not fit, which is told.
    std::optional<std::vector<double>> positions() const {
        const auto count = taps();
        if (!count) return std::nullopt;
        const double spacing = spacing_for(*count);
        const double first = row_.first.value_or(row_.spacing ? length_ - (*count - 1) * spacing : spacing);
        const double last = first + (*count - 1) * spacing;
        if (first < same_place || last > length_ + same_place) return refuse_run(*count, spacing);
        if (*count > 1 && spacing < same_place)
            return refuse("spacing", "would be less than 1 mm", "fewer lines");
        std::vector<double> at;
        at.reserve(static_cast<std::size_t>(*count));
        for (int k = 0; k < *count; ++k) at.push_back(std::min(first + k * spacing, length_));
        return at;
    }

  private:
    int sides() const { return row_.both_sides ? 2 : 1; }

    /// How many taps there are: given, or as many as the spacing lets fit.
    std::optional<int> taps() const {
        if (row_.first && *row_.first > length_ + same_place) {
            refuse("first", "is beyond the end of the main",
                   fmt::format("at most {}, the length of `{}`", words(length_), row_.along));
            return std::nullopt;
        }
        if (row_.number) return *row_.number / sides();
        constexpr double rounding = 1e-6;
        if (*row_.spacing > length_ * (1.0 + rounding)) {
            refuse("spacing", "does not fit the main",
                   fmt::format("at most {}, the length of `{}`", words(length_), row_.along));
            return std::nullopt;
        }
        const double fit = row_.first ? std::floor((length_ - *row_.first) / *row_.spacing + rounding) + 1.0
                                      : std::ceil(length_ / *row_.spacing - rounding);
        if (fit * sides() <= limits::branch_lines) return static_cast<int>(fit);
        refuse("spacing", fmt::format("makes {:.0f} branch lines", fit * sides()),
               fmt::format("at most {} in a row; look at its unit", limits::branch_lines));
        return std::nullopt;
    }

    double spacing_for(int count) const {
        if (row_.spacing) return *row_.spacing;
        if (!row_.first) return length_ / count;
        return count > 1 ? (length_ - *row_.first) / (count - 1) : 0.0;
    }

    std::optional<std::vector<double>> refuse_run(int count, double spacing) const {
        const double needed = row_.first.value_or(0.0) + (count - 1) * spacing;
        const double most = (length_ - row_.first.value_or(0.0)) / std::max(count - 1, 1);
        return refuse(row_.spacing ? "spacing" : "number",
                      fmt::format("does not fit the main: {} taps, {} apart, need {}", count, words(spacing),
                                  words(needed)),
                      fmt::format("`{}` is {} long: a spacing of at most {}, or fewer lines", row_.along,
                                  words(length_), words(row_.first ? most : length_ / count)));
    }

    std::optional<std::vector<double>> refuse(std::string_view key, std::string what,
                                              std::string allowed) const {
        reading_.findings.add(text::join_path(row_.path, key), std::move(what), std::move(allowed));
        return std::nullopt;
    }

    std::string words(double length) const { return length_words(length, reading_); }

    Reading& reading_;
    const BranchLineRow& row_;
    double length_;
};

}  // namespace

std::string length_words(double length, const Reading& reading) {
    const bool us = reading.us_units > reading.si_units;
    return us ? fmt::format("{:.4g} ft", length / 0.3048) : fmt::format("{:.4g} m", length);
}

std::optional<std::vector<double>> tap_positions(const BranchLineRow& row, double length, Reading& reading) {
    return Taps(reading, row, length).positions();
}

}  // namespace oxfade::scenario::detail
