#include "oxfade/outcome/outcome.hpp"

#include <algorithm>

namespace oxfade::outcome {

bool Outcome::all_met() const {
    return std::all_of(risers.begin(), risers.end(),
                       [](const RiserOutcome& r) { return r.fill_met && r.time_to_target.has_value(); });
}

}  // namespace oxfade::outcome
