#include "study/fit_solver.hpp"

#include <Eigen/Cholesky>
#include <algorithm>
#include <future>
#include <unsupported/Eigen/LevenbergMarquardt>
#include <utility>
#include <vector>

namespace oxfade::study::detail {
namespace {

/// Far above the noise of adaptive steps, in units of tolerances.
constexpr double difference_step = 0.05;
constexpr int most_evaluations = 40;

/// The model in the shape that Eigen's solver asks for.
struct Functor : Eigen::DenseFunctor<double> {
    Functor(const FitModel& m, const Fault& f)
        : DenseFunctor<double>(static_cast<int>(m.dimension(f)), static_cast<int>(m.data() + m.dimension(f))),
          model(m),
          fault(f) {}

    int operator()(const InputType& x, ValueType& out) const {
        out = model.residuals(fault, x);
        return 0;
    }

    int df(const InputType& x, JacobianType& jacobian) const {
        std::vector<std::future<Eigen::VectorXd>> shifted;
        for (Eigen::Index i = 0; i < x.size(); ++i) {
            shifted.push_back(std::async(std::launch::async, [&, i] {
                Eigen::VectorXd there = x;
                there[i] += difference_step;
                return model.residuals(fault, there);
            }));
        }
        const Eigen::VectorXd here = model.residuals(fault, x);
        for (Eigen::Index i = 0; i < x.size(); ++i)
            jacobian.col(i) = (shifted[static_cast<std::size_t>(i)].get() - here) / difference_step;
        return 0;
    }

    const FitModel& model;
    const Fault& fault;
};

/// The data as designed, with the best of the fault's start sizes.
Eigen::VectorXd best_start(const FitModel& model, const Fault& fault) {
    Eigen::VectorXd best = Eigen::VectorXd::Zero(static_cast<Eigen::Index>(model.dimension(fault)));
    if (!FitModel::has_size(fault)) return best;
    double least = INFINITY;
    for (const double start : model.size_starts(fault)) {
        Eigen::VectorXd x = Eigen::VectorXd::Zero(best.size());
        x[x.size() - 1] = start;
        const double misfit = model.residuals(fault, x).squaredNorm();
        if (misfit < least) {
            least = misfit;
            best = x;
        }
    }
    return best;
}

}  // namespace

Solution solve(const FitModel& model, const Fault& fault) {
    Functor functor(model, fault);
    Eigen::LevenbergMarquardt<Functor> solver(functor);
    solver.setMaxfev(most_evaluations);
    solver.setFtol(1e-4);
    solver.setXtol(1e-4);
    solver.setFactor(10.0);
    Eigen::VectorXd x = best_start(model, fault);
    solver.minimize(x);
    Solution solution;
    solution.x = x;
    solution.residuals = model.residuals(fault, x);
    Eigen::MatrixXd jacobian(functor.values(), functor.inputs());
    functor.df(x, jacobian);
    // Every unknown pulls towards its start, so the matrix is never singular.
    const Eigen::MatrixXd information = jacobian.transpose() * jacobian;
    solution.covariance = information.ldlt().solve(Eigen::MatrixXd::Identity(x.size(), x.size()));
    return solution;
}

}  // namespace oxfade::study::detail
