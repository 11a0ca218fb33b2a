#include "oxfade/study/parameter.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>
#include <variant>

#include "plant/fields.hpp"
#include "text/key_path.hpp"
#include "text/nearest.hpp"
#include "text/number.hpp"

namespace oxfade::study {
namespace {

using plant::detail::FieldEntry;
using scenario::Dimension;

constexpr std::string_view stop_key = "source.receiver.stop";

[[noreturn]] void refuse(const std::string& key, std::string value, std::string what, std::string allowed) {
    throw InputError({Problem{key, std::move(value), std::move(what), std::move(allowed), {}, 0}});
}

[[noreturn]] void refuse_unknown(const std::string& key, const std::vector<std::string>& segments,
                                 const std::vector<FieldEntry>& entries) {
    std::vector<std::string> all, siblings;
    for (const auto& entry : entries) {
        if (!entry.is_quantity) continue;
        all.push_back(entry.key());
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
    const auto entries = plant::detail::field_entries(layout);
    const auto own = std::find_if(entries.begin(), entries.end(),
                                  [&](const FieldEntry& entry) { return entry.called(*segments); });
    if (own == entries.end()) refuse_unknown(key_, *segments, entries);
    if (!own->is_quantity) refuse(key_, own->word, "holds no quantity", "a number with a unit can be varied");
    place_ = static_cast<std::size_t>(
        std::count_if(entries.begin(), own, [](const FieldEntry& entry) { return entry.is_quantity; }));
    dimension_ = own->dimension;
}

std::optional<double> Parameter::value(const plant::Plant& plant) const {
    return plant::detail::QuantityPlace(place_, dimension_).value(plant);
}

void Parameter::set(plant::Plant& plant, double si) const {
    const auto before = plant::detail::QuantityPlace(place_, dimension_).set(plant, si);
    if (key_ != stop_key) return;
    const auto follow = [&](plant::Receiver& receiver) {
        if (receiver.initial_pressure == before) receiver.initial_pressure = si;
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
    for (auto& entry : plant::detail::field_entries(plant)) {
        fields.push_back({entry.key(), entry.dimension, entry.value, std::move(entry.word)});
    }
    return fields;
}

}  // namespace oxfade::study
