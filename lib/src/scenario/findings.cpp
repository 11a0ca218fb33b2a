#include "scenario/findings.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>
#include <utility>

#include "text/printable.hpp"

namespace oxfade::scenario::detail {
namespace {

constexpr std::size_t most_problems = 200;  // told at once

}  // namespace

Problem Findings::located(Problem problem) const {
    const Origin& place = origins_.nearest(problem.key);
    problem.line = place.line;
    problem.file = !place.file.empty() ? place.file : place.line > 0 ? file_ : std::string(override_name);
    if (const Origin* own = origins_.find(problem.key)) {
        if (own->file.empty() || !own->heading.empty()) problem.value = own->raw;
        if (!own->heading.empty()) problem.key = own->heading;
    }
    return problem;
}

void Findings::add(const std::string& path, std::string what, std::string allowed) {
    shadow(path);
    add_about(path, std::move(what), std::move(allowed));
}

void Findings::add_about(const std::string& path, std::string what, std::string allowed) {
    problems_.push_back(located({path, "", std::move(what), std::move(allowed), "", 0}));
}

void Findings::hint(const std::string& path, std::string what, std::string allowed) {
    if (!hints_.empty()) {
        ++further_hints_;
        return;
    }
    hints_.push_back(located({path, "", std::move(what), std::move(allowed), "", 0}));
}

std::vector<Problem> Findings::hints() const {
    std::vector<Problem> hints = hints_;
    if (further_hints_ > 0) hints.front().allowed += fmt::format(" (and {} more like it)", further_hints_);
    return hints;
}

bool Findings::shadowed(std::string path) const {
    while (shadows_.count(path) == 0) {
        const auto dot = path.rfind('.');
        if (dot == std::string::npos) return false;
        path.resize(dot);
    }
    return true;
}

/// The path with its longest part that has an owner put in that one's name.
std::string Findings::owned(const std::string& path) const {
    for (std::size_t end = path.size(); end != std::string::npos && end > 0; end = path.rfind('.', end - 1)) {
        const auto owner = owners_.find(path.substr(0, end));
        if (owner != owners_.end()) return owner->second + path.substr(end);
    }
    return path;
}

void Findings::adopt(std::vector<Problem> problems) {
    std::set<std::pair<std::string, std::string>> told;  // of what many pipes were made from
    for (Problem& problem : problems) {
        std::string key = owned(problem.key);
        const bool repeated = key != problem.key && !told.emplace(key, problem.what).second;
        problem.key = std::move(key);
        if (!repeated && !shadowed(problem.key)) problems_.push_back(located(std::move(problem)));
    }
}

std::vector<Problem> first_of(std::vector<Problem> problems) {
    if (problems.size() > most_problems) {
        const std::size_t more = problems.size() - most_problems;
        const std::string file = problems.front().file;
        problems.resize(most_problems);
        problems.push_back(
            {"", "", fmt::format("there are {} more problems", more), "mend these first", file, 0});
    }
    for (Problem& problem : problems) {
        for (std::string* part : {&problem.key, &problem.value, &problem.what, &problem.allowed})
            *part = text::printable(*part);
    }
    return problems;
}

std::vector<Problem> Findings::take() {
    const auto rank = [&](const Problem& problem) {
        const bool own = problem.file == file_;
        return std::tuple(problem.line == 0, own ? std::string() : problem.file, problem.line);
    };
    std::stable_sort(problems_.begin(), problems_.end(),
                     [&](const Problem& a, const Problem& b) { return rank(a) < rank(b); });
    return first_of(std::move(problems_));
}

}  // namespace oxfade::scenario::detail
