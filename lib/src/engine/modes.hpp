#pragma once

#include <cstddef>
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
    bool supply_closed = false;  ///< by hand
};

struct VentMode {
    bool open = false;     ///< as its policy has it
    bool retired = false;  ///< its policy keeps it shut from now on
    bool stopped = false;  ///< water keeps its liquid stop shut
    bool closed = false;   ///< by hand, whatever its policy says

    bool passes() const { return open && !stopped && !closed; }
};

/// Water at a low point: does not close the bore; closes it; or gas bubbles through it one way.
enum class Seal { open, closed, behind, before };

struct SealMode {
    Seal seal = Seal::open;
    double offset = 0.0;  ///< while gas bubbles: pressure before it less that behind [Pa]
};

struct Modes {
    Machine machine = Machine::off;
    std::vector<RiserMode> risers;
    std::vector<VentMode> vents;
    std::vector<SealMode> seals;
};

/// One for all modes that are alike but for memories.
std::size_t number_of(const Modes& modes);

const char* to_string(Machine mode);
const char* to_string(Stage stage);
const char* to_string(SupplyMode mode);
const char* to_string(Seal seal);

/// "source on nitrogen; riser North in service, supply holding" for error messages.
std::string describe(const Modes& modes, const std::vector<std::string>& riser_names);

}  // namespace oxfade::engine
