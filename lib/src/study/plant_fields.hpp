#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "oxfade/plant/plant.hpp"
#include "oxfade/scenario/quantity.hpp"

/// The values of a plant one by one, each under the key that it has in a scenario file.
namespace oxfade::study::detail {

/// Is shown every value of a plant. Values keep their order among plants of the same layout.
class FieldVisitor {
  public:
    virtual ~FieldVisitor() = default;
    /// A table; `index` is its 0-based place where it is an entry of a list.
    virtual void enter(std::string_view name, std::optional<std::size_t> index) = 0;
    virtual void leave() = 0;
    /// A quantity in SI units; without a dimension, a plain number.
    virtual void quantity(std::string_view key, std::optional<scenario::Dimension> dimension,
                          double& value) = 0;
    /// One that a file may leave out.
    virtual void quantity(std::string_view key, std::optional<scenario::Dimension> dimension,
                          std::optional<double>& value) = 0;
    /// What is not a quantity: a name, a choice, a count, a flag.
    virtual void word(std::string_view key, const std::string& value) = 0;
};

/// Shows the visitor all values of a plant, which it may change.
void visit_fields(plant::Plant& plant, FieldVisitor& visitor);

}  // namespace oxfade::study::detail
