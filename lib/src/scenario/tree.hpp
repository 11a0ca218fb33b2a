#pragma once

#include <toml++/toml.h>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "oxfade/scenario/read.hpp"

/// The parsed file: TOML text -> tree, overrides, and where each key came from.
namespace oxfade::scenario::detail {

/// Stands for the file in problems of an overridden value.
inline constexpr std::string_view override_name = "--set";

/// Parses a text; throws InputError with the parser's message and its line.
toml::table parse_toml(std::string_view text, const std::string& name);

/// Puts the overrides into the tree. Gives back a problem for each path that leads nowhere.
std::vector<Problem> apply(const std::vector<Override>& overrides, toml::table& root);

/// Segments by which the entries of a list of tables are called in paths (see text::entry_segments).
std::vector<std::string> entry_segments(const toml::array& list);

/// A value as a message shows it: quoted text, a number, a list; nothing for tables. Cut short when long.
std::string shown(const toml::node& node);

/// Where a value was written, and how.
struct Origin {
    int line = 0;  ///< 0: it came from an override
    std::string raw;
    std::string file;     ///< another file that it was read from; empty: the scenario
    std::string heading;  ///< of the column there; empty where it is no cell of a table
    std::string shown;    ///< what the scenario says for it, as in messages
};

/// Origins of all keys of a tree, by dotted path.
class Origins {
  public:
    explicit Origins(const toml::table& root);
    /// Takes over where parts of the tree were read in another file, but for those changed since.
    void take(std::map<std::string, Origin> others);
    /// Null when the file has no such key.
    const Origin* find(const std::string& path) const;
    /// Of the key or, where the file does not have it, of the innermost table around it.
    const Origin& nearest(std::string path) const;

  private:
    void record(const toml::node& node, const std::string& path, int depth);
    void record_list(const toml::array& list, const std::string& path, int depth);

    std::map<std::string, Origin> origins_;
};

}  // namespace oxfade::scenario::detail
