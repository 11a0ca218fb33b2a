#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "oxfade/plant/low_point.hpp"
#include "oxfade/plant/site.hpp"
#include "oxfade/plant/source.hpp"
#include "oxfade/plant/temperature.hpp"

namespace oxfade::plant {

/// A round hole for gas with its discharge coefficient (model.md eq. 12).
struct Orifice {
    double diameter = 0.0;     ///< [m], > 0
    double coefficient = 0.8;  ///< in (0, 1]

    /// Effective area: coefficient times bore area [m2].
    double effective_area() const;
};

/// Holds the riser's set pressure exactly while its orifice can (model.md 5.3).
struct Regulator {
    Orifice orifice;
};
/// Wide open from `low` up to `high`, then shut down to `low`.
struct PressureSwitch {
    Orifice orifice;
    double low = 0.0;   ///< [Pa abs]
    double high = 0.0;  ///< [Pa abs], > low
};
using Supply = std::variant<Regulator, PressureSwitch>;

/// Vent policies. Every vent is shut until its riser's fill is complete.
struct OpenAlways {};
/// Open until a time counted from the start of the run.
struct OpenUntil {
    double time = 0.0;  ///< [s], > 0
};
/// Open until all compartments of the riser are at target together for the first time.
struct OpenUntilTarget {};
/// Opens when the fill is complete and every `every` after that, each time for `duration`.
struct OpenTimed {
    double every = 0.0;     ///< [s], > duration
    double duration = 0.0;  ///< [s], > 0
};
/// Pressure-cycle purging: opens at `high`, shuts at `low`, starts shut.
struct OpenBetween {
    double high = 0.0;  ///< [Pa abs]
    double low = 0.0;   ///< [Pa abs], < high
};
using VentPolicy = std::variant<OpenAlways, OpenUntil, OpenUntilTarget, OpenTimed, OpenBetween>;

/// A way out to the site's air at the far end of a pipe. On a pipe with a `count` every copy has one.
struct Vent {
    std::string name;
    std::string at;  ///< name of a pipe of the same riser
    Orifice orifice;
    VentPolicy policy = OpenAlways{};
    bool liquid_stop = false;  ///< shuts when more water reaches it than its chamber holds
    double chamber = 1e-4;     ///< water its chamber holds before a liquid stop shuts [m3], >= 0
};

/// A leak given by what a pressure test with air on the whole riser loses.
struct LeakByTest {
    double loss = 0.0;  ///< pressure lost [Pa], > 0
    double over = 0.0;  ///< in this time [s], > 0
    double from = 0.0;  ///< starting at [Pa abs]; `from - loss` stays above the site's air pressure
};
/// A leak given by the standard flow of air it passes at a pressure.
struct LeakByFlow {
    double flow = 0.0;      ///< standard volume flow [m3/s], > 0
    double pressure = 0.0;  ///< [Pa abs], above the site's air pressure
};
/// How a leak is spread where it is at no one place: by the volume of the pipes, by their length, or by the
/// joints they have (one at each end, and one every 21 ft, the length steel pipe is delivered in).
enum class LeakSpread { volume, length, joints };
/// A hole that always acts. On a pipe with a `count` every copy has one.
struct Leak {
    std::optional<std::string> at;  ///< a pipe: the leak is at its far end; none: spread over all pipes
    std::variant<Orifice, LeakByTest, LeakByFlow> size;
    LeakSpread spread = LeakSpread::volume;
};

/// A pipe given by its inside volume alone: no geometry, so no mixing and no loops through it.
struct VolumeOnly {
    double volume = 0.0;  ///< [m3], > 0
};
/// Pipe of one bore.
struct Cylinder {
    double bore = 0.0;    ///< inside diameter [m], > 0
    double length = 0.0;  ///< [m], > 0
};

/// A stretch of piping, joined to the one it hangs on at that one's far end.
struct Pipe {
    std::string name;  ///< unique within the riser
    std::optional<std::string>
        from;  ///< joined to that pipe's far end; none: to the pipe before it in the list
    std::variant<VolumeOnly, Cylinder> shape;
    std::optional<int> cells;     ///< so many well-mixed cells in series, >= 1; none: the engine cuts it
    std::optional<double> pitch;  ///< rise of the far end over the length, -1 (straight down) to 1 (straight
                                  ///< up); none: as the elevations say, else as is usual (Riser::pitch_of)
    std::optional<double> exchange;  ///< fixed mixing exchange G [mol/s] on its links, >= 0 (model.md eq. 8)
    int count = 1;  ///< equal pipes side by side from the same point, each with all that hangs on it, >= 1
    std::optional<std::array<double, 2>> elevation;  ///< of its near and its far end [m]

    double volume() const;             ///< of one such pipe [m3]
    const Cylinder* geometry() const;  ///< null when given by volume alone
};

/// Usual pitch towards the drain, far end high (nfpa_13_2016: 1/2 in per 10 ft of branch line, 1/4 in per 10
/// ft of main in dry systems).
inline constexpr double branch_line_pitch = 0.5 / 120.0, main_pitch = 0.25 / 120.0;

/// A spot where gas is analysed, other than at a vent. On a pipe with a `count`: at one of the copies.
struct SamplingPoint {
    std::string name;                ///< unique within the riser's vents and sampling points
    std::string at;                  ///< name of a pipe of the same riser
    std::optional<double> distance;  ///< from the pipe's near end [m]; none: at its far end
};

/// Closes a loop between the far ends of two pipes.
struct LoopLink {
    std::string first, second;
};

/// One dry system: piping behind one valve, filled and kept up through one fill passage and one supply.
struct Riser {
    std::string name;            ///< unique in the plant
    double set_pressure = 0.0;   ///< [Pa abs], above the site's air pressure
    double fill_limit = 1800.0;  ///< wanted fill time [s], > 0
    double rest = 0.0;           ///< pause after this riser's fill before the next one starts [s]
    InitialGas initial_gas = InitialGas::air;
    std::optional<double> initial_pressure;  ///< [Pa abs]; none: the site's air pressure
    std::optional<Temperature> temperature;  ///< of its pipes, 200 to 400 K; none: the site's
    Orifice fill;
    Supply supply;
    std::vector<Pipe> pipes;  ///< the first is where gas enters
    std::vector<LoopLink> links;
    std::vector<Vent> vents;
    std::vector<Leak> leaks;
    std::vector<LowPoint> low_points;
    std::vector<SamplingPoint> samples;

    double volume() const;  ///< of all pipes, copies included [m3]
    std::optional<std::size_t> pipe_index(const std::string& pipe) const;
    /// Index of the pipe that `pipes[index]` hangs on; none for the first pipe or an unknown name.
    std::optional<std::size_t> parent_index(std::size_t index) const;
    /// How often each pipe is there: its own count times those of all pipes it hangs on.
    std::vector<int> copies() const;
    /// How often what sits at a pipe is there; 1 for an unknown name.
    int copies_of(const std::string& pipe) const;
    /// True for each pipe from which no more than one other pipe, alone, leads on to its end: a branch line.
    std::vector<bool> branch_lines() const;
    /// Rise over length of each pipe: given, from its elevations, or the usual pitch (0 where only a volume
    /// is known).
    std::vector<double> pitches() const;
};

/// The temperature of a riser's pipes: its own, or the site's.
const Temperature& temperature_of(const Riser& riser, const Site& site);

}  // namespace oxfade::plant
