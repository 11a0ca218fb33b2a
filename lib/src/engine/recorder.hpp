#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "engine/dense_step.hpp"
#include "engine/network.hpp"
#include "engine/switchboard.hpp"
#include "oxfade/outcome/outcome.hpp"

/// What is kept of a run while it goes on. Reads the dense steps; never influences them.
namespace oxfade::engine {

/// When each compartment, and each riser as a whole, is at target.
class TargetWatch {
  public:
    TargetWatch(const Network& net, const Layout& layout, const State& x);
    /// Takes in a step up to theta <= 1.
    void step(const DenseStep& dense, double theta);
    void finish(double end);

    /// Start of the stretch that lasts to the end; none when below target then.
    std::optional<double> node_since(int node) const;
    const std::vector<outcome::Stretch>& stretches(int r) const {
        return risers_[static_cast<std::size_t>(r)].stretches;
    }
    bool was_at_target(int node) const { return nodes_[static_cast<std::size_t>(node)].ever; }

  private:
    struct Node {
        bool at_target = false, ever = false;
        double since = 0.0;
    };
    struct Riser {
        int missing = 0;  ///< compartments below target
        std::vector<outcome::Stretch> stretches;
        double since = 0.0;
    };
    struct Crossing {
        double time;
        int node;
    };
    void flip(int node, double time);

    const Network& net_;
    Layout layout_;
    std::vector<Node> nodes_;
    std::vector<Riser> risers_;
    std::vector<Crossing> crossings_;
};

/// Rows of the history at evenly spaced times.
class HistoryRecorder {
  public:
    HistoryRecorder(const Network& net, const Layout& layout, std::size_t points);
    void begin(const State& x);
    void step(const DenseStep& dense, double theta);
    outcome::History take() { return std::move(history_); }

  private:
    double time_of(std::size_t row) const;
    template <class Entry>
    void add_row(double time, const Entry& entry);

    const Network& net_;
    Layout layout_;
    std::size_t points_;
    std::vector<int> column_node_;  ///< node of each oxygen column, in file order
    outcome::History history_;
};

/// Clocks of the source, exact because its mode does not change within a step.
class SourceClock {
  public:
    explicit SourceClock(double duration);
    /// A stretch of time in one mode; `filled`: all risers were in service at its start.
    void run(Machine machine, double begin, double end, bool filled);
    outcome::SourceOutcome result(const Network& net, const Switchboard& switches, const State& x) const;

  private:
    std::optional<double> daily_run() const;

    double duration_, window_begin_;
    double nitrogen_ = 0.0, air_ = 0.0, air_after_fill_ = 0.0;  ///< [s]
    Machine last_ = Machine::off;
    bool air_counts_ = false;  ///< the present stretch on air began after the last fill
    bool stopped_after_fill_ = false;
    struct Mark {
        double time = -1.0, running = 0.0;
    };
    Mark window_, first_start_, last_start_;
};

}  // namespace oxfade::engine
