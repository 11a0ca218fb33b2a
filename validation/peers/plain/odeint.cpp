#include <algorithm>
#include <boost/numeric/odeint.hpp>
#include <functional>
#include <stdexcept>

#include "model.hpp"
#include "plain.hpp"

namespace oxfade::peer {
namespace {

namespace ode = boost::numeric::odeint;

}  // namespace

Answer solve_with_odeint(const plant::Plant& plant, double relative_tolerance) {
    Model model(plant);
    Answer answer;
    State x = model.initial(), at_event(x.size());
    double time = 0.0, step = 1e-3;
    const double allowed = 1.0 - plant.target;
    bool met = model.worst_oxygen(x) <= allowed;
    auto stepper = ode::make_dense_output(1e-9, relative_tolerance, ode::runge_kutta_dopri5<State>());
    while (time < plant.duration) {
        stepper.initialize(x, time, step);
        std::vector<double> before = model.watch(x);
        for (;;) {
            stepper.do_step(std::ref(model));
            // Odeint takes a step whose error is not a number; one past an empty receiver has to be redone.
            if (!Model::sound(stepper.current_state())) {
                step = 0.25 * (stepper.current_time() - stepper.previous_time());
                if (!(step > 1e-9)) throw std::runtime_error("the step size vanished");
                const State back = stepper.previous_state();
                stepper.initialize(back, stepper.previous_time(), step);
                continue;
            }
            const double begin = stepper.previous_time(),
                         end = std::min(stepper.current_time(), plant.duration);
            stepper.calc_state(end, at_event);
            const std::vector<double> after = model.watch(at_event);
            double first = end;
            std::size_t which = after.size();
            for (std::size_t g = 0; g < after.size(); ++g) {
                if (!(before[g] < 0.0 && after[g] >= 0.0)) continue;
                double low = begin, high = end;
                while (high - low > 1e-6) {
                    const double middle = 0.5 * (low + high);
                    stepper.calc_state(middle, at_event);
                    (model.watch(at_event)[g] >= 0.0 ? high : low) = middle;
                }
                if (high <= first) {
                    first = high;
                    which = g;
                }
            }
            stepper.calc_state(first, at_event);
            const bool met_now = model.worst_oxygen(at_event) <= allowed;
            if (met_now != met) {
                double low = begin, high = first;
                while (high - low > 1e-4) {
                    const double middle = 0.5 * (low + high);
                    stepper.calc_state(middle, x);
                    ((model.worst_oxygen(x) <= allowed) == met_now ? high : low) = middle;
                }
                answer.time_to_target = met_now ? high : -1.0;
                met = met_now;
            }
            if (which < after.size() || first >= plant.duration) {
                stepper.calc_state(first, x);
                time = first;
                step = stepper.current_time_step();
                if (which < after.size()) {
                    model.apply(which, x, time);
                    ++answer.events;
                }
                break;
            }
            before = after;
        }
    }
    answer.fill_time = model.fill_time;
    answer.worst_oxygen = model.worst_oxygen(x);
    return answer;
}

}  // namespace oxfade::peer
