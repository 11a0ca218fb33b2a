#include "scenario/takeoff/place.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <set>
#include <system_error>
#include <utility>

#include "oxfade/gas/constants.hpp"
#include "scenario/file_text.hpp"
#include "scenario/table.hpp"
#include "text/key_path.hpp"
#include "text/nearest.hpp"

namespace oxfade::scenario::detail {
namespace {

constexpr std::size_t largest_file = 4'000'000;  // bytes

/// A `takeoff` key.
struct Request {
    std::string file, system;
    TakeoffSettings settings;
    bool readable = true;
};

/// Puts the piping of takeoffs into one scenario.
class Placer {
  public:
    Placer(toml::table& root, const std::string& name) : root_(root), name_(name) {}

    PlacedTakeoffs place() {
        toml::array* risers = root_["riser"].as_array();
        if (risers == nullptr || risers->empty() || !risers->is_homogeneous<toml::table>())
            return std::move(placed_);
        const auto wants = [](const toml::node& riser) { return riser.as_table()->contains("takeoff"); };
        if (std::none_of(risers->begin(), risers->end(), wants)) return std::move(placed_);
        const Origins origins(root_);
        Reading reading{Findings(name_, origins), gas::standard_pressure};
        const auto segments = entry_segments(*risers);
        for (std::size_t k = 0; k < segments.size(); ++k) {
            toml::table& riser = *risers->get(k)->as_table();
            if (riser.contains("takeoff")) place_riser(reading, riser, text::join_path("riser", segments[k]));
        }
        tell_unused();
        std::vector<Problem> problems = reading.findings.take();
        placed_.problems.insert(placed_.problems.end(), problems.begin(), problems.end());
        return std::move(placed_);
    }

  private:
    struct File {
        ReadTakeoff read;
        std::set<std::string> taken;  ///< systems
        std::string first_path;
        std::string failure;
    };

    void place_riser(Reading& reading, toml::table& riser, const std::string& path) {
        Table table(reading, &riser, path);
        const Request request = read_request(table);
        const auto name = riser["name"].value_or(std::string());
        const SystemPiping* system = request.readable ? find_system(table, request, name) : nullptr;
        if (system == nullptr) {
            placed_.spoiled.push_back(path);
            return;
        }
        put_piping(riser, path, *system, request.file, placed_.origins);
    }

    Request read_request(Table& riser) {
        Request request;
        if (!riser.holds_table("takeoff")) {
            request.file = riser.text("takeoff").value_or("");
            request.readable = !request.file.empty();
            if (riser.is_text("takeoff", ""))
                riser.add_problem("takeoff", "must not be empty", "the path of a takeoff file");
        } else {
            Table keys = *riser.table("takeoff");
            request.file = keys.required_text("file");
            request.system = keys.text("system").value_or("");
            const double tolerance =
                keys.quantity("tolerance", Dimension::length).value_or(request.settings.tolerance);
            const auto vent = keys.text("vent");
            if (vent && keys.quantity("vent", Dimension::length)) request.settings.vent = *vent;
            request.readable = !request.file.empty() && tolerance == tolerance;
            if (tolerance == tolerance && !(tolerance >= 0.001 && tolerance <= 1.0)) {
                keys.add_problem("tolerance", "is out of range", "from 1 mm to 1 m");
                request.readable = false;
            }
            request.settings.tolerance = tolerance;
            keys.finish();
        }
        const auto folder = std::filesystem::path(name_).parent_path();
        if (request.readable) request.file = (folder / request.file).string();
        return request;
    }

    File& open(const Request& request) {
        const auto key =
            fmt::format("{}\n{}\n{}", request.file, request.settings.tolerance, request.settings.vent);
        const auto [place, fresh] = files_.try_emplace(key);
        File& file = place->second;
        if (!fresh) return file;
        try {
            file.read = read_takeoff_rows(takeoff_contents(request.file), request.file, request.settings);
        } catch (const FileError& error) {
            file.failure = error.what();
        }
        auto& problems = file.read.problems;
        placed_.problems.insert(placed_.problems.end(), problems.begin(), problems.end());
        return file;
    }

    const SystemPiping* find_system(Table& riser, const Request& request, const std::string& name) {
        File& file = open(request);
        if (!file.failure.empty()) {
            riser.add_problem("takeoff", file.failure,
                              "a table of pipes as CSV; its path counts from the scenario's folder");
            return nullptr;
        }
        if (!file.read.problems.empty()) return nullptr;
        if (file.first_path.empty()) file.first_path = riser.key_path("takeoff");
        const std::string wanted = request.system.empty() ? name : request.system;
        std::vector<std::string> known;
        for (const SystemPiping& system : file.read.systems) {
            const bool only = system.name.empty() && file.read.systems.size() == 1 && request.system.empty();
            if (only || lower_case(system.name) == lower_case(plain_text(wanted))) {
                file.taken.insert(system.name);
                return &system;
            }
            known.push_back(system.name);
        }
        riser.add_problem(
            "takeoff", fmt::format("the takeoff has no system `{}`", wanted),
            text::suggest(wanted, known, "its systems") + "; or { file = \"…\", system = \"…\" }");
        return nullptr;
    }

    /// Systems that no riser takes, and columns that nothing reads.
    void tell_unused() {
        for (const auto& [key, file] : files_) {
            if (file.first_path.empty()) continue;
            std::vector<std::string> left;
            for (const SystemPiping& system : file.read.systems) {
                if (file.taken.count(system.name) == 0) left.push_back(system.name);
            }
            if (!left.empty())
                placed_.hints.push_back(
                    {file.first_path,
                     fmt::format("the takeoff has systems that no riser uses: {}", fmt::join(left, ", ")),
                     "a [[riser]] for each, if they belong to the plant"});
            if (!file.read.unused_columns.empty())
                placed_.hints.push_back({file.first_path,
                                         fmt::format("columns of the takeoff that are not used: {}",
                                                     fmt::join(file.read.unused_columns, ", ")),
                                         fmt::format("known are: {}", known_columns())});
        }
    }

    toml::table& root_;
    const std::string& name_;
    std::map<std::string, File> files_;
    PlacedTakeoffs placed_;
};

/// The node that an inner path leads to: `pieces.0.length`.
const toml::node* find_inner(const toml::node& entry, const std::string& inner) {
    const toml::node* node = &entry;
    const auto segments = inner.empty() ? std::vector<std::string>{} : *text::split_path(inner);
    for (const std::string& segment : segments) {
        if (const toml::array* list = node->as_array()) {
            node = list->get(std::stoul(segment));
        } else {
            node = node->as_table()->get(segment);
        }
    }
    return node;
}

}  // namespace

std::string takeoff_contents(const std::string& path) {
    std::error_code error;
    if (!std::filesystem::exists(path, error)) throw FileError(fmt::format("there is no file '{}'", path));
    if (!std::filesystem::is_regular_file(path, error))
        throw FileError(fmt::format("'{}' is no regular file", path));
    return file_text(path, largest_file);
}

ReadTakeoff read_takeoff_rows(std::string_view text, const std::string& file,
                              const TakeoffSettings& settings) {
    ReadTakeoff read;
    read.file = file;
    try {
        const Sheet sheet(text, file);
        RowFaults faults(sheet);
        read.systems = read_systems(sheet, settings, faults);
        read.unused_columns = sheet.unused();
        read.problems = faults.take();
    } catch (const InputError& error) {
        read.problems = error.problems();
    }
    return read;
}

void put_piping(toml::table& riser, const std::string& path, const SystemPiping& system,
                const std::string& file, std::map<std::string, Origin>& origins) {
    toml::table parsed = toml::parse(system.toml);
    toml::table* lists = parsed["riser"].as_table();
    if (lists == nullptr) return;
    for (auto&& [key, node] : *lists) {
        const toml::array& list = *node.as_array();
        if (!riser.contains(key.str())) {
            riser.insert(key.str(), toml::array{});
            origins[text::join_path(path, key.str())] = Origin{system.line, "", file, "", ""};
        }
        toml::array* target = riser[key.str()].as_array();
        if (target == nullptr) continue;  // the reader tells
        for (std::size_t k = 0; k < list.size(); ++k)
            target->insert(target->begin() + static_cast<std::ptrdiff_t>(k),
                           *list.get(k)->as_table());  // a copy has no line
    }
    std::map<std::string, std::vector<std::string>> segments;
    for (const PlacedCell& cell : system.cells) {
        const toml::array* list = riser[cell.list].as_array();
        if (list == nullptr) continue;
        auto& names = segments[cell.list];
        if (names.empty()) names = entry_segments(*list);
        const toml::node* node = find_inner(*list->get(cell.entry), cell.inner);
        std::string at = text::join_path(text::join_path(path, cell.list), names[cell.entry]);
        if (!cell.inner.empty()) at += "." + cell.inner;
        origins[at] = Origin{cell.line, cell.cell, file, cell.heading, shown(*node)};
    }
}

PlacedTakeoffs place_takeoffs(toml::table& root, const std::string& name) {
    return Placer(root, name).place();
}

}  // namespace oxfade::scenario::detail
