#pragma once

#include <toml++/toml.h>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/error.hpp"
#include "scenario/takeoff/piping.hpp"
#include "scenario/tree.hpp"

namespace oxfade::scenario::detail {

/// A takeoff as read; where it has problems, its systems are not to be used.
struct ReadTakeoff {
    std::string file;
    std::vector<SystemPiping> systems;
    std::vector<std::string> unused_columns;
    std::vector<Problem> problems;
};

/// Reads a takeoff from its text; throws nothing but FileError, when it is too large.
ReadTakeoff read_takeoff_rows(std::string_view text, const std::string& file,
                              const TakeoffSettings& settings);

/// Text of a takeoff file. Throws FileError when it is no regular file, cannot be read or is too large.
std::string takeoff_contents(const std::string& path);

/// What came of the `takeoff` keys of a scenario.
struct PlacedTakeoffs {
    std::vector<Problem> problems;
    std::vector<std::string> spoiled;  ///< paths of risers whose piping could not be read
    struct Hint {
        std::string path, what, allowed;
    };
    std::vector<Hint> hints;
    std::map<std::string, Origin> origins;  ///< by path, of what was put in
};

/// Puts the lists of a system into the riser's table, before what is there already.
/// @param path of the riser
void put_piping(toml::table& riser, const std::string& path, const SystemPiping& system,
                const std::string& file, std::map<std::string, Origin>& origins);

/// Reads the takeoffs that risers name, and puts their piping in.
/// @param name of the scenario file; takeoffs are looked for in its folder
PlacedTakeoffs place_takeoffs(toml::table& root, const std::string& name);

}  // namespace oxfade::scenario::detail
