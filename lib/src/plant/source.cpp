#include "oxfade/plant/source.hpp"

#include "oxfade/gas/mixture.hpp"

namespace oxfade::plant {
namespace {

struct ReceiverOf {
    const Receiver* operator()(const Generator& source) const { return &source.receiver; }
    const Receiver* operator()(const Cylinders&) const { return nullptr; }
    const Receiver* operator()(const Compressor& source) const { return &source.receiver; }
};
struct PurityOf {
    double operator()(const Generator& source) const { return source.purity; }
    double operator()(const Cylinders& source) const { return source.purity; }
    double operator()(const Compressor&) const { return gas::dry_air().purity(); }
};

}  // namespace

const Receiver* receiver_of(const Source& source) { return std::visit(ReceiverOf{}, source); }
double product_purity(const Source& source) { return std::visit(PurityOf{}, source); }

}  // namespace oxfade::plant
