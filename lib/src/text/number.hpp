#pragma once

#include <string_view>

namespace oxfade::text {

/// What the front of a text holds.
enum class NumberState {
    good,
    missing,        ///< no number there
    decimal_comma,  ///< `1,5`
    out_of_range,   ///< more than a double can hold
    not_finite,     ///< inf, nan, or a fraction over zero
};

struct LeadingNumber {
    NumberState state = NumberState::missing;
    double value = 0.0;
    std::string_view rest;  ///< what follows, blanks trimmed at both ends
};

/// Reads the number at the front of a text: a decimal number, a fraction `1/8`, or a mixed one `1 1/4`,
/// `1-1/4`. The decimal point is a point in every locale.
LeadingNumber leading_number(std::string_view text);

/// The text without blanks (space, tab, line ends) at its ends.
std::string_view trim(std::string_view text);

}  // namespace oxfade::text
