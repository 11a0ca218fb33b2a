#pragma once

#include <cstddef>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/plant/riser.hpp"
#include "oxfade/scenario/quantity.hpp"

/// A takeoff: piping as a table of pipes, as spreadsheets and drawing programs export it. README.md says
/// which columns there are and how a scenario names one.
namespace oxfade::scenario {

/// What a takeoff is read with.
struct TakeoffOptions {
    double tolerance = 0.05;  ///< ends closer than this are joined [m], 0.001 to 1
    std::string vent;  ///< orifice of vents that are only ticked, `0.03 in`; empty: a problem where one is
};

/// All pipes of one size in a system.
struct TakeoffSize {
    std::string size;     ///< `4 in schedule 10`, in metric takeoffs `DN100 schedule 10`; or `52.5 mm bore`
    double bore = 0.0;    ///< [m]
    double length = 0.0;  ///< of all pipes [m]
    double volume = 0.0;  ///< likewise [m3]
};

/// A far end of a pipe and how high it lies.
struct TakeoffPoint {
    std::string pipe;     ///< empty: where gas enters
    double height = 0.0;  ///< [m]; see TakeoffSystem::absolute
};

/// One system of a takeoff, with what there is to check against the drawing.
struct TakeoffSystem {
    std::string name;      ///< empty where the takeoff has no such column
    std::size_t rows = 0;  ///< of the takeoff
    plant::Riser piping;   ///< its pipes, links, vents, low points and sampling points; the rest says nothing
    std::string toml;      ///< the same as lists of a scenario file, below its `[[riser]]`
    std::vector<TakeoffSize> sizes;  ///< widest first
    int branch_lines = 0;
    std::vector<std::string> open_ends;  ///< pipes with nothing at their far end that are no branch lines
    TakeoffPoint highest, lowest;
    bool absolute = false;  ///< heights are elevations as given; else they count from where gas enters
    std::vector<std::string> low_places;   ///< far ends where water can stand (plant::low_places)
    std::vector<std::string> drains;       ///< pipes whose row has a drain or low point
    std::vector<std::string> near_misses;  ///< ends close to a pipe that they are not joined to, in words
};

/// A takeoff without problems.
struct Takeoff {
    std::string file;
    std::vector<TakeoffSystem> systems;
    std::vector<std::string> unused_columns;  ///< headings that mean nothing here
    bool ticked_vents = false;                ///< some vent has no diameter of its own
    UnitSystem units = UnitSystem::si;        ///< the family most lengths are written in
};

/// Reads and checks a takeoff. Its pipes pass the checks of those in a scenario file.
/// Throws FileError when the file cannot be read or is larger than 4 MB; InputError with everything that is
/// wrong, each problem with file, line, heading of the column and the cell as written.
Takeoff read_takeoff(const std::filesystem::path& file, const TakeoffOptions& options = {});

/// As read_takeoff, from a text. @param name stands for the file in messages.
Takeoff read_takeoff_text(std::string_view csv, const std::string& name, const TakeoffOptions& options = {});

/// A summary in words to check against the drawing: by system lengths and volumes by size, branch lines, ends
/// that are open or nearly meet another pipe, highest and lowest point, vents, sampling points and drains.
std::string takeoff_summary(const Takeoff& takeoff, UnitSystem units);

}  // namespace oxfade::scenario
