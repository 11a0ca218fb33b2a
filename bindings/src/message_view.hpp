#pragma once

#include <pybind11/pybind11.h>

#include <string>
#include <vector>

#include "oxfade/outcome/message.hpp"
#include "oxfade/report/units.hpp"

namespace oxfade::python {

/// A finding with its numbers printed in the reader's units.
struct MessageView {
    std::string code, level, where, text;
    std::vector<std::string> places{};
};

/// Findings as a tuple of Message.
pybind11::tuple message_views(const std::vector<outcome::Message>& messages, const report::Units& units);

}  // namespace oxfade::python
