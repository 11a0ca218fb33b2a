#include "engine/dense_inverse.hpp"

#include <Eigen/LU>

namespace oxfade::engine {

std::vector<double> dense_inverse(const std::vector<double>& matrix, std::size_t size) {
    if (size == 0) return {};
    using Rows = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
    const auto n = static_cast<Eigen::Index>(size);
    std::vector<double> inverse(matrix.size());
    Eigen::Map<Rows>(inverse.data(), n, n) =
        Eigen::Map<const Rows>(matrix.data(), n, n).partialPivLu().inverse();
    return inverse;
}

}  // namespace oxfade::engine
