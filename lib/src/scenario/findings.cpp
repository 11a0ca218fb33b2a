#include "scenario/findings.hpp"

#include <algorithm>
#include <utility>

namespace oxfade::scenario::detail {
namespace {

/// True when `path` is `outer` or lies below it.
bool lies_in(std::string_view path, std::string_view outer) {
    if (path.substr(0, outer.size()) != outer) return false;
    return path.size() == outer.size() || outer.empty() || path[outer.size()] == '.';
}

}  // namespace

Problem Findings::located(Problem problem) const {
    const Origin& place = origins_.nearest(problem.key);
    problem.line = place.line;
    problem.file = place.line > 0 ? file_ : std::string(override_name);
    if (const Origin* own = origins_.find(problem.key)) problem.value = own->raw;
    return problem;
}

void Findings::add(const std::string& path, std::string what, std::string allowed) {
    shadow(path);
    problems_.push_back(located({path, "", std::move(what), std::move(allowed), "", 0}));
}

bool Findings::shadowed(const std::string& path) const {
    return std::any_of(shadows_.begin(), shadows_.end(),
                       [&](const std::string& shadow) { return lies_in(path, shadow); });
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
    return std::move(problems_);
}

}  // namespace oxfade::scenario::detail
