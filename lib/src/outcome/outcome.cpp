#include "oxfade/outcome/outcome.hpp"

#include <algorithm>

namespace oxfade::outcome {

bool Outcome::all_met() const {
    return std::all_of(risers.begin(), risers.end(),
                       [](const RiserOutcome& r) { return r.fill_met && r.time_to_target.has_value(); });
}

std::size_t Outcome::last_column(std::size_t riser, std::size_t pipe) const {
    std::size_t column = 0;
    for (std::size_t r = 0; r <= riser; ++r) {
        const std::size_t last = r == riser ? pipe + 1 : risers[r].pipes.size();
        for (std::size_t p = 0; p < last; ++p) column += risers[r].pipes[p].oxygen.size();
    }
    return column - 1;
}

}  // namespace oxfade::outcome
