#include <algorithm>
#include <utility>

#include "plant/fields.hpp"
#include "text/key_path.hpp"

namespace oxfade::plant::detail {
namespace {

/// Reads or sets the quantity at a place.
class At final : public FieldVisitor {
  public:
    At(std::size_t place, std::optional<double> replacement) : place_(place), replacement_(replacement) {}

    void enter(std::string_view, std::optional<std::size_t>) override {}
    void leave() override {}
    void word(std::string_view, const std::string&) override {}
    void quantity(std::string_view, std::optional<Dimension>, double& value) override {
        if (count_++ != place_) return;
        found_ = value;
        if (replacement_) value = *replacement_;
    }
    void quantity(std::string_view, std::optional<Dimension>, std::optional<double>& value) override {
        if (count_++ != place_) return;
        found_ = value;
        if (replacement_) value = *replacement_;
    }
    std::optional<double> found() const { return found_; }

  private:
    std::size_t place_, count_ = 0;
    std::optional<double> replacement_, found_;
};

/// Collects all values with their keys.
class Collector final : public FieldVisitor {
  public:
    void enter(std::string_view name, std::optional<std::size_t> index) override {
        const std::string place = index ? std::to_string(*index) : std::string(name);
        path_.push_back(name.empty() ? place : std::string(name));
        by_place_.push_back(place);
    }
    void leave() override {
        path_.pop_back();
        by_place_.pop_back();
    }
    void quantity(std::string_view key, std::optional<Dimension> dimension, double& value) override {
        add(key, true, dimension, value, {});
    }
    void quantity(std::string_view key, std::optional<Dimension> dimension,
                  std::optional<double>& value) override {
        add(key, true, dimension, value, {});
    }
    void word(std::string_view key, const std::string& value) override {
        add(key, false, std::nullopt, std::nullopt, value);
    }
    std::vector<FieldEntry> take() { return std::move(entries_); }

  private:
    void add(std::string_view key, bool is_quantity, std::optional<Dimension> dimension,
             std::optional<double> value, std::string text) {
        FieldEntry entry{path_, by_place_, is_quantity, dimension, value, std::move(text)};
        entry.path.emplace_back(key);
        entry.by_place.emplace_back(key);
        entries_.push_back(std::move(entry));
    }

    std::vector<std::string> path_, by_place_;
    std::vector<FieldEntry> entries_;
};

}  // namespace

std::string FieldEntry::key() const {
    std::string key;
    for (const std::string& segment : path) key = text::join_path(key, segment);
    return key;
}

bool FieldEntry::called(const std::vector<std::string>& segments) const {
    if (path.size() != segments.size()) return false;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        if (segments[i] != path[i] && segments[i] != by_place[i]) return false;
    }
    return true;
}

std::vector<FieldEntry> field_entries(const Plant& plant) {
    Plant copy = plant;
    Collector collector;
    visit_fields(copy, collector);
    return collector.take();
}

std::optional<double> QuantityPlace::value(const Plant& plant) const {
    Plant copy = plant;
    At at(place_, std::nullopt);
    visit_fields(copy, at);
    return at.found();
}

std::optional<double> QuantityPlace::set(Plant& plant, double si) const {
    At at(place_, si);
    visit_fields(plant, at);
    return at.found();
}

std::optional<QuantityPlace> find_quantity(const std::vector<FieldEntry>& entries,
                                           const std::vector<std::string>& segments) {
    std::size_t place = 0;
    for (const FieldEntry& entry : entries) {
        if (entry.called(segments)) {
            if (!entry.is_quantity) return std::nullopt;
            return QuantityPlace(place, entry.dimension);
        }
        place += entry.is_quantity ? 1 : 0;
    }
    return std::nullopt;
}

}  // namespace oxfade::plant::detail
