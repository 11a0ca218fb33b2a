#pragma once

#include <string>
#include <vector>

/// The discrete state: which switch stands where. Between events it does not change.
namespace oxfade::engine {

enum class Machine { off, nitrogen, air, delivering, empty };  ///< the last two are for cylinders
enum class Stage { waiting, filling, in_service };
enum class SupplyMode { shut, wide, hold };

struct RiserMode {
    Stage stage = Stage::waiting;
    SupplyMode supply = SupplyMode::shut;
};

struct VentMode {
    bool open = false;
    bool retired = false;  ///< its policy keeps it shut from now on
};

struct Modes {
    Machine machine = Machine::off;
    std::vector<RiserMode> risers;
    std::vector<VentMode> vents;
};

const char* to_string(Machine mode);
const char* to_string(Stage stage);
const char* to_string(SupplyMode mode);

/// "source on nitrogen; riser North in service, supply holding" for error messages.
std::string describe(const Modes& modes, const std::vector<std::string>& riser_names);

}  // namespace oxfade::engine
