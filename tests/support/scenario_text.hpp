#pragma once

#include <gtest/gtest.h>

#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/scenario/read.hpp"

/// A small invented scenario as text, and what reading a spoiled copy of it says.
namespace oxfade::sample {

/// One key a line, so that a test can name the line it spoils.
inline constexpr std::string_view scenario_text = R"(format = 1
title = "sample"
duration = "3 d"
target = "97 %"
[site]
pressure = "100 kPa"
temperature = "20 degC"
[source]
kind = "generator"
purity = "98 %"
nitrogen_flow = "140 ft3/h"
air_flow = "700 ft3/h"
[source.receiver]
volume = "60 gal"
start = "85 psig"
stop = "105 psig"
air_below = "75 psig"
[[riser]]
name = "North"
set_pressure = "30 psig"
fill = { diameter = "0.5 in", coefficient = 0.8 }
supply = { kind = "regulator", diameter = "0.125 in" }
[[riser.pipe]]
name = "main"
volume = "700 gal"
[[riser.pipe]]
name = "far"
nominal = "2 in"
schedule = "40"
length = "300 ft"
[[riser.pipe]]
name = "east"
from = "main"
bore = "50 mm"
length = "80 m"
[[riser.vent]]
name = "end vent"
at = "far"
diameter = "0.03 in"
[[riser.leak]]
loss = "1.5 psi"
over = "24 h"
from = "40 psig"
)";

/// The sample with one piece of text put in the place of another, which must be there.
inline std::string with(std::string_view from, std::string_view to,
                        std::string text = std::string(scenario_text)) {
    const auto at = text.find(from);
    if (at == std::string::npos) throw std::logic_error("the sample has no " + std::string(from));
    return text.replace(at, from.size(), to);
}

/// The sample with lines added at its end, from line 44 on.
inline std::string with_added(std::string_view lines) {
    return std::string(scenario_text) + std::string(lines);
}

inline scenario::Scenario read(const std::string& text,
                               const std::vector<scenario::Override>& overrides = {}) {
    return scenario::read_text(text, "sample.toml", overrides);
}

/// Everything that reading a text complains of, one problem a line.
inline std::vector<std::string> complaints(const std::string& text,
                                           const std::vector<scenario::Override>& overrides = {}) {
    std::vector<std::string> lines;
    try {
        read(text, overrides);
    } catch (const InputError& error) {
        for (const Problem& problem : error.problems()) lines.push_back(to_string(problem));
    }
    return lines;
}

/// The one complaint there is; says so when there are more or none.
inline std::string only_complaint(const std::string& text,
                                  const std::vector<scenario::Override>& overrides = {}) {
    const auto lines = complaints(text, overrides);
    std::string joined;
    for (const std::string& line : lines) joined += (joined.empty() ? "" : "\n") + line;
    EXPECT_EQ(lines.size(), 1U) << joined;
    return joined;
}

}  // namespace oxfade::sample
