#include "scenario/branch_lines.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <set>
#include <unordered_map>
#include <unordered_set>
#include <utility>

#include "oxfade/plant/limits.hpp"
#include "text/key_path.hpp"
#include "text/nearest.hpp"

namespace oxfade::scenario::detail {
namespace {

namespace limits = plant::limits;
using plant::Pipe;
using plant::Riser;

double length_of(const Pipe& pipe) { return pipe.geometry() != nullptr ? pipe.geometry()->length : 0.0; }

/// Something in the file that names a pipe.
struct Reference {
    std::string path;
    std::string* name;
};

/// A length of piping that the file knows as one: the pipes it consists of, from its near end.
struct Run {
    std::vector<std::string> pipes;
    std::vector<double> lengths;  ///< [m]
};

/// Takes the rows of one riser apart.
class Expansion {
  public:
    Expansion(Riser& riser, const std::vector<BranchLineRow>& rows, Reading& reading, std::string path)
        : riser_(riser), rows_(rows), reading_(reading), path_(std::move(path)) {
        for (Pipe& pipe : riser.pipes) plain_.insert(pipe.name);
        collect_references();
    }

    void run() {
        place_rows();
        cut_mains();
        for (const Placed& placed : placed_) hang(placed);
        lead_references();
        if (spoiled_) forgive_references();
    }

  private:
    struct Placed {
        const BranchLineRow* row;
        std::vector<double> taps;
    };

    std::string key(std::string_view list, const std::string& name) const {
        return text::join_path(text::join_path(path_, list), name);
    }

    void collect_references() {
        const auto add = [&](std::string_view list, const std::string& entry, std::string_view what,
                             std::string& name) {
            references_.push_back({text::join_path(key(list, entry), what), &name});
            named_.insert(name);
        };
        for (const Pipe& pipe : riser_.pipes) {
            if (pipe.from) named_.insert(*pipe.from);
        }
        for (auto& vent : riser_.vents) add("vent", vent.name, "at", vent.at);
        for (auto& low_point : riser_.low_points) add("low_point", low_point.name, "on", low_point.on);
        for (auto& sample : riser_.samples) add("sample", sample.name, "at", sample.at);
        for (std::size_t i = 0; i < riser_.leaks.size(); ++i) {
            if (riser_.leaks[i].at) add("leak", std::to_string(i), "at", *riser_.leaks[i].at);
        }
        for (std::size_t i = 0; i < riser_.links.size(); ++i) {
            add("link", std::to_string(i), "between", riser_.links[i].first);
            add("link", std::to_string(i), "between", riser_.links[i].second);
        }
    }

    /// Where the taps of each row are, as far as it can be said.
    void place_rows() {
        for (const BranchLineRow& row : rows_) {
            const auto main = row.readable ? find_main(row) : std::nullopt;
            auto taps = main ? tap_positions(row, *main, reading_) : std::nullopt;
            if (!taps || !has_room(row, taps->size())) {
                spoiled_ = true;
                continue;
            }
            std::vector<double>& cuts = cuts_[row.along];
            cuts.insert(cuts.end(), taps->begin(), taps->end());
            placed_.push_back({&row, std::move(*taps)});
        }
        for (auto& [main, cuts] : cuts_) {
            std::sort(cuts.begin(), cuts.end());
            const auto same = [](double a, double b) { return b - a < same_place; };
            cuts.erase(std::unique(cuts.begin(), cuts.end(), same), cuts.end());
        }
    }

    /// False when all rows together would make more pipes than a plant may have cells, which is told.
    bool has_room(const BranchLineRow& row, std::size_t taps) {
        const std::size_t before = reading_.pipes_made;
        reading_.pipes_made += taps * (1 + (row.both_sides ? 2 : 1) * row.pieces.size());
        if (reading_.pipes_made <= std::size_t{limits::compartments}) return true;
        reading_.pipes_made = before;
        reading_.findings.add(
            row.path, fmt::format("all branch lines would be more than {} pipes", limits::compartments),
            "fewer lines, or fewer pieces of each");
        return false;
    }

    /// Length of the main of a row; none when it cannot be used, which is told.
    std::optional<double> find_main(const BranchLineRow& row) {
        const auto index = riser_.pipe_index(row.along);
        const auto refuse = [&](std::string what, std::string allowed) {
            reading_.findings.add(text::join_path(row.path, "along"), std::move(what), std::move(allowed));
            return std::nullopt;
        };
        if (!index) {
            return refuse(fmt::format("there is no pipe `{}` in the riser", row.along),
                          text::suggest(row.along, std::vector<std::string>(plain_.begin(), plain_.end()),
                                        "its pipes"));
        }
        if (riser_.pipes[*index].geometry() == nullptr)
            return refuse("the pipe is given by its volume alone", "give it a size and a length");
        const double length = length_of(riser_.pipes[*index]);
        return length > 0.0 ? std::optional(length) : std::nullopt;  // else told already, or by the plant
    }

    /// Puts the segments of each main in the place of the main.
    void cut_mains() {
        std::vector<Pipe> pipes;
        for (Pipe& pipe : riser_.pipes) {
            const auto cuts = cuts_.find(pipe.name);
            const bool cut = cuts != cuts_.end() && done_.insert(pipe.name).second;
            if (cut) {
                cut_main(pipe, cuts->second, pipes);
            } else {
                pipes.push_back(std::move(pipe));
            }
        }
        riser_.pipes = std::move(pipes);
    }

    /// The last segment ends where the main does, so what has no `from` still hangs on the main's far end.
    void cut_main(const Pipe& main, const std::vector<double>& cuts, std::vector<Pipe>& pipes) {
        const double length = length_of(main);
        std::vector<double> ends = cuts;
        if (length - ends.back() < same_place) {
            ends.back() = length;
        } else {
            ends.push_back(length);
        }
        const auto cells = cells_of(main, ends);
        Run& run = runs_[main.name];
        double begin = 0.0;
        for (std::size_t k = 0; k < ends.size(); ++k) {
            Pipe segment = main;
            const std::string numbered = fmt::format("{} {}", main.name, k + 1);
            const bool last = k + 1 == ends.size();
            if (!last) segment.name = take_name(numbered, key("pipe", main.name), main.name);
            if (last && k > 0) other_names_[numbered] = main.name;
            if (k > 0) {
                segment.from = pipes.back().name;
                segment.count = 1;
            }
            std::get<plant::Cylinder>(segment.shape).length = ends[k] - begin;
            if (!cells.empty()) segment.cells = cells[k];
            if (main.elevation) {
                const auto at = [&](double place) {
                    return std::lerp((*main.elevation)[0], (*main.elevation)[1], place / length);
                };
                segment.elevation = {at(begin), at(ends[k])};
            }
            if (!last) reading_.findings.alias(key("pipe", segment.name), key("pipe", main.name));
            run.pipes.push_back(segment.name);
            run.lengths.push_back(ends[k] - begin);
            begin = ends[k];
            pipes.push_back(std::move(segment));
        }
    }

    /// The cells of a main dealt out to its segments by their length, at least one to each.
    std::vector<int> cells_of(const Pipe& main, const std::vector<double>& ends) {
        if (!main.cells || *main.cells < 1 || *main.cells > limits::cells) return {};
        const int segments = static_cast<int>(ends.size());
        if (*main.cells < segments) {
            reading_.findings.add(
                text::join_path(key("pipe", main.name), "cells"),
                fmt::format("is less than the {} segments into which branch lines part this pipe", segments),
                fmt::format("at least {}; or leave it out, and the program chooses", segments));
            return {};
        }
        std::vector<int> cells(ends.size(), 1);
        int left = *main.cells - segments;
        const int spare = left;
        for (std::size_t k = 0; k < ends.size(); ++k) {
            const double share = (ends[k] - (k > 0 ? ends[k - 1] : 0.0)) / ends.back();
            const int more = static_cast<int>(std::floor(spare * share));
            cells[k] += more;
            left -= more;
        }
        for (; left > 0; --left) {
            std::size_t longest = 0;
            double most = 0.0;
            for (std::size_t k = 0; k < ends.size(); ++k) {
                const double each = (ends[k] - (k > 0 ? ends[k - 1] : 0.0)) / cells[k];
                if (each > most * (1.0 + 1e-9)) {
                    most = each;
                    longest = k;
                }
            }
            ++cells[longest];
        }
        return cells;
    }

    /// A name for a pipe that is made; told when there is a pipe of that name already.
    std::string take_name(const std::string& name, const std::string& owner, const std::string& of) {
        if (plain_.count(name) == 0 && made_.insert(name).second) return name;
        if (clashes_.insert(owner).second) {
            reading_.findings.add(
                text::join_path(owner, "name"),
                fmt::format("`{}` stands for pipes such as `{}`, and that name is taken", of, name),
                "give one of them another name");
        }
        return take_name(name + ' ', owner, of);  // told, so that this is not told anew
    }

    void hang(const Placed& placed) {
        const BranchLineRow& row = *placed.row;
        for (std::size_t tap = 0; tap < placed.taps.size(); ++tap) {
            const std::string from = segment_at(row.along, placed.taps[tap]);
            const std::size_t line = (row.both_sides ? 2 * tap : tap) + 1;
            if (!row.both_sides) {
                add_line(row, from, std::to_string(line), 1);
            } else if (is_named(row, line) || is_named(row, line + 1)) {
                add_line(row, from, std::to_string(line), 1);
                add_line(row, from, std::to_string(line + 1), 1);
            } else {
                add_line(row, from, fmt::format("{}-{}", line, line + 1), 2);
            }
        }
    }

    /// The segment of a main that ends at a tap.
    std::string segment_at(const std::string& main, double position) const {
        const Run& run = runs_.at(main);
        double end = 0.0;
        for (std::size_t k = 0; k < run.pipes.size(); ++k) {
            end += run.lengths[k];
            if (position < end + same_place) return run.pipes[k];
        }
        return main;
    }

    bool is_named(const BranchLineRow& row, std::size_t line) const {
        const std::string name = fmt::format("{} {}", row.name, line);
        if (named_.count(name) != 0) return true;
        for (std::size_t k = 1; k <= row.pieces.size(); ++k) {
            if (named_.count(fmt::format("{} piece {}", name, k)) != 0) return true;
        }
        return false;
    }

    void add_line(const BranchLineRow& row, std::string from, const std::string& number, int count) {
        const std::string name = fmt::format("{} {}", row.name, number);
        Run& run = runs_[name];
        for (std::size_t k = 0; k < row.pieces.size(); ++k) {
            Pipe piece = row.pieces[k];
            const std::string numbered = fmt::format("{} piece {}", name, k + 1);
            const bool last = k + 1 == row.pieces.size();
            piece.name = take_name(last ? name : numbered, row.path, row.name);
            if (last) other_names_[numbered] = name;
            piece.from = std::move(from);
            piece.count = k == 0 ? count : 1;
            from = piece.name;
            reading_.findings.alias(key("pipe", piece.name), row.piece_paths[k]);
            run.pipes.push_back(piece.name);
            run.lengths.push_back(length_of(piece));
            riser_.pipes.push_back(std::move(piece));
        }
    }

    /// Leads what names a whole main or line to the right one of its pieces.
    void lead_references() {
        for (auto& low_point : riser_.low_points) {
            const auto run = runs_.find(low_point.on);
            if (run != runs_.end()) low_point.on = run->second.pipes.front();
        }
        for (auto& sample : riser_.samples) {
            const auto run = runs_.find(sample.at);
            if (run != runs_.end() && sample.distance) lead(sample, run->second);
        }
        for (const Reference& reference : references_) refuse_row(*reference.name, reference.path);
        for (const Reference& reference : references_) {
            const auto other = other_names_.find(*reference.name);
            if (other != other_names_.end()) *reference.name = other->second;
        }
        for (Pipe& pipe : riser_.pipes) {
            const auto other = pipe.from ? other_names_.find(*pipe.from) : other_names_.end();
            if (other != other_names_.end()) pipe.from = other->second;
        }
    }

    /// The name of a row stands for all its lines, and something is at one place.
    void refuse_row(const std::string& name, const std::string& path) {
        for (const BranchLineRow& row : rows_) {
            if (name != row.name || plain_.count(name) != 0) continue;
            const int lines = number_of_lines(row);
            if (lines == 0) {
                reading_.findings.shadow(path);
            } else {
                reading_.findings.add(path, fmt::format("`{}` is a row of {} branch lines", name, lines),
                                      fmt::format("name one of them, such as `{} {}`", name, lines));
            }
        }
    }

    /// None where the row could not be hung on.
    int number_of_lines(const BranchLineRow& row) const {
        for (const Placed& placed : placed_) {
            if (placed.row == &row) return static_cast<int>(placed.taps.size()) * (row.both_sides ? 2 : 1);
        }
        return 0;
    }

    void lead(plant::SamplingPoint& sample, const Run& run) {
        const double length = std::accumulate(run.lengths.begin(), run.lengths.end(), 0.0);
        if (*sample.distance > length * (1.0 + 1e-9)) {
            reading_.findings.add(text::join_path(key("sample", sample.name), "distance"),
                                  fmt::format("is beyond the end of `{}`", sample.at),
                                  fmt::format("at most {}", length_words(length, reading_)));
        }
        double left = *sample.distance;
        for (std::size_t k = 0; k < run.pipes.size(); ++k) {
            if (left <= run.lengths[k] || k + 1 == run.pipes.size()) {
                sample.at = run.pipes[k];
                sample.distance = left;
                return;
            }
            left -= run.lengths[k];
        }
    }

    /// Where a row could not be hung on, names of its lines are no mistakes.
    void forgive_references() {
        for (const Reference& reference : references_) forgive(*reference.name, reference.path);
        for (const Pipe& pipe : riser_.pipes) {
            if (pipe.from) forgive(*pipe.from, text::join_path(key("pipe", pipe.name), "from"));
        }
    }

    void forgive(const std::string& name, const std::string& path) {
        for (const BranchLineRow& row : rows_) {
            if (name.starts_with(row.name + ' ') || name.starts_with(row.along + ' '))
                reading_.findings.shadow(path);
        }
    }

    Riser& riser_;
    const std::vector<BranchLineRow>& rows_;
    Reading& reading_;
    std::string path_;
    std::vector<Reference> references_;
    std::unordered_set<std::string> named_, made_, done_;
    std::set<std::string> plain_, clashes_;
    std::vector<Placed> placed_;
    std::map<std::string, std::vector<double>> cuts_;  ///< of each main, rising
    std::unordered_map<std::string, Run> runs_;
    std::unordered_map<std::string, std::string> other_names_;  ///< of last pieces: `lines 3 piece 2`
    bool spoiled_ = false;
};

}  // namespace

void hang_branch_lines(Riser& riser, const std::vector<BranchLineRow>& rows, Reading& reading,
                       const std::string& path) {
    if (!rows.empty()) Expansion(riser, rows, reading, path).run();
}

}  // namespace oxfade::scenario::detail
