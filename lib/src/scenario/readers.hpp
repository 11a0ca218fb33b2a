#pragma once

#include "oxfade/plant/plant.hpp"
#include "scenario/table.hpp"

/// One reader for each part of a scenario file.
namespace oxfade::scenario::detail {

/// Also sets what gauge pressures and volumes of gas count from in the reading, so it goes before all that
/// may hold one.
plant::Site read_site(Table site);
plant::Source read_source(Table source);
plant::Riser read_riser(Table riser);
plant::Pipe read_pipe(Table pipe);
plant::SamplingPoint read_sampling_point(Table sample);

plant::Vent read_vent(Table vent);
plant::Leak read_leak(Table leak);
plant::LowPoint read_low_point(Table low_point);

/// A temperature that is a table: a swing, or a course from time to time.
plant::Temperature read_temperature(Table temperature);
/// @param plant all that actions may refer to, read before
plant::Action read_action(Table action, const plant::Plant& plant);

/// The nominal sizes there are, for a message: `1/2, 3/4, 1, …`.
std::string known_nominal_sizes();

/// The size of a pipe: `volume`, `nominal`, `schedule` and `length`, or `bore` and `length`.
/// @param owner what has it, for the message: "the pipe"
/// @param schedule what counts where it gives none
std::variant<plant::VolumeOnly, plant::Cylinder> read_shape(Table& table, std::string_view owner,
                                                            const std::optional<std::string>& schedule = {});
/// The keys `position` and `pitch`: rise over length.
std::optional<double> read_pitch(Table& table);

/// The keys `diameter` and `coefficient` of any table.
plant::Orifice read_orifice(Table& table);
/// The key `initial_gas` of a riser or receiver.
plant::InitialGas read_initial_gas(Table& table);

}  // namespace oxfade::scenario::detail
