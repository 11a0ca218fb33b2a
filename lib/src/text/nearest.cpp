#include "text/nearest.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "text/letters.hpp"

namespace oxfade::text {
namespace {

constexpr std::size_t longest_word = 200;   // beyond, nobody is helped by a suggestion
constexpr std::size_t most_work = 200'000;  // letters compared before the search for a near word ends
constexpr std::size_t most_shown = 40;      // candidates listed

}  // namespace

std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    std::iota(row.begin(), row.end(), std::size_t{0});
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t diagonal = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t replace = diagonal + (lower(a[i - 1]) == lower(b[j - 1]) ? 0 : 1);
            diagonal = row[j];
            row[j] = std::min({replace, row[j] + 1, row[j - 1] + 1});
        }
    }
    return row[b.size()];
}

std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& candidates) {
    if (word.size() > longest_word) return std::nullopt;
    std::optional<std::string> best;
    std::size_t best_distance = 0, work = 0;
    for (const std::string& candidate : candidates) {
        if (candidate.size() > longest_word) continue;
        work += (word.size() + 1) * (candidate.size() + 1);
        if (work > most_work) break;
        const std::size_t distance = edit_distance(word, candidate);
        if (!best || distance < best_distance) {
            best = candidate;
            best_distance = distance;
        }
    }
    if (!best) return std::nullopt;
    const std::size_t longer = std::max(word.size(), best->size());
    const std::size_t tolerated =
        std::min(std::max<std::size_t>(2, longer / 2), longer - std::min<std::size_t>(longer, 1));
    return best_distance <= tolerated ? best : std::nullopt;
}

std::string suggest(std::string_view word, const std::vector<std::string>& candidates,
                    std::string_view noun) {
    if (const auto near = nearest(word, candidates)) return fmt::format("did you mean `{}`?", *near);
    const std::size_t shown = std::min(candidates.size(), most_shown);
    std::string text = fmt::format(
        "{}: {}", noun,
        fmt::join(candidates.begin(), candidates.begin() + static_cast<std::ptrdiff_t>(shown), ", "));
    if (candidates.size() > shown) text += fmt::format(" and {} more", candidates.size() - shown);
    return text;
}

}  // namespace oxfade::text
