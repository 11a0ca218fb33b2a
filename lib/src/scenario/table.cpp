#include "scenario/table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "text/date.hpp"
#include "text/key_path.hpp"
#include "text/nearest.hpp"

namespace oxfade::scenario::detail {
namespace {

constexpr std::size_t longest_list = 5000;  // entries

/// What stands there instead of what is wanted.
std::string_view kind_of(const toml::node& node) {
    switch (node.type()) {
        case toml::node_type::table:
            return "a table";
        case toml::node_type::array:
            return "a list";
        case toml::node_type::string:
            return "a text";
        case toml::node_type::integer:
        case toml::node_type::floating_point:
            return "a bare number";
        case toml::node_type::boolean:
            return "true or false";
        default:
            return "a date or time";
    }
}

}  // namespace

bool Table::has(std::string_view key) const { return node_ != nullptr && node_->contains(key); }

bool Table::holds_table(std::string_view key) const { return has(key) && node_->get(key)->is_table(); }

bool Table::is_text(std::string_view key, std::string_view word) {
    const toml::node* node = find(key);
    return node != nullptr && node->value<std::string_view>() == word;
}

std::string Table::key_path(std::string_view key) const { return text::join_path(path_, key); }

void Table::add_problem(std::string_view key, std::string what, std::string allowed) const {
    reading_->findings.add(key_path(key), std::move(what), std::move(allowed));
}

const toml::node* Table::find(std::string_view key) {
    if (std::find(known_.begin(), known_.end(), key) == known_.end()) known_.emplace_back(key);
    return node_ == nullptr ? nullptr : node_->get(key);
}

const toml::node* Table::find_required(std::string_view key, std::string_view wanted) {
    const toml::node* node = find(key);
    if (node == nullptr && node_ != nullptr) {
        add_problem(key, "this key is missing", fmt::format("{} is wanted", wanted));
    }
    return node;
}

void Table::want(std::string_view key, const toml::node& node, std::string_view wanted) const {
    add_problem(key, fmt::format("{} stands here", kind_of(node)), fmt::format("{} is wanted", wanted));
}

void Table::tally(std::optional<UnitSystem> system) const {
    if (system == UnitSystem::si) ++reading_->si_units;
    if (system == UnitSystem::us) ++reading_->us_units;
}

double Table::parsed(const std::string& path, const toml::node& node, Dimension dimension) {
    const auto* text = node.as_string();
    if (text == nullptr) {
        reading_->findings.add(path, fmt::format("{} stands here", kind_of(node)),
                               fmt::format("{} in quotes with a unit, for example \"{}\", is wanted",
                                           to_string(dimension), example_of(dimension)));
        return unreadable;
    }
    return value_of(path, text->get(), dimension);
}

double Table::value_of(const std::string& path, const std::string& text, Dimension dimension,
                       bool of_gas) const {
    const auto parsed = parse_quantity(text, dimension, reading_->air_pressure, reading_->reference);
    const auto* found = std::get_if<Quantity>(&parsed);
    if (found != nullptr && found->amount_of_gas && dimension == Dimension::volume && !of_gas) {
        reading_->findings.add(path, fmt::format("`{}` is an amount of gas", text),
                               "the volume of a space is wanted, for example \"700 gal\"");
        return unreadable;
    }
    return taken(path, parsed);
}

double Table::taken(const std::string& path, const std::variant<Quantity, QuantityError>& parsed) const {
    if (const auto* error = std::get_if<QuantityError>(&parsed)) {
        reading_->findings.add(path, error->what, error->allowed);
        return unreadable;
    }
    const Quantity& found = std::get<Quantity>(parsed);
    tally(found.system);
    if (found.unmarked) hint_at_absolute(path, found);
    if (found.gauge_difference) {
        reading_->findings.hint(path, "is taken as a difference of pressures",
                                "write it without the g: psi, bar, kPa");
    }
    return found.value;
}

/// `28 psi` is taken as absolute, as it is written; most who write it mean psig.
void Table::hint_at_absolute(const std::string& path, const Quantity& found) const {
    constexpr double psi = 6894.757293168, bar = 1e5;
    const bool us = found.system == UnitSystem::us;
    const double above = (found.value - reading_->air_pressure) / (us ? psi : bar);
    reading_->findings.hint(path,
                            fmt::format("is taken as absolute, {:.3g} {} here", above, us ? "psig" : "barg"),
                            fmt::format("end the unit with g if it is a gauge's, with a if it is not: {}",
                                        us ? "psig, psia" : "barg, bara"));
}

std::optional<std::vector<double>> Table::quantities(std::string_view key, Dimension dimension) {
    const auto given = texts(key);
    if (!given) return std::nullopt;
    std::vector<double> values;
    values.reserve(given->size());
    for (const std::string& text : *given) values.push_back(value_of(key_path(key), text, dimension));
    return values;
}

std::optional<double> Table::quantity(std::string_view key, Dimension dimension) {
    const toml::node* node = find(key);
    if (node == nullptr) return std::nullopt;
    return parsed(key_path(key), *node, dimension);
}

std::optional<double> Table::moment(std::string_view key) {
    const toml::node* node = find(key);
    if (node == nullptr) return std::nullopt;
    const auto path = key_path(key);
    if (const auto* text = node->as_string()) return taken(path, parse_moment(text->get(), reading_->start));
    if (node->is_date() || node->is_date_time())
        return taken(path, parse_moment(shown(*node), reading_->start));
    return parsed(path, *node, Dimension::time);
}

std::optional<std::vector<std::array<double, 2>>> Table::pairs(std::string_view key,
                                                               std::array<Dimension, 2> dimensions) {
    const toml::node* node = find(key);
    if (node == nullptr) return std::nullopt;
    const toml::array* rows = node->as_array();
    const auto is_pair = [](const toml::node& row) { return row.is_array() && row.as_array()->size() == 2; };
    if (rows == nullptr || !std::all_of(rows->begin(), rows->end(), is_pair)) {
        want(key, *node,
             fmt::format("a list of pairs such as [\"{}\", \"{}\"]", example_of(dimensions[0]),
                         example_of(dimensions[1])));
        return std::nullopt;
    }
    std::vector<std::array<double, 2>> values;
    for (const toml::node& row : *rows) {
        const auto path = text::join_path(key_path(key), std::to_string(values.size()));
        auto& pair = values.emplace_back();
        for (std::size_t i = 0; i < pair.size(); ++i) {
            const toml::node& entry = *row.as_array()->get(i);
            pair[i] = parsed(text::join_path(path, std::to_string(i)), entry, dimensions[i]);
        }
    }
    const bool readable = std::none_of(values.begin(), values.end(), [](const auto& pair) {
        return std::isnan(pair[0]) || std::isnan(pair[1]);
    });
    return readable ? std::optional(values) : std::nullopt;
}

std::optional<double> Table::number(std::string_view key) {
    const toml::node* node = find(key);
    if (node == nullptr) return std::nullopt;
    if (node->is_number()) return node->value<double>();
    want(key, *node, "a bare number");
    return std::nullopt;
}

std::optional<int> Table::count(std::string_view key) {
    const toml::node* node = find(key);
    if (node == nullptr) return std::nullopt;
    const auto* whole = node->as_integer();
    if (whole == nullptr) {
        add_problem(key, "is not a whole number", "a whole number without quotes is wanted");
        return std::nullopt;
    }
    constexpr auto most = std::int64_t{std::numeric_limits<int>::max()};
    return static_cast<int>(std::clamp(whole->get(), -most, most));
}

std::optional<bool> Table::flag(std::string_view key) {
    const toml::node* node = find(key);
    if (node == nullptr) return std::nullopt;
    if (const auto* value = node->as_boolean()) return value->get();
    want(key, *node, "true or false without quotes");
    return std::nullopt;
}

std::optional<std::string> Table::text(std::string_view key) {
    const toml::node* node = find(key);
    if (node == nullptr) return std::nullopt;
    if (const auto* value = node->as_string()) return value->get();
    want(key, *node, "a text in quotes");
    return std::nullopt;
}

std::optional<std::string> Table::date(std::string_view key) {
    const toml::node* node = find(key);
    if (node == nullptr) return std::nullopt;
    if (node->is_date() || node->is_date_time()) return shown(*node);
    if (const auto* value = node->as_string()) return value->get();
    want(key, *node, "a date and time such as \"2026-03-02T08:00\"");
    return std::nullopt;
}

std::string Table::date_or_empty(std::string_view key) {
    const toml::node* node = find(key);
    if (node == nullptr) return "";
    if (node->is_date() || node->is_date_time()) return shown(*node);
    const auto given = node->value<std::string>();
    return given && text::looks_like_date(*given) ? *given : std::string();
}

std::optional<std::vector<std::string>> Table::texts(std::string_view key) {
    const toml::node* node = find(key);
    if (node == nullptr) return std::nullopt;
    const toml::array* list = node->as_array();
    if (list == nullptr || (!list->empty() && !list->is_homogeneous<std::string>())) {
        want(key, *node, "a list of texts in quotes");
        return std::nullopt;
    }
    std::vector<std::string> values;
    for (const toml::node& entry : *list) values.push_back(entry.as_string()->get());
    return values;
}

std::optional<Table> Table::table(std::string_view key) {
    const toml::node* node = find(key);
    if (node == nullptr) return std::nullopt;
    const toml::table* inner = node->as_table();
    if (inner == nullptr) want(key, *node, "a table");
    return Table(*reading_, inner, key_path(key));
}

std::vector<Table> Table::list(std::string_view key) {
    std::vector<Table> tables;
    const toml::node* node = find(key);
    if (node == nullptr) return tables;
    const toml::array* entries = node->as_array();
    if (entries == nullptr || (!entries->empty() && !entries->is_homogeneous<toml::table>())) {
        want(key, *node, "a list of tables, each under its own heading in double brackets,");
        return tables;
    }
    if (entries->size() > longest_list) {
        add_problem(key, fmt::format("the list has {} entries", entries->size()),
                    fmt::format("at most {}", longest_list));
        return tables;
    }
    const auto segments = entry_segments(*entries);
    for (std::size_t i = 0; i < segments.size(); ++i) {
        tables.emplace_back(*reading_, entries->get(i)->as_table(),
                            text::join_path(key_path(key), segments[i]));
    }
    return tables;
}

double Table::required_quantity(std::string_view key, Dimension dimension) {
    const auto wanted = fmt::format("{}, for example \"{}\",", to_string(dimension), example_of(dimension));
    return find_required(key, wanted) == nullptr ? unreadable : quantity(key, dimension).value_or(unreadable);
}

double Table::usual_quantity(std::string_view key, Dimension dimension, std::string_view usual,
                             std::string_view basis) {
    if (find(key) != nullptr) return quantity(key, dimension).value_or(unreadable);
    assume(key, std::string(usual), basis);
    return scenario::quantity(usual, dimension, reading_->air_pressure, reading_->reference);
}

void Table::assume(std::string_view key, std::string value, std::string_view basis) const {
    reading_->assumed.push_back({key_path(key), std::move(value), std::string(basis)});
}

double Table::required_moment(std::string_view key) {
    const auto wanted = reading_->start.empty()
                            ? std::string("a time, for example \"30 min\",")
                            : std::string("a time or a date, for example \"5 d\" or \"2026-03-07T08:00\",");
    return find_required(key, wanted) == nullptr ? unreadable : moment(key).value_or(unreadable);
}

double Table::required_gas_volume(std::string_view key) {
    const toml::node* node = find_required(key, "a volume, for example \"2500 ft3\",");
    if (node == nullptr) return unreadable;
    const auto* text = node->as_string();
    if (text == nullptr) return parsed(key_path(key), *node, Dimension::volume);
    return value_of(key_path(key), text->get(), Dimension::volume, true);
}

std::string Table::required_text(std::string_view key) {
    if (find_required(key, "a text in quotes") == nullptr) return "";
    const auto given = text(key);
    if (given && given->empty()) add_problem(key, "must not be empty", "a text in quotes is wanted");
    return given.value_or("");
}

std::optional<std::vector<std::string>> Table::required_texts(std::string_view key) {
    if (find_required(key, "a list of texts in quotes") == nullptr) return std::nullopt;
    return texts(key);
}

Table Table::required_table(std::string_view key) {
    if (find_required(key, "a table") == nullptr) return Table(*reading_, nullptr, key_path(key));
    return *table(key);
}

Table Table::table_or_none(std::string_view key) {
    auto given = table(key);
    return given ? std::move(*given) : Table(*reading_, nullptr, key_path(key));
}

std::optional<std::size_t> Table::one_of(std::initializer_list<std::vector<std::string_view>> groups,
                                         std::string what, std::string allowed) {
    std::vector<std::string> present;
    std::optional<std::size_t> chosen;
    std::size_t index = 0, chosen_groups = 0;
    for (const auto& group : groups) {
        const auto first =
            std::find_if(group.begin(), group.end(), [&](std::string_view key) { return has(key); });
        if (first != group.end()) {
            present.push_back(fmt::format("`{}`", *first));
            chosen = index;
            ++chosen_groups;
        }
        for (const std::string_view key : group) find(key);
        ++index;
    }
    const bool none_is_fine = what.empty() && chosen_groups == 0;
    if (chosen_groups == 1 || none_is_fine || node_ == nullptr) return chosen;
    if (chosen_groups > 1) what = fmt::format("{} exclude each other", fmt::join(present, " and "));
    for (const auto& group : groups) {
        for (const std::string_view key : group) reading_->findings.shadow(key_path(key));
    }
    reading_->findings.add_about(path_, std::move(what), std::move(allowed));
    return std::nullopt;
}

void Table::refuse(std::string_view key, const std::string& what, const std::string& allowed) {
    const toml::node* node = find(key);
    if (node == nullptr) return;
    const toml::array* entries = node->as_array();
    if (entries == nullptr) {
        add_problem(key, what, allowed);
        return;
    }
    for (const std::string& segment : entry_segments(*entries)) {
        reading_->findings.add(text::join_path(key_path(key), segment), what, allowed);
    }
}

void Table::wrong_choice(std::string_view key, const std::string& word,
                         std::vector<std::string> words) const {
    add_problem(key, "is not one of the words known here", text::suggest(word, words, "allowed"));
}

void Table::finish() const {
    if (node_ == nullptr) return;
    for (const auto& [key, value] : *node_) {
        if (std::find(known_.begin(), known_.end(), key.str()) != known_.end()) continue;
        add_problem(key.str(), "unknown key", text::suggest(key.str(), known_, "keys known here"));
    }
}

}  // namespace oxfade::scenario::detail
