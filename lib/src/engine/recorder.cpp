#include "engine/recorder.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

#include "engine/at.hpp"
#include "engine/composition.hpp"
#include "oxfade/flow/water_exchange.hpp"

namespace oxfade::engine {

TargetWatch::TargetWatch(const Network& net, const Layout& layout, const State& x)
    : net_(net),
      layout_(layout),
      nodes_(at(layout.nodes) + net.risers.size()),
      all_nodes_(at(layout.nodes)),
      risers_(net.risers.size()) {
    std::iota(all_nodes_.begin(), all_nodes_.end(), 0);
    for (std::size_t r = 0; r < risers_.size(); ++r) {
        risers_[r].of(plant::TargetAt::everywhere).missing = net.risers[r].count;
        risers_[r].of(plant::TargetAt::average).missing = 1;
        // Without an analyser there is no reading: never at target.
        risers_[r].of(plant::TargetAt::readings).missing =
            std::max<int>(1, static_cast<int>(net.risers[r].readings.size()));
        for (const RiserNet::Reading& reading : net.risers[r].readings) ++nodes_[at(reading.node)].readings;
    }
    std::vector<double> average(risers_.size(), 0.0);
    for (int i = 0; i < layout.nodes; ++i) {
        const double margin = net.target_air * layout.moles(x, i) - x[layout.air(i)];
        average[at(net.riser_of[at(i)])] += margin;
        if (margin >= 0.0) flip(i, 0.0);
    }
    for (std::size_t r = 0; r < risers_.size(); ++r) {
        if (average[r] >= 0.0) flip(layout.nodes + static_cast<int>(r), 0.0);
    }
}

void TargetWatch::Set::take(bool good, int count, double time) {
    if (count == 0) return;
    if (good) {
        missing -= count;
        if (missing == 0) since = time;
        return;
    }
    if (missing == 0 && time > since) stretches.push_back({since, time});
    missing += count;
}

void TargetWatch::flip(int node, double time) {
    Node& n = nodes_[at(node)];
    n.at_target = !n.at_target;
    if (n.at_target) {
        n.ever = true;
        n.since = time;
    }
    if (node >= layout_.nodes) {
        risers_[at(node - layout_.nodes)].of(plant::TargetAt::average).take(n.at_target, 1, time);
        return;
    }
    Riser& r = risers_[at(net_.riser_of[at(node)])];
    r.of(plant::TargetAt::everywhere).take(n.at_target, 1, time);
    r.of(plant::TargetAt::readings).take(n.at_target, n.readings, time);
}

void TargetWatch::step(const DenseStep& dense, double theta) {
    const auto ends = [&](int i) {
        const int moles = layout_.gas(i), air = layout_.air(i);
        const double allowed = net_.target_air;
        return StepEnds{allowed * layout_.moles(dense.x0, i) - dense.x0[air],
                        allowed * layout_.moles(dense.x1, i) - dense.x1[air],
                        dense.size * (allowed * layout_.gain(dense.x0, i) * dense.f0[moles] - dense.f0[air]),
                        dense.size * (allowed * layout_.gain(dense.x1, i) * dense.f1[moles] - dense.f1[air])};
    };
    const auto wet_ends = [&](int i) {
        const auto of = [&](const State& v) { return target_margin(net_, layout_, v, i); };
        return StepEnds{of(dense.x0), of(dense.x1), dense.size * of(dense.f0), dense.size * of(dense.f1)};
    };
    const auto average = [&](int r) {
        StepEnds sum{0.0, 0.0, 0.0, 0.0};
        const RiserNet& riser = net_.risers[at(r)];
        for (int i = riser.first; i < riser.first + riser.count; ++i)
            sum += layout_.wet() ? wet_ends(i) : ends(i);
        return sum;
    };
    const auto as_guessed = [](int, double root) { return root; };
    if (layout_.wet()) {
        scan(all_nodes_, dense.begin, dense.size, theta, wet_ends, average, as_guessed);
    } else {
        scan(all_nodes_, dense.begin, dense.size, theta, ends, average, as_guessed);
    }
}

void TargetWatch::take_crossings() {
    std::stable_sort(crossings_.begin(), crossings_.end(),
                     [](const Crossing& a, const Crossing& b) { return a.time < b.time; });
    for (const Crossing& crossing : crossings_) flip(crossing.node, crossing.time);
    crossing_count_ += static_cast<long>(crossings_.size());
}

void TargetWatch::finish(double end) {
    for (Riser& riser : risers_) {
        for (Set& set : riser.sets) {
            if (set.missing == 0) set.stretches.push_back({set.since, end});
        }
    }
}

std::optional<double> TargetWatch::node_since(int node) const {
    const Node& n = nodes_[at(node)];
    return n.at_target ? std::optional<double>(n.since) : std::nullopt;
}

HistoryRecorder::HistoryRecorder(const Network& net, const Layout& layout, const Modes& modes,
                                 std::size_t points)
    : net_(net), layout_(layout), modes_(modes), points_(points), lost_(net.risers.size(), 0.0) {
    for (const auto& riser : net.node_of) {
        for (const auto& pipe : riser) column_node_.insert(column_node_.end(), pipe.begin(), pipe.end());
    }
    history_.pressure.columns = net.risers.size();
    history_.oxygen.columns = column_node_.size();
    for (outcome::Series* amounts : {&history_.supplied, &history_.vented, &history_.leaked}) {
        amounts->columns = net.risers.size();
        amounts->data.reserve(points * amounts->columns);
    }
    history_.times.reserve(points);
    history_.pressure.data.reserve(points * history_.pressure.columns);
    history_.oxygen.data.reserve(points * history_.oxygen.columns);
    if (net.pressures != Pressures::uniform) find_zones();
    history_.zone_pressure.columns = zones_.size();
    history_.zone_pressure.data.reserve(points * zones_.size());
    history_.water.columns = net.water.size();
}

void HistoryRecorder::find_zones() {
    std::vector<double> moles_per_pressure(at(layout_.vessels), 0.0);
    for (int i = 0; i < layout_.nodes; ++i) {
        moles_per_pressure[at(layout_.gas(i) - 2)] += 1.0 / net_.node_pressure_per_mole[at(i)];
    }
    std::vector<std::size_t> column(at(layout_.vessels), zones_.max_size());
    for (const int node : column_node_) {
        const std::size_t vessel = at(layout_.gas(node) - 2);
        if (column[vessel] == zones_.max_size()) {
            column[vessel] = zones_.size();
            zones_.push_back({layout_.gas(node), net_.riser_of[at(node)], 1.0 / moles_per_pressure[vessel]});
        }
        history_.zone_of.push_back(column[vessel]);
    }
}

double HistoryRecorder::time_of(std::size_t row) const {
    if (row + 1 == points_) return net_.duration;
    return net_.duration * static_cast<double>(row) / static_cast<double>(points_ - 1);
}

template <class Entry>
void HistoryRecorder::add_amounts(const Entry& entry) {
    std::vector<double> stored(net_.risers.size(), 0.0);
    for (int i = 0; i < layout_.nodes; ++i) {
        stored[at(net_.riser_of[at(i)])] += entry(layout_.gas(i)) * layout_.part(i);
    }
    for (int r = 0; r < layout_.risers; ++r) {
        const double vented = entry(layout_.total(r, Layout::vented));
        const double leaked = entry(layout_.total(r, Layout::leaked));
        history_.vented.data.push_back(vented);
        history_.leaked.data.push_back(leaked);
        history_.supplied.data.push_back(stored[at(r)] - net_.risers[at(r)].initial + vented + leaked +
                                         lost_[at(r)]);
    }
}

template <class Entry>
void HistoryRecorder::add_water(double time, const Entry& entry) {
    for (const Zone& zone : zones_) {
        history_.zone_pressure.data.push_back(entry(zone.entry) *
                                              (zone.pressure_per_mole * net_.warmth(zone.riser, time)));
    }
    for (int s = 0; s < layout_.spots; ++s) {
        const double temperature = net_.risers[at(net_.water[at(s)].riser)].temperature;
        history_.water.data.push_back(std::max(entry(layout_.water(s)), 0.0) /
                                      flow::water_moles_per_volume(temperature));
        const Seal seal = modes_.seals[at(s)].seal;
        history_.passages.push_back(seal == Seal::open     ? outcome::Passage::free
                                    : seal == Seal::closed ? outcome::Passage::none
                                                           : outcome::Passage::bubbling);
    }
}

void HistoryRecorder::add_vents() {
    for (const VentMode& vent : modes_.vents) {
        history_.vents.push_back(!vent.open || vent.closed ? outcome::VentState::shut
                                 : vent.stopped            ? outcome::VentState::stopped
                                                           : outcome::VentState::open);
    }
}

template <class Entry>
void HistoryRecorder::add_row(double time, const Entry& entry, const SourceClock::Reading& clock) {
    history_.times.push_back(time);
    for (int r = 0; r < layout_.risers; ++r) {
        history_.pressure.data.push_back(entry(layout_.riser(r)) *
                                         (net_.risers[at(r)].pressure_per_mole * net_.warmth(r, time)));
    }
    for (const int node : column_node_) {
        history_.oxygen.data.push_back(oxygen_fraction(net_, layout_, entry, node));
    }
    if (net_.source.kind != SourceKind::cylinders) {
        history_.receiver_pressure.push_back(entry(Layout::source) *
                                             (net_.source.pressure_per_mole * net_.source_warmth(time)));
        history_.running.push_back(clock.nitrogen + clock.air);
        history_.on_air.push_back(clock.air);
    }
    add_amounts(entry);
    add_water(time, entry);
    add_vents();
}

void HistoryRecorder::begin(const State& x) {
    if (points_ > 0) add_row(0.0, [&](int i) { return x[i]; }, {});
}

void HistoryRecorder::step(const DenseStep& dense, double theta, const SourceClock::Reading& clock,
                           Machine machine) {
    const double end = dense.time(theta);
    while (history_.times.size() < points_) {
        const double time = time_of(history_.times.size());
        if (time > end) break;
        const double where = (time - dense.begin) / dense.size;
        add_row(
            time, [&](int i) { return dense.value(i, where); }, clock.later(machine, time - dense.begin));
    }
}

double HistoryRecorder::next_time() const {
    return history_.times.size() < points_ ? time_of(history_.times.size())
                                           : std::numeric_limits<double>::infinity();
}

void HistoryRecorder::row_at(double time, const State& x, const SourceClock::Reading& clock) {
    if (time >= next_time())
        add_row(
            time, [&](int i) { return x[i]; }, clock);
}

SourceClock::SourceClock(double duration) : duration_(duration), window_begin_(0.75 * duration) {}

void SourceClock::run(Machine machine, double begin, double end, bool filled) {
    const bool running = machine == Machine::nitrogen || machine == Machine::air;
    const bool was_running = last_ == Machine::nitrogen || last_ == Machine::air;
    const double so_far = nitrogen_ + air_;
    if (begin >= window_begin_) {
        if (window_.time < 0.0) window_ = {begin, so_far};
        if (running && !was_running) {
            if (first_start_.time < 0.0) first_start_ = {begin, so_far};
            last_start_ = {begin, so_far};
        }
    }
    if (filled && machine != Machine::air) stopped_after_fill_ = true;
    if (machine == Machine::air) {
        if (last_ != Machine::air) air_counts_ = filled && stopped_after_fill_;
        air_ += end - begin;
        if (air_counts_) air_after_fill_ += end - begin;
    }
    if (machine == Machine::nitrogen) nitrogen_ += end - begin;
    last_ = machine;
}

SourceClock::Reading SourceClock::Reading::later(Machine machine, double time) const {
    Reading then = *this;
    if (machine == Machine::nitrogen) then.nitrogen += time;
    if (machine == Machine::air) then.air += time;
    return then;
}

void SourceClock::repeat(const Reading& cycle, double period, double times) {
    nitrogen_ += times * cycle.nitrogen;
    air_ += times * cycle.air;
    air_after_fill_ += times * cycle.air_after_fill;
    if (last_start_.time >= 0.0) {
        last_start_.time += times * period;
        last_start_.running += times * (cycle.nitrogen + cycle.air);
    }
}

std::optional<double> SourceClock::daily_run() const {
    constexpr double day = 86400.0;
    if (window_.time < 0.0) return std::nullopt;
    if (last_start_.time > first_start_.time) {  // whole cycles
        return day * (last_start_.running - first_start_.running) / (last_start_.time - first_start_.time);
    }
    if (duration_ <= window_.time) return std::nullopt;
    return day * (nitrogen_ + air_ - window_.running) / (duration_ - window_.time);
}

SourceClock::Made SourceClock::made(const SourceNet& source) const {
    const double nitrogen = nitrogen_ - at_bank_.nitrogen, air = air_ - at_bank_.air;
    return {banked_.nitrogen + source.nitrogen_flow * nitrogen, banked_.air + source.air_flow * air,
            banked_.energy + source.power * (nitrogen + air)};
}

void SourceClock::bank(const SourceNet& source) {
    banked_ = made(source);
    at_bank_ = reading();
}

outcome::SourceOutcome SourceClock::result(const SourceNet& source, const Switchboard& switches,
                                           const State& x) const {
    outcome::SourceOutcome out;
    out.starts = switches.starts();
    if (source.kind == SourceKind::cylinders) {
        out.made_nitrogen = source.initial - x[Layout::source];
        if (switches.empty_at() >= 0.0) out.empty_at = switches.empty_at();
        return out;
    }
    out.running = nitrogen_ + air_;
    out.on_air = air_;
    out.air_after_fill = source.kind == SourceKind::generator ? air_after_fill_ : 0.0;
    const Made all = made(source);
    out.made_nitrogen = all.nitrogen;
    out.made_air = all.air;
    if (source.has_power) out.energy = all.energy;
    out.steady_daily_run = daily_run();
    return out;
}

}  // namespace oxfade::engine
