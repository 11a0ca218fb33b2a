#include "oxfade/error.hpp"

#include <fmt/format.h>

#include <utility>

#include "text/printable.hpp"

namespace oxfade {
namespace {

std::string join(const std::vector<Problem>& problems) {
    std::string text;
    for (const Problem& problem : problems) {
        if (!text.empty()) text += '\n';
        text += to_string(problem);
    }
    return text;
}

std::string located(const std::string& what, double time_s, const std::string& riser,
                    const std::string& compartment, const std::string& mode) {
    std::string text = fmt::format("{} at {:.6g} s", what, time_s);
    if (!riser.empty()) text += fmt::format(", riser '{}'", riser);
    if (!compartment.empty()) text += fmt::format(", compartment '{}'", compartment);
    if (!mode.empty()) text += fmt::format(", mode: {}", mode);
    return text;
}

}  // namespace

std::string to_string(const Problem& problem) {
    std::string text;
    if (!problem.file.empty()) {
        text += problem.file;
        if (problem.line > 0) text += fmt::format(":{}", problem.line);
        text += ": ";
    } else if (problem.line > 0) {
        text += fmt::format("line {}: ", problem.line);
    }
    if (!problem.key.empty()) text += problem.key + ": ";
    text += problem.what;
    if (!problem.value.empty()) text += fmt::format(" (given: {})", problem.value);
    if (!problem.allowed.empty()) text += "; " + problem.allowed;
    return text::printable(text);
}

InputError::InputError(std::vector<Problem> problems)
    : Error(join(problems)), problems_(std::move(problems)) {}

ComputationError::ComputationError(const std::string& what, double time_s, std::string riser,
                                   std::string compartment, std::string mode)
    : Error(located(what, time_s, riser, compartment, mode)),
      time_s_(time_s),
      riser_(std::move(riser)),
      compartment_(std::move(compartment)),
      mode_(std::move(mode)) {}

}  // namespace oxfade
