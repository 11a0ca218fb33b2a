#include "scenario/findings.hpp"

#include <algorithm>
#include <utility>

#include "text/printable.hpp"

namespace oxfade::scenario::detail {
Problem Findings::located(Problem problem) const {
    const Origin& place = origins_.nearest(problem.key);
    problem.line = place.line;
    problem.file = place.line > 0 ? file_ : std::string(override_name);
    if (const Origin* own = origins_.find(problem.key)) problem.value = own->raw;
    return problem;
}

void Findings::add(const std::string& path, std::string what, std::string allowed) {
    shadow(path);
    add_about(path, std::move(what), std::move(allowed));
}

void Findings::add_about(const std::string& path, std::string what, std::string allowed) {
    problems_.push_back(located({path, "", std::move(what), std::move(allowed), "", 0}));
}

bool Findings::shadowed(std::string path) const {
    while (shadows_.count(path) == 0) {
        const auto dot = path.rfind('.');
        if (dot == std::string::npos) return false;
        path.resize(dot);
    }
    return true;
}

void Findings::adopt(std::vector<Problem> problems) {
    for (Problem& problem : problems) {
        if (!shadowed(problem.key)) problems_.push_back(located(std::move(problem)));
    }
}

std::vector<Problem> Findings::take() {
    const auto rank = [](const Problem& problem) { return std::pair(problem.line == 0, problem.line); };
    std::stable_sort(problems_.begin(), problems_.end(),
                     [&](const Problem& a, const Problem& b) { return rank(a) < rank(b); });
    for (Problem& problem : problems_) {
        for (std::string* part : {&problem.key, &problem.value, &problem.what, &problem.allowed}) {
            *part = text::printable(*part);
        }
    }
    return std::move(problems_);
}

}  // namespace oxfade::scenario::detail
