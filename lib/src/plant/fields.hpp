#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/plant/dimension.hpp"
#include "oxfade/plant/plant.hpp"

/// The values of a plant one by one, each under the key that it has in a scenario file.
namespace oxfade::plant::detail {

/// Is shown every value of a plant. Values keep their order among plants of the same layout.
class FieldVisitor {
  public:
    virtual ~FieldVisitor() = default;
    /// A table; `index` is its 0-based place where it is an entry of a list.
    virtual void enter(std::string_view name, std::optional<std::size_t> index) = 0;
    virtual void leave() = 0;
    /// A quantity in SI units; without a dimension, a plain number.
    virtual void quantity(std::string_view key, std::optional<Dimension> dimension, double& value) = 0;
    /// One that a file may leave out.
    virtual void quantity(std::string_view key, std::optional<Dimension> dimension,
                          std::optional<double>& value) = 0;
    /// What is not a quantity: a name, a choice, a count, a flag.
    virtual void word(std::string_view key, const std::string& value) = 0;
};

/// Shows the visitor all values of a plant, which it may change.
void visit_fields(Plant& plant, FieldVisitor& visitor);

/// A value of a plant with its place in it.
struct FieldEntry {
    std::vector<std::string> path;      ///< segments of its key; list entries by name where they have one
    std::vector<std::string> by_place;  ///< the same with every list entry by its 0-based place
    bool is_quantity = false;
    std::optional<Dimension> dimension;  ///< none for a plain number
    std::optional<double> value;         ///< SI; none for words and for what is left out
    std::string word;                    ///< what is no quantity

    std::string key() const;  ///< dotted path
    bool called(const std::vector<std::string>& segments) const;
};
/// Every value, in the order of the scenario file's format.
std::vector<FieldEntry> field_entries(const Plant& plant);

/// A quantity of a plant, found by its key once and set quickly on any plant of the same layout.
class QuantityPlace {
  public:
    QuantityPlace() = default;
    QuantityPlace(std::size_t place, std::optional<Dimension> dimension)
        : place_(place), dimension_(dimension) {}

    std::optional<Dimension> dimension() const { return dimension_; }  ///< none for a plain number
    std::optional<double> value(const Plant& plant) const;             ///< none where it is left out
    /// Gives back what it was.
    std::optional<double> set(Plant& plant, double si) const;

  private:
    std::size_t place_ = 0;  ///< among the quantities of the plant
    std::optional<Dimension> dimension_;
};
/// Where the quantity of that key is; none where there is no such key, or where it holds a word.
std::optional<QuantityPlace> find_quantity(const std::vector<FieldEntry>& entries,
                                           const std::vector<std::string>& segments);

}  // namespace oxfade::plant::detail
