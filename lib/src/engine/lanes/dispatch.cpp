#include "engine/lanes/dispatch.hpp"

#include <vector>

namespace oxfade::engine {

namespace isa_common {
extern const Kernels kernels;
}
#ifdef OXFADE_ISA_X86
namespace isa_avx2 {
extern const Kernels kernels;
}
namespace isa_avx512 {
extern const Kernels kernels;
}
#endif

namespace {

std::vector<const Kernels*> usable() {
    std::vector<const Kernels*> kernels{&isa_common::kernels};
#ifdef OXFADE_ISA_X86
    __builtin_cpu_init();
    if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma"))
        kernels.push_back(&isa_avx2::kernels);
    if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512dq") &&
        __builtin_cpu_supports("avx512vl") && __builtin_cpu_supports("avx512bw")) {
        kernels.push_back(&isa_avx512::kernels);
    }
#endif
    return kernels;
}

}  // namespace

std::span<const Kernels* const> all_kernels() {
    static const std::vector<const Kernels*> kernels = usable();
    return kernels;
}

}  // namespace oxfade::engine
