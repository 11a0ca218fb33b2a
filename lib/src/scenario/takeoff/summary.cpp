#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "oxfade/scenario/takeoff.hpp"

namespace oxfade::scenario {
namespace {

constexpr double foot = 0.3048, gallon = 3.785411784e-3;
constexpr std::size_t label_width = 18;

/// Writes the summary of a takeoff, at most 80 columns wide where names allow.
class Summary {
  public:
    Summary(const Takeoff& takeoff, UnitSystem units) : takeoff_(takeoff), us_(units == UnitSystem::us) {}

    std::string write() {
        std::size_t rows = 0;
        for (const TakeoffSystem& system : takeoff_.systems) rows += system.rows;
        add("Takeoff {}: {}, {}. To check against the drawing:", takeoff_.file, counted(rows, "row"),
            counted(takeoff_.systems.size(), "system"));
        for (const TakeoffSystem& system : takeoff_.systems) write(system);
        if (takeoff_.systems.size() > 1) add_sum();
        if (!takeoff_.unused_columns.empty()) {
            add("");
            item("Columns not used", fmt::format("{}", fmt::join(takeoff_.unused_columns, ", ")));
        }
        return std::move(text_);
    }

  private:
    template <class... Values>
    void add(fmt::format_string<const Values&...> format, const Values&... values) {
        fmt::format_to(std::back_inserter(text_), format, values...);
        text_ += '\n';
    }

    static std::string counted(std::size_t count, const char* noun) {
        return fmt::format("{} {}{}", count, noun, count == 1 ? "" : "s");
    }
    std::string length(double metres) const {
        return us_ ? fmt::format("{:.1f} ft", metres / foot) : fmt::format("{:.2f} m", metres);
    }
    std::string volume(double cubic_metres) const {
        return us_ ? fmt::format("{:.1f} gal", cubic_metres / gallon)
                   : fmt::format("{:.1f} L", 1e3 * cubic_metres);
    }

    /// A label and words, folded.
    void item(const std::string& label, const std::string& words) {
        constexpr std::size_t width = 80;
        std::string line = fmt::format("  {:<{}}", label, label_width);
        const std::string indent(line.size(), ' ');
        bool fresh = true;
        for (std::size_t begin = 0; begin < words.size();) {
            const std::size_t end = std::min(words.find(' ', begin), words.size());
            if (!fresh && line.size() + 1 + end - begin > width) {
                add("{}", line);
                line = indent;
                fresh = true;
            }
            line += (fresh ? "" : " ") + words.substr(begin, end - begin);
            fresh = false;
            begin = end + 1;
        }
        add("{}", line);
    }

    void table(const std::vector<TakeoffSize>& sizes) {
        TakeoffSize all;
        for (const TakeoffSize& size : sizes) {
            add("  {:<24}{:>14}{:>14}", size.size, length(size.length), volume(size.volume));
            all.length += size.length;
            all.volume += size.volume;
        }
        add("  {:<24}{:>14}{:>14}", "in all", length(all.length), volume(all.volume));
    }

    static std::string listed(const std::vector<std::string>& names, const char* none) {
        constexpr std::size_t most = 8;
        if (names.empty()) return none;
        std::string text;
        for (std::size_t k = 0; k < std::min(most, names.size()); ++k)
            text += (k > 0 ? ", `" : "`") + names[k] + "`";
        if (names.size() > most) text += fmt::format(" and {} more", names.size() - most);
        return text;
    }

    std::string height(const TakeoffSystem& system, const TakeoffPoint& point) const {
        const std::string at =
            point.pipe.empty() ? "where gas enters" : fmt::format("far end of `{}`", point.pipe);
        if (system.absolute) return fmt::format("{}, {}", length(point.height), at);
        if (point.pipe.empty()) return at;
        return fmt::format("{} {} where gas enters, {}", length(std::abs(point.height)),
                           point.height < 0.0 ? "below" : "above", at);
    }

    void write(const TakeoffSystem& system) {
        add("\n{} ({})", system.name.empty() ? "The system" : system.name, counted(system.rows, "row"));
        table(system.sizes);
        item("Branch lines", std::to_string(system.branch_lines));
        item("Other open ends", listed(system.open_ends, "none"));
        for (const std::string& miss : system.near_misses) item("Nearly meets", miss);
        item("Highest point", height(system, system.highest));
        item("Lowest point", height(system, system.lowest));
        if (!system.piping.links.empty()) item("Loops", std::to_string(system.piping.links.size()));
        int vents = 0;
        for (const plant::Vent& vent : system.piping.vents) vents += system.piping.copies_of(vent.at);
        item("Vents", std::to_string(vents));
        item("Sampling points", std::to_string(system.piping.samples.size()));
        item("Drains", listed(system.drains, "none given"));
        item("Water can stand", system.low_places.empty() ? "nowhere: all piping drains to the valve"
                                                          : "far ends of " + listed(system.low_places, ""));
    }

    void add_sum() {
        std::vector<TakeoffSize> all;
        int lines = 0;
        for (const TakeoffSystem& system : takeoff_.systems) {
            lines += system.branch_lines;
            for (const TakeoffSize& size : system.sizes) {
                const auto same =
                    std::find_if(all.begin(), all.end(), [&](const auto& s) { return s.size == size.size; });
                if (same == all.end()) {
                    all.push_back(size);
                } else {
                    same->length += size.length;
                    same->volume += size.volume;
                }
            }
        }
        std::sort(all.begin(), all.end(), [](const auto& a, const auto& b) { return a.bore > b.bore; });
        add("\nAll systems");
        table(all);
        item("Branch lines", std::to_string(lines));
    }

    const Takeoff& takeoff_;
    bool us_;
    std::string text_;
};

}  // namespace

std::string takeoff_summary(const Takeoff& takeoff, UnitSystem units) {
    return Summary(takeoff, units).write();
}

}  // namespace oxfade::scenario
