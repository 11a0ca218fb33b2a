#include "oxfade/study/parameter.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>
#include <variant>

#include "study/plant_fields.hpp"
#include "text/key_path.hpp"
#include "text/nearest.hpp"
#include "text/number.hpp"

namespace oxfade::study {
namespace {

using scenario::Dimension;

constexpr std::string_view stop_key = "source.receiver.stop";

/// Reads or sets the quantity at a place.
class At final : public detail::FieldVisitor {
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

/// Collects all values with their keys; list entries under their names and under their places.
class Collector final : public detail::FieldVisitor {
  public:
    struct Entry {
        Field field;
        std::vector<std::string> path, by_place;
        bool is_quantity = false;
    };

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
        add(key, {{}, dimension, value, {}}, true);
    }
    void quantity(std::string_view key, std::optional<Dimension> dimension,
                  std::optional<double>& value) override {
        add(key, {{}, dimension, value, {}}, true);
    }
    void word(std::string_view key, const std::string& value) override {
        add(key, {{}, std::nullopt, std::nullopt, value}, false);
    }
    std::vector<Entry> take() { return std::move(entries_); }

  private:
    void add(std::string_view key, Field field, bool is_quantity) {
        Entry entry{std::move(field), path_, by_place_, is_quantity};
        entry.path.emplace_back(key);
        entry.by_place.emplace_back(key);
        for (const std::string& segment : entry.path)
            entry.field.key = text::join_path(entry.field.key, segment);
        entries_.push_back(std::move(entry));
    }

    std::vector<std::string> path_, by_place_;
    std::vector<Entry> entries_;
};

std::vector<Collector::Entry> collect(const plant::Plant& plant) {
    plant::Plant copy = plant;
    Collector collector;
    detail::visit_fields(copy, collector);
    return collector.take();
}

bool called(const Collector::Entry& entry, const std::vector<std::string>& segments) {
    if (entry.path.size() != segments.size()) return false;
    for (std::size_t i = 0; i < segments.size(); ++i) {
        if (segments[i] != entry.path[i] && segments[i] != entry.by_place[i]) return false;
    }
    return true;
}

[[noreturn]] void refuse(const std::string& key, std::string value, std::string what, std::string allowed) {
    throw InputError({Problem{key, std::move(value), std::move(what), std::move(allowed), {}, 0}});
}

[[noreturn]] void refuse_unknown(const std::string& key, const std::vector<std::string>& segments,
                                 const std::vector<Collector::Entry>& entries) {
    std::vector<std::string> all, siblings;
    for (const auto& entry : entries) {
        if (!entry.is_quantity) continue;
        all.push_back(entry.field.key);
        const bool sibling = entry.path.size() == segments.size() &&
                             std::equal(segments.begin(), segments.end() - 1, entry.path.begin());
        if (sibling) siblings.push_back(entry.path.back());
    }
    const auto near = text::nearest(key, all);
    const std::string allowed = near                ? fmt::format("did you mean `{}`?", *near)
                                : !siblings.empty() ? fmt::format("there are: {}", fmt::join(siblings, ", "))
                                                    : "for example source.purity";
    refuse(key, {}, "the plant has no such quantity", allowed);
}

double parse_as(const std::string& key, std::optional<Dimension> dimension, std::string_view text,
                const plant::Plant& plant) {
    if (!dimension) {
        const auto number = text::leading_number(text);
        if (number.state == text::NumberState::good && number.rest.empty()) return number.value;
        refuse(key, std::string(text), "a plain number is wanted", "for example 0.8");
    }
    const auto parsed = scenario::parse_quantity(text, *dimension, plant.site.pressure);
    if (const auto* quantity = std::get_if<scenario::Quantity>(&parsed)) return quantity->value;
    const auto& error = std::get<scenario::QuantityError>(parsed);
    refuse(key, std::string(text), error.what, error.allowed);
}

}  // namespace

Parameter::Parameter(const plant::Plant& layout, std::string key) : key_(std::move(key)) {
    const auto segments = text::split_path(key_);
    if (!segments) refuse(key_, {}, "is not a dotted path", "for example riser.North.set_pressure");
    if (key_ == "site.pressure" || key_ == "site.altitude") {
        refuse(key_, {}, "cannot be varied: the file's gauge pressures count from it",
               "make one file for each site and compare them");
    }
    const auto entries = collect(layout);
    std::size_t place = 0;
    for (const auto& entry : entries) {
        if (!called(entry, *segments)) {
            place += entry.is_quantity ? 1 : 0;
            continue;
        }
        if (!entry.is_quantity)
            refuse(key_, entry.field.word, "holds no quantity", "a number with a unit can be varied");
        place_ = place;
        dimension_ = entry.field.dimension;
        return;
    }
    refuse_unknown(key_, *segments, entries);
}

std::optional<double> Parameter::value(const plant::Plant& plant) const {
    plant::Plant copy = plant;
    At at(place_, std::nullopt);
    detail::visit_fields(copy, at);
    return at.found();
}

void Parameter::set(plant::Plant& plant, double si) const {
    At at(place_, si);
    detail::visit_fields(plant, at);
    if (key_ != stop_key) return;
    const auto follow = [&](plant::Receiver& receiver) {
        if (receiver.initial_pressure == at.found()) receiver.initial_pressure = si;
    };
    if (auto* generator = std::get_if<plant::Generator>(&plant.source)) follow(generator->receiver);
    if (auto* compressor = std::get_if<plant::Compressor>(&plant.source)) follow(compressor->receiver);
}

double Parameter::parse(std::string_view text, const plant::Plant& plant) const {
    return parse_as(key_, dimension_, text, plant);
}

double Parameter::parse_difference(std::string_view text, const plant::Plant& plant) const {
    std::optional<Dimension> dimension = dimension_;
    if (dimension == Dimension::pressure || dimension == Dimension::absolute_pressure)
        dimension = Dimension::pressure_difference;
    if (dimension == Dimension::temperature) dimension = Dimension::temperature_difference;
    return parse_as(key_, dimension, text, plant);
}

std::vector<Field> fields_of(const plant::Plant& plant) {
    std::vector<Field> fields;
    for (auto& entry : collect(plant)) fields.push_back(std::move(entry.field));
    return fields;
}

}  // namespace oxfade::study
