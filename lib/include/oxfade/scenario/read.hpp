#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/plant/plant.hpp"
#include "oxfade/scenario/quantity.hpp"

namespace oxfade::scenario {

/// A value put in the place of one in the file.
struct Override {
    std::string
        key;  ///< dotted path; list entries by name or 0-based index: `riser.North.vent.'end vent'.diameter`
    std::string value;  ///< a TOML value, or bare text that is taken for a string: `0.05 in`
};

/// Splits `KEY=VALUE` at the first `=` outside quotes. Throws InputError when there is none or the key is
/// empty.
Override parse_override(std::string_view assignment);

/// What a scenario file holds.
struct Scenario {
    plant::Plant plant;
    std::optional<double> relative_tolerance;  ///< [solver].relative_tolerance, 1e-12 to 1e-2
    std::optional<double> refinement;          ///< [solver].refinement, 0.05 to 100; none: chosen
    UnitSystem units = UnitSystem::si;         ///< the family most of the file's units belong to
    std::string file;                          ///< name for messages
    std::vector<Problem> hints;                ///< what is no mistake, but easily one
    std::string resolved;  ///< where it names takeoffs, the same scenario with their piping and with all
                           ///< overrides in it, for those who keep its text; else empty
};

/// Reads and checks a scenario file (TOML, format 1), and the takeoffs that it names, from the file's folder.
/// The plant it gives has no problems left.
/// Throws FileError when the file cannot be read; InputError with everything that is wrong in it, each
/// problem with file, line, key and the value as written (`--set` stands for file and line of an override).
Scenario read_file(const std::filesystem::path& file, const std::vector<Override>& overrides = {});

/// As read_file, from a text. @param name stands for the file in messages, and says in which folder takeoffs
/// are
Scenario read_text(std::string_view toml, const std::string& name,
                   const std::vector<Override>& overrides = {});

}  // namespace oxfade::scenario
