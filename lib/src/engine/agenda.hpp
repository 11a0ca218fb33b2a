#pragma once

#include <cstddef>
#include <limits>
#include <vector>

#include "engine/recorder.hpp"

namespace oxfade::engine {

/// How things stood at one moment of the run.
struct Snapshot {
    double time = 0.0;
    State x;
    SourceClock::Reading clock;
    SourceClock::Made made;
    int starts = 0;
};

/// The dated actions of a run, and how things stood before and after them.
class Agenda {
  public:
    explicit Agenda(const plant::Plant& plant);

    /// The date of the next action [s]; infinite when none is left.
    double next_date() const {
        return next_ < order_.size() ? plant_->actions[order_[next_]].at
                                     : std::numeric_limits<double>::infinity();
    }
    /// The next action that is due at a time, and then the one after it; null when none is left.
    const plant::Action* take(double time);

    /// A stretch of the run between two dates.
    struct Stretch {
        std::vector<std::size_t> actions;  ///< of the plant, those that open it
        Snapshot begin, end;
        std::vector<outcome::Stretch> pressures;  ///< lowest and highest of each riser in service [Pa]
    };
    bool empty() const { return order_.empty(); }
    bool changes_settings() const;
    /// Ends the stretch under way, if there is one, and begins another.
    void close(Snapshot end) { stretches_.back().end = std::move(end); }
    void open(Snapshot begin, std::size_t risers);
    Stretch& current() { return stretches_.back(); }
    const std::vector<Stretch>& stretches() const { return stretches_; }

  private:
    const plant::Plant* plant_;
    std::vector<std::size_t> order_, taken_;
    std::size_t next_ = 0;
    std::vector<Stretch> stretches_;
};

}  // namespace oxfade::engine
