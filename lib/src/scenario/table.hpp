#pragma once

#include <toml++/toml.h>
#include <array>
#include <filesystem>
#include <initializer_list>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include "oxfade/plant/plant.hpp"
#include "oxfade/scenario/quantity.hpp"
#include "scenario/findings.hpp"

namespace oxfade::scenario::detail {

/// Stands for a quantity that cannot be read; not judged any further.
inline constexpr double unreadable = std::numeric_limits<double>::quiet_NaN();

/// The basis of a usual value that no document states.
inline constexpr std::string_view common_practice = "common practice, no source";

/// What is shared while one file is read.
struct Reading {
    Findings findings;
    double air_pressure;                       ///< of the site [Pa]: what gauge pressures count from
    plant::Reference reference = {};           ///< of the site: what volumes of gas are counted at
    std::string start = {};                    ///< when the run begins, as plant::Plant::start
    int si_units = 0, us_units = 0;            ///< how many of each family were met
    std::size_t pipes_made = 0;                ///< from rows of branch lines
    std::vector<plant::Assumed> assumed = {};  ///< what the file leaves out
    std::filesystem::path folder = {};         ///< of the file, from which others are named
};

/// A table of the file under a reader's hand. Nothing here throws: what cannot be read becomes a problem and
/// a value in its place (not a number, an empty text), which is then not judged any further. Every key asked
/// for is a known key; `finish` reports the others.
class Table {
  public:
    /// @param node null for a table that the file lacks: everything in it is absent, without further problems
    Table(Reading& reading, const toml::table* node, std::string path)
        : reading_(&reading), node_(node), path_(std::move(path)) {}

    const std::string& path() const { return path_; }
    Reading& reading() const { return *reading_; }
    bool has(std::string_view key) const;
    bool holds_table(std::string_view key) const;
    /// True when the key holds exactly this word; makes the key known.
    bool is_text(std::string_view key, std::string_view word);

    /// The value of an optional key; none where the file leaves it out.
    std::optional<double> quantity(std::string_view key, Dimension dimension);
    /// A moment of the run from its start [s]: a time, or a date where the file says when it starts.
    std::optional<double> moment(std::string_view key);
    std::optional<double> number(std::string_view key);
    std::optional<int> count(std::string_view key);
    /// A date, with or without quotes, as its text.
    std::optional<std::string> date(std::string_view key);
    /// A date, with or without quotes; empty where something else stands there, of which nothing is said.
    std::string date_or_empty(std::string_view key);
    std::optional<bool> flag(std::string_view key);
    std::optional<std::string> text(std::string_view key);
    std::optional<std::vector<std::string>> texts(std::string_view key);
    /// A list of quantities of one dimension.
    std::optional<std::vector<double>> quantities(std::string_view key, Dimension dimension);
    /// Rows of two quantities; none where one of them cannot be read.
    std::optional<std::vector<std::array<double, 2>>> pairs(std::string_view key,
                                                            std::array<Dimension, 2> dimensions);
    std::optional<Table> table(std::string_view key);
    std::vector<Table> list(std::string_view key);  ///< of tables; empty where left out

    /// The value of a key that must be there.
    double required_quantity(std::string_view key, Dimension dimension);
    /// The value of a key that has a usual one, which is noted as assumed where the file leaves it out.
    /// @param usual as a file would have it: `20 degC`
    /// @param basis its source
    double usual_quantity(std::string_view key, Dimension dimension, std::string_view usual,
                          std::string_view basis = common_practice);
    /// Notes a value that stands for a key left out.
    void assume(std::string_view key, std::string value, std::string_view basis = common_practice) const;
    double required_moment(std::string_view key);
    /// A volume of gas, which may name the conditions that it is counted at.
    double required_gas_volume(std::string_view key);
    std::string required_text(std::string_view key);  ///< never empty without a problem
    std::optional<std::vector<std::string>> required_texts(std::string_view key);
    Table required_table(std::string_view key);
    /// As `table`; an empty one, of which nothing is required, where the file leaves it out.
    Table table_or_none(std::string_view key);

    template <class Value>
    using Choices = std::initializer_list<std::pair<std::string_view, Value>>;
    /// One of a few words, turned into what it stands for.
    template <class Value>
    std::optional<Value> choice(std::string_view key, Choices<Value> choices);
    template <class Value>
    std::optional<Value> required_choice(std::string_view key, Choices<Value> choices);

    /// Index of the one group of keys of which the table has any. A problem when it has none, or of several.
    /// @param what is said when there is none: "the pipe has no size"; empty where none is fine
    std::optional<std::size_t> one_of(std::initializer_list<std::vector<std::string_view>> groups,
                                      std::string what, std::string allowed);

    /// A key that is part of the format but that cannot be used: a problem for each time it is there.
    void refuse(std::string_view key, const std::string& what, const std::string& allowed);
    void add_problem(std::string_view key, std::string what, std::string allowed) const;
    std::string key_path(std::string_view key) const;

    /// Reports keys that nobody asked for. Call it last.
    void finish() const;

  private:
    double parsed(const std::string& path, const toml::node& node, Dimension dimension);
    const toml::node* find(std::string_view key);
    const toml::node* find_required(std::string_view key, std::string_view wanted);
    void want(std::string_view key, const toml::node& node, std::string_view wanted) const;
    void wrong_choice(std::string_view key, const std::string& word, std::vector<std::string> words) const;
    void hint_at_absolute(const std::string& path, const Quantity& found) const;
    void tally(std::optional<UnitSystem> system) const;
    double value_of(const std::string& path, const std::string& text, Dimension dimension,
                    bool of_gas = false) const;
    double taken(const std::string& path, const std::variant<Quantity, QuantityError>& parsed) const;

    Reading* reading_;
    const toml::table* node_;
    std::string path_;
    std::vector<std::string> known_;
};

template <class Value>
std::optional<Value> Table::choice(std::string_view key, Choices<Value> choices) {
    const auto word = text(key);
    if (!word) return std::nullopt;
    std::vector<std::string> words;
    for (const auto& [name, value] : choices) {
        if (name == *word) return value;
        words.emplace_back(name);
    }
    wrong_choice(key, *word, std::move(words));
    return std::nullopt;
}

template <class Value>
std::optional<Value> Table::required_choice(std::string_view key, Choices<Value> choices) {
    std::string wanted;
    for (const auto& entry : choices) wanted += (wanted.empty() ? "" : " or ") + std::string(entry.first);
    if (find_required(key, wanted) == nullptr) return std::nullopt;
    return choice(key, choices);
}

}  // namespace oxfade::scenario::detail
