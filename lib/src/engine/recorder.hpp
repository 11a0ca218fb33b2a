#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <vector>

#include "engine/dense_step.hpp"
#include "engine/network.hpp"
#include "engine/switchboard.hpp"
#include "oxfade/outcome/outcome.hpp"

/// What is kept of a run while it goes on. Reads the dense steps; never influences them.
namespace oxfade::engine {

/// When each cell is at target, and each riser: every reading of it, its average, and everywhere.
class TargetWatch {
  public:
    TargetWatch(const Network& net, const Layout& layout, const State& x);
    /// Takes in a step up to theta <= 1.
    void step(const DenseStep& dense, double theta);
    /// Takes in a step of a size [s] given by each node's margin (>= 0 at target, a rising function of what
    /// the node may hold less what it holds): `ends(i)` are its values and slopes per step at both ends,
    /// `refine(i, theta)` improves a guess of where it vanishes. Only these nodes are looked at, and of each
    /// riser what `average(r)` says of all its gas.
    template <class Ends, class Average, class Refine>
    void scan(const std::vector<int>& nodes, double begin, double size, double theta, const Ends& ends,
              const Average& average, const Refine& refine);
    long crossings() const { return crossing_count_; }
    void finish(double end);

    /// Start of the stretch that lasts to the end; none when below target then.
    std::optional<double> node_since(int node) const;
    /// Stretches at target, of what the plant asks for or of one thing.
    const std::vector<outcome::Stretch>& stretches(int r) const { return stretches(r, net_.target_at); }
    const std::vector<outcome::Stretch>& stretches(int r, plant::TargetAt what) const {
        return risers_[static_cast<std::size_t>(r)].sets[static_cast<std::size_t>(what)].stretches;
    }
    bool was_at_target(int node) const { return nodes_[static_cast<std::size_t>(node)].ever; }

  private:
    struct Node {
        bool at_target = false, ever = false;
        double since = 0.0;
        int readings = 0;  ///< so many analysers see it
    };
    /// Things that have to be at target together.
    struct Set {
        int missing = 0;
        double since = 0.0;
        std::vector<outcome::Stretch> stretches;

        void take(bool good, int count, double time);
    };
    struct Riser {
        std::array<Set, 3> sets;  ///< by plant::TargetAt
        Set& of(plant::TargetAt what) { return sets[static_cast<std::size_t>(what)]; }
    };
    struct Crossing {
        double time;
        int node;  ///< or, counted on from there, a riser's average
    };
    void flip(int node, double time);
    void take_crossings();

    const Network& net_;
    Layout layout_;
    std::vector<Node> nodes_;  ///< and behind them one a riser, its average
    std::vector<int> all_nodes_;
    std::vector<Riser> risers_;
    std::vector<Crossing> crossings_;
    long crossing_count_ = 0;
};

/// Values and slopes (per step) of a quantity at the ends of a step.
struct StepEnds {
    double y0, y1, d0, d1;

    StepEnds& operator+=(const StepEnds& other) {
        y0 += other.y0;
        y1 += other.y1;
        d0 += other.d0;
        d1 += other.d1;
        return *this;
    }
};

template <class Ends, class Average, class Refine>
void TargetWatch::scan(const std::vector<int>& nodes, double begin, double size, double theta,
                       const Ends& ends, const Average& average, const Refine& refine) {
    crossings_.clear();
    const auto look = [&](int i, const StepEnds& e, const auto& refined) {
        if ((e.y0 >= 0.0) != nodes_[static_cast<std::size_t>(i)].at_target) crossings_.push_back({begin, i});
        std::array<double, 3> where{};
        const int count = sign_changes(e.y0, e.y1, e.d0, e.d1, where);
        for (int k = 0; k < count; ++k) {
            const double root = where[static_cast<std::size_t>(k)];
            if (root <= theta) crossings_.push_back({begin + size * refined(root), i});
        }
    };
    for (const int i : nodes) look(i, ends(i), [&](double root) { return refine(i, root); });
    for (int r = 0; r < static_cast<int>(risers_.size()); ++r)
        look(layout_.nodes + r, average(r), [](double root) { return root; });
    if (!crossings_.empty()) take_crossings();
}

/// Clocks of the source, exact because its mode does not change within a step.
class SourceClock {
  public:
    explicit SourceClock(double duration);
    /// A stretch of time in one mode; `filled`: all risers were in service at its start.
    void run(Machine machine, double begin, double end, bool filled);
    /// A time before which whole cycles may be counted at once [s].
    double next_mark(double time) const { return time < window_begin_ ? window_begin_ : duration_; }
    /// True when whole cycles may be counted at once from now on.
    bool may_repeat(double time) const { return time < window_begin_ || first_start_.time >= 0.0; }
    struct Reading {
        double nitrogen = 0.0, air = 0.0, air_after_fill = 0.0;  ///< [s]

        /// For the history: after the machine has gone on like this for some time [s].
        Reading later(Machine machine, double time) const;
    };
    Reading reading() const { return {nitrogen_, air_, air_after_fill_}; }
    /// Whole cycles of a period [s] at once, each adding this much.
    void repeat(const Reading& cycle, double period, double times);
    struct Made {
        double nitrogen = 0.0, air = 0.0, energy = 0.0;  ///< [mol], [mol], [J]
    };
    /// By a machine, so far; `source` is as it has been since the last call of bank().
    Made made(const SourceNet& source) const;
    /// Counts what the source has made so far with its present flows, before they change.
    void bank(const SourceNet& source);
    outcome::SourceOutcome result(const SourceNet& source, const Switchboard& switches, const State& x) const;

  private:
    std::optional<double> daily_run() const;

    double duration_, window_begin_;
    double nitrogen_ = 0.0, air_ = 0.0, air_after_fill_ = 0.0;  ///< [s]
    Made banked_;
    Reading at_bank_;
    Machine last_ = Machine::off;
    bool air_counts_ = false;  ///< the present stretch on air began after the last fill
    bool stopped_after_fill_ = false;
    struct Mark {
        double time = -1.0, running = 0.0;
    };
    Mark window_, first_start_, last_start_;
};

/// Rows of the history at evenly spaced times.
class HistoryRecorder {
  public:
    /// @param modes how everything is switched while a step is taken in
    HistoryRecorder(const Network& net, const Layout& layout, const Modes& modes, std::size_t points);
    void begin(const State& x);
    /// Takes in a step up to theta, over which the machine runs as told; `clock` is read at its begin.
    void step(const DenseStep& dense, double theta, const SourceClock::Reading& clock = {},
              Machine machine = Machine::off);
    /// Moment of the next row [s]; infinite when all are written.
    double next_time() const;
    /// Writes the row that is due at this very moment, if one is; the state is what holds at next_time().
    void row_at(double time, const State& x, const SourceClock::Reading& clock);
    /// Gas that a riser has lost in trips so far, less air it took in [mol]: no vent and no leak tells of it.
    void add_lost(int r, double all) { lost_[static_cast<std::size_t>(r)] = all; }
    outcome::History take() { return std::move(history_); }

  private:
    double time_of(std::size_t row) const;
    template <class Entry>
    void add_row(double time, const Entry& entry, const SourceClock::Reading& clock);
    template <class Entry>
    void add_amounts(const Entry& entry);
    template <class Entry>
    void add_water(double time, const Entry& entry);
    void add_vents();
    void find_zones();

    const Network& net_;
    Layout layout_;
    const Modes& modes_;
    std::size_t points_;
    std::vector<double> lost_;  ///< of each riser [mol]
    struct Zone {
        int entry = 0, riser = 0;
        double pressure_per_mole = 0.0;  ///< at the mean temperature [Pa/mol]
    };
    std::vector<Zone> zones_;       ///< with a pressure of their own; none where each riser has one
    std::vector<int> column_node_;  ///< node of each oxygen column, in file order
    outcome::History history_;
};

}  // namespace oxfade::engine
