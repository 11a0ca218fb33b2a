#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <limits>
#include <string>
#include <vector>

#include "oxfade/flow/dip.hpp"
#include "oxfade/gas/mixture.hpp"
#include "oxfade/plant/plant.hpp"

/// The plant in the compact form the engine computes on.
///
/// Two gases enter any plant: air and the source's product. Every composition is therefore one number, the
/// air fraction z: x_s = z x_s,air + (1 - z) x_s,product. Nodes (compartments) of a riser are contiguous and
/// ordered parent before child, so that one sweep down or up the arrays walks the tree.
namespace oxfade::engine {

/// The two gases and what follows from them at the site's mean temperature.
struct Gases {
    gas::Mixture air, product;
    double mass_product = 0.0;  ///< molar mass of the product [kg/mol]
    double mass_excess = 0.0;   ///< molar mass of air less that of the product [kg/mol]
    double oxygen_product = 0.0, oxygen_excess = 0.0;  ///< oxygen of product; of air less that of product

    double viscosity_product = 0.0;  ///< [Pa s]
    double viscosity_excess = 0.0;   ///< viscosity of air over that of the product, less 1

    double molar_mass(double air_fraction) const { return mass_product + air_fraction * mass_excess; }
    /// Viscosity over that of the product; between two gases so much alike a straight line is within 0.01 %.
    double relative_viscosity(double air_fraction) const { return 1.0 + air_fraction * viscosity_excess; }
    double oxygen(double air_fraction) const { return oxygen_product + air_fraction * oxygen_excess; }
    /// What an error of an air fraction is measured against at least: it matters through the oxygen, the
    /// product's share included.
    double composition_floor() const {
        return oxygen_excess > 0.0 ? std::clamp(oxygen_product / oxygen_excess, 1e-3, 1.0) : 1.0;
    }
};

/// What mixing across a link depends on (model.md section 4): the pipe between the centres of two cells, in
/// one or two pieces from the first cell to the second.
struct LinkMixing {
    struct Piece {
        double length = 0.0;  ///< along which gas mixes [m]
        double area = 0.0;    ///< of all copies [m2]
        double radius = 0.0;  ///< [m]
        double sine = 0.0;    ///< of the pitch; above 0 where the second cell is the higher one
        double cosine = 1.0;
    };
    std::array<Piece, 2> pieces;
    int count = 0;         ///< of pieces; 0: without geometry
    double fixed = -1.0;   ///< exchange given by the user [mol/s]; negative: none
    int mouth = 0;         ///< node from which the gas comes that the counter-flow trades for the gas here
    double warming = 0.0;  ///< how much warmer it gets from the first cell to the second [K/m]

    bool active() const { return fixed > 0.0 || count > 0; }
};

/// What resists the flow between two cells: half of each, in series. Lengths are 0 without geometry.
struct LinkFriction {
    struct Half {
        double length = 0.0, bore = 0.0;  ///< [m]
    };
    std::array<Half, 2> halves;
    double copies = 1.0;  ///< equal links side by side, through all of which the flow of the network goes
};

/// A link that closes a loop, and the tree links round it.
struct LoopLink {
    int first = 0, second = 0;  ///< nodes; flow counts positive from first to second
    LinkMixing mixing;
    double resistance = 0.0;  ///< L/d^4 [1/m3]
    LinkFriction friction;
    struct Member {
        int node;     ///< the tree link from this node to its parent
        double sign;  ///< +1 on the way to `first`, -1 on the way to `second`
    };
    std::vector<Member> members;
};

struct VentSpot {
    int node = 0;
    int riser = 0;
    double area = 0.0;  ///< effective [m2]
    plant::VentPolicy policy;
    std::string name;
    bool liquid_stop = false;
    double chamber = 0.0;  ///< water it holds before the stop shuts, all copies [m3]
};

/// Water at a low point, on the link from a node to its parent.
struct WaterSpot {
    int node = 0;
    int riser = 0;
    std::string name;
    bool trap = false;    ///< a rise was given; else slopes were
    flow::Dip dip;        ///< its bore is 0 where none is known
    double rise = 0.0;    ///< of a trap, with all its water [m]
    double water = 0.0;   ///< at the start, of all copies [m3]
    double copies = 1.0;  ///< how often it is there

    static constexpr double trace = 1e-3;  ///< share of its water with which a trap counts as dry
    /// How so much water [m3], in all copies, stands; surfaces and volumes are those of all. The rise of a
    /// trap shrinks with its water.
    flow::DipWater stand(double volume) const;
};

/// How far one pressure reaches: over a riser; over the nodes that no water parts (model.md section 9); or
/// over a node alone, with friction between (model.md 5.4).
enum class Pressures { uniform, zoned, resolved };

/// How warm a vessel is at one moment. What a network gives in moles for a pressure holds at the mean
/// temperature of the vessel: at any other, a pressure is warmth times as much for so many moles.
struct Thermal {
    double temperature = 0.0;  ///< [K]
    double warmth = 1.0;       ///< over the mean; exactly 1 where it never changes
    double cooling = 0.0;      ///< relative rate of falling [1/s]
    double diffusivity = 0.0;  ///< of air in the product, times the pressure [m2 Pa/s]
    double viscosity = 0.0;    ///< of the product [Pa s]
};

/// A dead end whose cells move with their gas as the pressure swings, but for some at its mouth, which take
/// up what comes in. Its pieces of pipe count from its end.
struct BreathingLine {
    struct Piece {
        double until = 0.0;      ///< volume of the line from its end to the far side of the piece [m3]
        LinkMixing::Piece pipe;  ///< its length unused
    };
    int first = 0, count = 0;           ///< nodes, from the mouth
    double copies = 1.0, volume = 0.0;  ///< volume of one [m3]
    double stirred = 0.0;               ///< length at its mouth [m]
    double warming = 0.0;               ///< [K/m]
    std::vector<Piece> pieces;
    std::vector<double>
        carried;  ///< for each node, part of the riser's gain that moves with the cell's near end
};

/// Thresholds are moles in the vessel that the riser's switches sense: all of the riser, or the node where
/// gas enters.
struct RiserNet {
    std::string name;
    plant::Temperature course;
    double temperature = 0.0;                   ///< mean of the course [K]
    int first = 0, count = 0;                   ///< its nodes
    double pressure_per_mole = 0.0;             ///< R T / V of that vessel [Pa/mol]
    double set = 0.0;                           ///< [mol] at set pressure
    double fill_area = 0.0, supply_area = 0.0;  ///< effective [m2]
    bool has_switch = false;
    double low = 0.0, high = 0.0;  ///< [mol], of a pressure switch
    double rest = 0.0;             ///< [s]
    double initial = 0.0;          ///< [mol] in all of the riser at the start
    double initial_air = 0.0;      ///< air fraction at the start
    int first_vent = 0, vent_count = 0;
    struct Reading {
        std::string name;
        bool vent = false;
        std::size_t pipe = 0, cell = 0;
        int node = 0;
    };
    std::vector<Reading> readings;                          ///< vents, then sampling points
    double knee = std::numeric_limits<double>::infinity();  ///< [mol], above it cells of `lines` move
    std::vector<BreathingLine> lines;
    std::vector<LoopLink> loops;
    std::vector<double> loop_inverse;  ///< inverse of the loop resistance matrix, row-major
};

enum class SourceKind { generator, cylinders, compressor };

struct SourceNet {
    SourceKind kind = SourceKind::generator;
    double pressure_per_mole = 0.0;                   ///< R T / V of the receiver; 0 for cylinders
    double delivery_pressure = 0.0;                   ///< of cylinders
    double initial = 0.0, initial_air = 0.0;          ///< [mol], air fraction
    double start = 0.0, stop = 0.0, air_below = 0.0;  ///< [mol] in the receiver
    double nitrogen_flow = 0.0, air_flow = 0.0;       ///< [mol/s]
    double power = 0.0;
    bool has_power = false;
};

struct Network {
    Pressures pressures = Pressures::uniform;
    Gases gases;
    double site_pressure = 0.0;
    plant::Temperature course;  ///< of the site's air and the receiver
    double temperature = 0.0;   ///< its mean [K]
    bool moving = false;        ///< some temperature changes in the course of the run
    double duration = 0.0;
    plant::TargetAt target_at = plant::TargetAt::everywhere;
    double target_air = 0.0;  ///< a compartment is at target when its air fraction is at or below this
    SourceNet source;
    std::vector<RiserNet> risers;
    std::vector<VentSpot> vents;
    std::vector<WaterSpot> water;  ///< in file order, riser by riser

    // One entry a node.
    std::vector<int> parent;  ///< -1 for the node where gas enters
    std::vector<int> riser_of;
    std::vector<double> share;        ///< of its riser's volume; where cells move, below the knee
    std::vector<double> swell;        ///< of what its riser's gas gains above the knee; elsewhere its share
    std::vector<bool> breathing;      ///< part of a breathing line
    std::vector<double> leak_spread;  ///< that part of its leaks which goes with its volume [m2]
    std::vector<double> leak_area;    ///< effective [m2]
    std::vector<double> cell_end;     ///< its far end as a fraction of the pipe's length
    std::vector<double> step;  ///< from the centre of the parent to its own [m]; 0: transport by upwind cells
    std::vector<double> reach;                      ///< from the parent's centre to where the two meet [m]
    std::vector<double> copies;                     ///< how often its pipe is there
    std::vector<int> onward;                        ///< the node that goes on from it in line; -1: none
    std::vector<LinkMixing> mixing;                 ///< of the link to the parent
    std::vector<double> resistance;                 ///< of the link to the parent, L/d^4; 0 without geometry
    std::vector<LinkFriction> friction;             ///< of the link to the parent
    std::vector<double> node_pressure_per_mole;     ///< R T / V of the node alone [Pa/mol]
    std::vector<std::string> label;                 ///< "pipe[cell]"
    bool any_mixing = false, any_resolved = false;  ///< links that mix; links with a step
    plant::Mixing kinds;                            ///< of mixing

    // Only where water parts zones: one entry a node each, but for the counts.
    int zones = 0;
    std::vector<int> zone_of;
    std::vector<double> gas_volume;  ///< less the water in it [m3]
    std::vector<double> wall;        ///< inside surface [m2]
    std::vector<double> bore;        ///< or that of a pipe with this much wall [m]
    std::vector<int> spot_of;        ///< low point on the link to the parent; -1: none

    /// node_of[riser][pipe][cell]
    std::vector<std::vector<std::vector<int>>> node_of;

    /// Of a riser at a time [s]: its temperature over the mean.
    double warmth(int r, double time) const {
        const RiserNet& riser = risers[static_cast<std::size_t>(r)];
        return moving ? riser.course.at(time) / riser.temperature : 1.0;
    }
    double source_warmth(double time) const { return moving ? course.at(time) / temperature : 1.0; }

    int nodes() const { return static_cast<int>(parent.size()); }

    /// How much further than gas compositions may be off in a step. Where pipes are cut by the engine,
    /// cutting them moves a result by some 1e-3; a front that passes from cell to cell would be followed to
    /// no avail.
    double composition_margin() const {
        constexpr double where_resolved = 3000.0;
        return any_resolved ? where_resolved : 1.0;
    }
    /// The same for pressures. Where temperatures move, receiver and riser may stand within 1e-5 of each
    /// other.
    double pressure_margin() const {
        constexpr double where_resolved = 10.0;
        return any_resolved && !moving ? where_resolved : 1.0;
    }
    /// What an error of an air fraction is measured against at least; there half the target counts.
    double composition_floor() const {
        const double floor = gases.composition_floor();
        return any_resolved ? std::clamp(0.5 * target_air, floor, 1.0) : floor;
    }
};

/// The plant must be valid (plant::require_valid). One with low points has zones instead of uniform
/// pressures. Throws InputError where friction is to be resolved along a pipe without geometry or past water,
/// and for water on a pipe that is part of a loop.
/// @param refinement how many times the usual number of cells pipes get that the engine cuts
Network build_network(const plant::Plant& plant, Pressures pressures = Pressures::uniform,
                      double refinement = 1.0);

/// Takes over what may change in the course of a run: flows and pressures of the source, pressures and
/// orifices of risers, vents and leaks. `from` is built from the same plant but for these; nothing moves in
/// memory.
void take_settings(Network& net, const Network& from);

}  // namespace oxfade::engine
