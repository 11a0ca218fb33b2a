#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

#include "plant/checks.hpp"
#include "text/key_path.hpp"
#include "text/nearest.hpp"

namespace oxfade::plant::detail {
namespace {

/// Looks at how pipes hang on each other and at the links that close loops.
class Layout {
  public:
    Layout(Checks& checks, const Riser& riser, const PipeTree& tree, const std::string& path)
        : checks_(checks), riser_(riser), tree_(tree), path_(path), names_(names_of(riser.pipes)) {}

    void check() {
        bool tree = true;
        for (std::size_t i = 0; i < riser_.pipes.size(); ++i) tree = check_from(i) && tree;
        tree = check_cycles() && tree;
        for (std::size_t i = 0; i < riser_.links.size(); ++i) check_link(i, tree);
    }

  private:
    std::string from_key(std::size_t pipe) const {
        const auto segments = text::entry_segments(names_);
        return text::join_path(text::join_path(text::join_path(path_, "pipe"), segments[pipe]), "from");
    }

    /// False when the pipe hangs on one that is not there.
    bool check_from(std::size_t pipe) {
        const auto& from = riser_.pipes[pipe].from;
        if (!from) return true;
        if (pipe == 0) {
            checks_.add(from_key(pipe), *from, "the first pipe is where gas enters and hangs on no other",
                        "leave `from` out, or put another pipe first");
        } else if (!tree_.index(*from)) {
            checks_.add(from_key(pipe), *from, fmt::format("there is no pipe `{}` in the riser", *from),
                        text::suggest(*from, names_, "its pipes"));
            return false;
        }
        return true;
    }

    /// The pipes met on the way from a pipe to the first one, itself included. Ends early at an unknown name,
    /// and at a pipe met before.
    std::vector<std::size_t> way_up(std::size_t pipe) const {
        std::vector<std::size_t> way{pipe};
        std::set<std::size_t> met{pipe};
        for (auto above = tree_.parent(pipe); above; above = tree_.parent(*above)) {
            way.push_back(*above);
            if (!met.insert(*above).second) break;
        }
        return way;
    }

    /// True when there is no ring of pipes that hang on each other. Each ring is told once.
    bool check_cycles() {
        // 0: not looked at, otherwise the number of the walk that met the pipe
        std::vector<std::size_t> walk_of(riser_.pipes.size(), 0);
        bool tree = true;
        for (std::size_t start = 0; start < riser_.pipes.size(); ++start) {
            const std::size_t walk = start + 1;
            std::optional<std::size_t> at = start;
            while (at && walk_of[*at] == 0) {
                walk_of[*at] = walk;
                at = tree_.parent(*at);
            }
            if (!at || walk_of[*at] != walk) continue;
            tell_cycle(*at);
            tree = false;
        }
        return tree;
    }

    void tell_cycle(std::size_t pipe) {
        const Pipe& on_it = riser_.pipes[pipe];
        checks_.add(from_key(pipe), on_it.from.value_or(""),
                    fmt::format("pipe `{}` hangs on itself", on_it.name),
                    "`from` must lead to the first pipe; a [[riser.link]] closes a loop");
    }

    void check_link(std::size_t index, bool tree) {
        const LoopLink& link = riser_.links[index];
        const auto key = text::join_path(
            text::join_path(text::join_path(path_, "link"), std::to_string(index)), "between");
        const bool first_known = check_link_end(key, link.first);
        const bool known = check_link_end(key, link.second) && first_known;
        if (link.first == link.second) {
            checks_.add(key, link.first, "the link joins a pipe to itself", "name two different pipes");
            return;
        }
        if (!seen_.insert(std::minmax(link.first, link.second)).second) {
            checks_.add(key, link.first + ", " + link.second, "these two pipes are linked already",
                        "remove one of the two links");
        }
        if (known && tree) check_loop(key, *tree_.index(link.first), *tree_.index(link.second));
    }

    bool check_link_end(const std::string& key, const std::string& name) {
        if (tree_.index(name)) return true;
        checks_.add(key, name, fmt::format("there is no pipe `{}` in the riser", name),
                    text::suggest(name, names_, "its pipes"));
        return false;
    }

    /// Every pipe round a loop needs a geometry, for the flow to divide by: the two ends, and what lies
    /// between them and the pipe where their ways meet.
    void check_loop(const std::string& key, std::size_t first, std::size_t second) {
        std::set<std::size_t> loop{first, second};
        const auto a = way_up(first), b = way_up(second);
        add_until_shared(loop, a, b);
        add_until_shared(loop, b, a);
        for (const std::size_t pipe : loop) {
            if (riser_.pipes[pipe].geometry() != nullptr) continue;
            checks_.add(key, riser_.pipes[pipe].name,
                        "the loop runs through a pipe given by its volume alone",
                        "give that pipe a bore, or a nominal size and schedule, and its length");
        }
        check_counts(key, loop);
    }

    /// A loop is there once: its pipes and those they hang on are no copies.
    void check_counts(const std::string& key, const std::set<std::size_t>& loop) {
        if (copies_.empty()) copies_ = riser_.copies();
        for (const std::size_t pipe : loop) {
            if (copies_[pipe] == 1) continue;
            std::size_t counted = pipe;
            for (const std::size_t above : way_up(pipe)) {
                if (riser_.pipes[above].count != 1) counted = above;
            }
            checks_.add(key, riser_.pipes[counted].name, "the loop runs through a pipe with a `count`",
                        fmt::format("write the {} pipes `{}` out, each with its own name",
                                    riser_.pipes[counted].count, riser_.pipes[counted].name));
            return;
        }
    }

    static void add_until_shared(std::set<std::size_t>& loop, const std::vector<std::size_t>& way,
                                 const std::vector<std::size_t>& other) {
        for (const std::size_t pipe : way) {
            if (std::find(other.begin(), other.end(), pipe) != other.end()) return;
            loop.insert(pipe);
        }
    }

    Checks& checks_;
    const Riser& riser_;
    const PipeTree& tree_;
    const std::string& path_;
    std::vector<std::string> names_;
    std::set<std::pair<std::string, std::string>> seen_;
    std::vector<int> copies_;  ///< filled when the first loop is met
};

}  // namespace

void check_layout(Checks& checks, const Riser& riser, const PipeTree& tree, const std::string& path) {
    Layout(checks, riser, tree, path).check();
}

}  // namespace oxfade::plant::detail
