#pragma once

#include <map>
#include <string>
#include <vector>

#include "oxfade/scenario/draft.hpp"

namespace CLI {
class App;
}

namespace oxfade::program {

struct Options;

/// What `draft` is told: answers by the key of their question.
struct DraftOptions {
    std::map<std::string, std::string> given;
    std::vector<std::string> systems;
    std::string takeoff;    ///< path of a table of pipes; empty: piping is asked for
    std::string tolerance;  ///< of ends that meet in it; empty: as usual
    bool defaults = false;  ///< the usual answer to whatever is not given
    bool force = false;     ///< may replace a file

    scenario::Answers answers() const;
};

void add_draft_options(CLI::App& verb, Options& options);

}  // namespace oxfade::program
