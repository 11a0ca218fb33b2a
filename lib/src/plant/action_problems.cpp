#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <set>
#include <utility>

#include "plant/checks.hpp"
#include "plant/fields.hpp"
#include "text/key_path.hpp"
#include "text/nearest.hpp"

namespace oxfade::plant::detail {
namespace {

using Segments = std::vector<std::string>;

/// Keys that may change while the run goes on: not the piping, nor the gases. `*` stands for a name.
const std::vector<Segments>& settable() {
    static const std::vector<Segments> keys{
        {"source", "nitrogen_flow"},
        {"source", "air_flow"},
        {"source", "power"},
        {"source", "delivery_pressure"},
        {"source", "receiver", "start"},
        {"source", "receiver", "stop"},
        {"source", "receiver", "air_below"},
        {"riser", "*", "set_pressure"},
        {"riser", "*", "rest"},
        {"riser", "*", "fill", "*"},
        {"riser", "*", "supply", "*"},
        {"riser", "*", "vent", "*", "diameter"},
        {"riser", "*", "vent", "*", "coefficient"},
        {"riser", "*", "vent", "*", "open", "*"},
        {"riser", "*", "leak", "*", "*"},
    };
    return keys;
}

bool matches(const Segments& key, const Segments& pattern) {
    return std::equal(key.begin(), key.end(), pattern.begin(), pattern.end(),
                      [](const std::string& k, const std::string& p) { return p == "*" || p == k; });
}

bool may_change(const Segments& key) {
    return std::any_of(settable().begin(), settable().end(),
                       [&](const Segments& pattern) { return matches(key, pattern); });
}

const Riser* find_riser(const Plant& plant, const std::string& name) {
    const auto found = std::find_if(plant.risers.begin(), plant.risers.end(),
                                    [&](const Riser& riser) { return riser.name == name; });
    return found == plant.risers.end() ? nullptr : &*found;
}

/// One action and where it stands.
class ActionChecks {
  public:
    ActionChecks(Checks& checks, const Plant& plant, const Action& action, std::string path)
        : checks_(checks), plant_(plant), action_(action), path_(std::move(path)) {}

    void run() {
        check_date();
        switch (action_.deed) {
            case Deed::drain:
                if (const Riser* riser = check_riser_name()) check_low_point(*riser);
                break;
            case Deed::trip:
                check_riser_name();
                checks_.not_negative(key("for"), action_.duration, time);
                break;
            case Deed::shut:
            case Deed::open:
                if (const Riser* riser = check_riser_name()) check_valve(*riser);
                break;
            case Deed::set:
                check_key();
                break;
            case Deed::outage:
            case Deed::restore:
                break;
        }
    }

  private:
    std::string key(std::string_view segment) const { return text::join_path(path_, segment); }

    void check_date() {
        if (!checks_.not_negative(key("at"), action_.at, time) || !(plant_.duration > 0.0)) return;
        checks_.require(action_.at < plant_.duration, key("at"), action_.at, time,
                        "lies beyond the end of the run",
                        fmt::format("before the `duration` of {:.6g} s is over", plant_.duration));
    }

    const Riser* check_riser_name() {
        const Riser* riser = find_riser(plant_, action_.riser);
        if (riser == nullptr) {
            checks_.add(key("riser"), action_.riser,
                        action_.riser.empty() ? "does not say which riser is meant"
                                              : fmt::format("there is no riser `{}`", action_.riser),
                        text::suggest(action_.riser, names_of(plant_.risers), "risers"));
        }
        return riser;
    }

    void check_valve(const Riser& riser) {
        auto known = names_of(riser.vents);
        known.emplace_back(supply_valve);
        if (std::find(known.begin(), known.end(), action_.what) != known.end()) return;
        checks_.add(key("what"), action_.what,
                    action_.what.empty() ? "does not say what is shut or opened"
                                         : fmt::format("the riser has no vent `{}`", action_.what),
                    text::suggest(action_.what, known, "what can be shut and opened"));
    }

    void check_low_point(const Riser& riser) {
        const auto known = names_of(riser.low_points);
        if (action_.what.empty()) return;  // all that there are
        if (std::find(known.begin(), known.end(), action_.what) != known.end()) return;
        checks_.add(
            key("what"), action_.what, fmt::format("the riser has no low point `{}`", action_.what),
            known.empty() ? "it has none at all" : text::suggest(action_.what, known, "its low points"));
    }

    void check_key() {
        const auto segments = text::split_path(action_.key);
        if (!segments) {
            checks_.add(key("key"), action_.key, "is not a dotted path",
                        "for example riser.North.set_pressure");
            return;
        }
        if (!may_change(*segments)) {
            checks_.add(key("key"), action_.key, "cannot change in the course of a run",
                        "pressures, orifices, vents and leaks of a riser, flows and pressures of the source");
        } else if (!find_quantity(field_entries(plant_), *segments)) {
            checks_.add(key("key"), action_.key, "the plant has no such quantity",
                        "for example riser.North.set_pressure");
        } else if (!std::isfinite(action_.value)) {
            checks_.add(key("value"), fmt::format("{}", action_.value), "is not a finite number");
        }
    }

    Checks& checks_;
    const Plant& plant_;
    const Action& action_;
    std::string path_;
};

/// What stands shut, or still, by what was done before: whoever opens what is open has made a mistake.
class HandledValves {
  public:
    HandledValves(Checks& checks, const Plant& plant) : checks_(checks), plant_(plant) {}

    void take(std::size_t i) {
        const Action& action = plant_.actions[i];
        const auto key = text::join_path(text::join_path("action", std::to_string(i)), "do");
        const std::string word(to_string(action.deed));
        switch (action.deed) {
            case Deed::shut:
                if (!shut_.emplace(action.riser, action.what).second)
                    checks_.add(key, word, fmt::format("`{}` is shut already", action.what),
                                "an `open` comes between");
                break;
            case Deed::open:
                if (shut_.erase({action.riser, action.what}) == 0)
                    checks_.add(
                        key, word, fmt::format("`{}` has not been shut", action.what),
                        "an `open` undoes a `shut` of the same valve; what its own rule says goes on");
                break;
            case Deed::outage:
                if (stopped_)
                    checks_.add(key, word, "the source is stopped already", "a `restore` comes between");
                stopped_ = true;
                break;
            case Deed::restore:
                if (!stopped_)
                    checks_.add(key, word, "the source has not been stopped", "a `restore` ends an `outage`");
                stopped_ = false;
                break;
            case Deed::drain:
            case Deed::trip:
            case Deed::set:
                break;
        }
    }

  private:
    Checks& checks_;
    const Plant& plant_;
    std::set<std::pair<std::string, std::string>> shut_;
    bool stopped_ = false;
};

}  // namespace

void check_actions(Checks& checks, const Plant& plant) {
    for (std::size_t i = 0; i < plant.actions.size(); ++i) {
        const auto path = text::join_path("action", std::to_string(i));
        ActionChecks(checks, plant, plant.actions[i], path).run();
    }
    HandledValves valves(checks, plant);
    for (const std::size_t i : actions_in_order(plant)) valves.take(i);
}

void check_changes(Checks& checks, const Plant& plant) {
    const bool any = std::any_of(plant.actions.begin(), plant.actions.end(),
                                 [](const Action& action) { return action.deed == Deed::set; });
    if (!any) return;  // and no copy of the plant: this is done for every run of an ensemble
    Plant changed = plant;
    changed.actions.clear();
    for (const std::size_t i : actions_in_order(plant)) {
        const Action& action = plant.actions[i];
        if (action.deed != Deed::set) continue;
        set_quantity(changed, action.key, action.value);
        const auto problems = find_problems(changed);
        if (problems.empty()) continue;
        const Problem& first = problems.front();
        checks.add(text::join_path(text::join_path("action", std::to_string(i)), "value"),
                   fmt::format("{:.6g}", action.value),
                   fmt::format("makes the plant impossible: {} {}", first.key, first.what), first.allowed);
        return;
    }
}

}  // namespace oxfade::plant::detail

namespace oxfade::plant {

std::vector<std::size_t> actions_in_order(const Plant& plant) {
    std::vector<std::size_t> order(plant.actions.size());
    std::iota(order.begin(), order.end(), std::size_t{0});
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return plant.actions[a].at < plant.actions[b].at; });
    return order;
}

void set_quantity(Plant& plant, const std::string& key, double si) {
    const auto segments = text::split_path(key);
    const auto place =
        segments ? detail::find_quantity(detail::field_entries(plant), *segments) : std::nullopt;
    if (!place) {
        throw InputError({Problem{
            key, {}, "the plant has no such quantity", "for example riser.North.set_pressure", {}, 0}});
    }
    place->set(plant, si);
}

}  // namespace oxfade::plant
