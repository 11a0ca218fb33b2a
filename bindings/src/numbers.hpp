#pragma once

#include <string>
#include <vector>

#include "oxfade/plant/plant.hpp"

/// Numbers of a plant by dotted paths of attributes, for ensembles and changed copies.
namespace oxfade::python {

/// A path such as `riser.North.vent.'end vent'.diameter_m`: the scenario file's key with the attribute's
/// name, unit included, at its end. Entries of lists by name, or by 0-based index.
struct NumberPath {
    std::string text;
    std::vector<std::string> segments;
};

/// Splits a path. Throws InputError when it is not a dotted path.
NumberPath number_path(const std::string& text);

/// Puts a number (SI, as the attribute's name says) into the plant.
/// Throws InputError when the plant has no such number: the message offers what there is.
void set_number(plant::Plant& plant, const NumberPath& path, double value);

/// Whether the plant has a number of that path.
bool has_number(const plant::Plant& plant, const NumberPath& path);

}  // namespace oxfade::python
