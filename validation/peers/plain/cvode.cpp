#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>
#include <sunnonlinsol/sunnonlinsol_fixedpoint.h>

#include <algorithm>
#include <memory>
#include <stdexcept>
#include <string>

#include "model.hpp"
#include "plain.hpp"

namespace oxfade::peer {
namespace {

struct Problem {
    Model model;
    double allowed;  ///< oxygen fraction
    State x, dxdt;
};

void check(int status, const char* what) {
    if (status < 0) throw std::runtime_error(std::string(what) + " failed: " + std::to_string(status));
}

void copy_in(N_Vector from, State& to) {
    const double* data = N_VGetArrayPointer(from);
    std::copy(data, data + to.size(), to.begin());
}

int rates(realtype time, N_Vector y, N_Vector dydt, void* user) {
    auto& problem = *static_cast<Problem*>(user);
    copy_in(y, problem.x);
    if (!Model::sound(problem.x)) return 1;  // try a smaller step
    problem.model(problem.x, problem.dxdt, time);
    std::copy(problem.dxdt.begin(), problem.dxdt.end(), N_VGetArrayPointer(dydt));
    return 0;
}

/// The model's events, then the target.
int roots(realtype, N_Vector y, realtype* g, void* user) {
    auto& problem = *static_cast<Problem*>(user);
    copy_in(y, problem.x);
    const std::vector<double> events = problem.model.watch(problem.x);
    std::copy(events.begin(), events.end(), g);
    g[events.size()] = problem.allowed - problem.model.worst_oxygen(problem.x);
    return 0;
}

template <class T, void (*Free)(T)>
struct Freed {
    using pointer = T;
    void operator()(T what) const { Free(what); }
};
template <class T, int (*Free)(T)>
struct FreedToo {
    using pointer = T;
    void operator()(T what) const { Free(what); }
};
void free_solver(void* solver) { CVodeFree(&solver); }
void free_context(SUNContext context) { SUNContext_Free(&context); }

}  // namespace

Answer solve_with_cvode(const plant::Plant& plant, double relative_tolerance, Formulas formulas) {
    Problem problem{Model(plant), 1.0 - plant.target, {}, {}};
    problem.x = problem.model.initial();
    problem.dxdt.resize(problem.x.size());
    SUNContext made = nullptr;
    check(SUNContext_Create(nullptr, &made), "SUNContext_Create");
    const std::unique_ptr<SUNContext, Freed<SUNContext, free_context>> context(made);
    const auto size = static_cast<sunindextype>(problem.x.size());
    const std::unique_ptr<N_Vector, Freed<N_Vector, N_VDestroy>> y(N_VNew_Serial(size, made));
    std::copy(problem.x.begin(), problem.x.end(), N_VGetArrayPointer(y.get()));
    const std::unique_ptr<void*, Freed<void*, free_solver>> solver(
        CVodeCreate(formulas == Formulas::adams ? CV_ADAMS : CV_BDF, made));
    check(CVodeInit(solver.get(), rates, 0.0, y.get()), "CVodeInit");
    check(CVodeSStolerances(solver.get(), relative_tolerance, 1e-9), "CVodeSStolerances");
    check(CVodeSetUserData(solver.get(), &problem), "CVodeSetUserData");
    check(CVodeSetMaxNumSteps(solver.get(), 100'000'000), "CVodeSetMaxNumSteps");
    check(CVodeSetStopTime(solver.get(), plant.duration), "CVodeSetStopTime");
    const std::size_t events = problem.model.watch(problem.x).size();
    check(CVodeRootInit(solver.get(), static_cast<int>(events) + 1, roots), "CVodeRootInit");
    std::vector<int> direction(events + 1, 1), found(events + 1, 0);
    direction.back() = 0;
    check(CVodeSetRootDirection(solver.get(), direction.data()), "CVodeSetRootDirection");
    check(CVodeSetNoInactiveRootWarn(solver.get()), "CVodeSetNoInactiveRootWarn");
    // Adams with fixed-point iteration, BDF with Newton's and a dense matrix.
    std::unique_ptr<SUNNonlinearSolver, FreedToo<SUNNonlinearSolver, SUNNonlinSolFree>> iteration;
    std::unique_ptr<SUNMatrix, Freed<SUNMatrix, SUNMatDestroy>> matrix;
    std::unique_ptr<SUNLinearSolver, FreedToo<SUNLinearSolver, SUNLinSolFree>> linear;
    if (formulas == Formulas::adams) {
        iteration.reset(SUNNonlinSol_FixedPoint(y.get(), 0, made));
        check(CVodeSetNonlinearSolver(solver.get(), iteration.get()), "CVodeSetNonlinearSolver");
    } else {
        matrix.reset(SUNDenseMatrix(size, size, made));
        linear.reset(SUNLinSol_Dense(y.get(), matrix.get(), made));
        check(CVodeSetLinearSolver(solver.get(), linear.get(), matrix.get()), "CVodeSetLinearSolver");
    }
    Answer answer;
    bool met = problem.model.worst_oxygen(problem.x) <= problem.allowed;
    double time = 0.0;
    while (time < plant.duration) {
        const int status = CVode(solver.get(), plant.duration, y.get(), &time, CV_NORMAL);
        check(status, "CVode");
        if (status != CV_ROOT_RETURN) continue;
        check(CVodeGetRootInfo(solver.get(), found.data()), "CVodeGetRootInfo");
        copy_in(y.get(), problem.x);
        if (found.back() != 0) {
            met = found.back() > 0;
            answer.time_to_target = met ? time : -1.0;
        }
        bool switched = false;
        for (std::size_t k = 0; k < events && !switched; ++k) {
            if (found[k] <= 0) continue;
            problem.model.apply(k, problem.x, time);
            ++answer.events;
            switched = true;
        }
        if (switched) check(CVodeReInit(solver.get(), time, y.get()), "CVodeReInit");
    }
    copy_in(y.get(), problem.x);
    answer.fill_time = problem.model.fill_time;
    answer.worst_oxygen = problem.model.worst_oxygen(problem.x);
    return answer;
}

}  // namespace oxfade::peer
