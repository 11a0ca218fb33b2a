// libFuzzer's own mutations half of the time, ours the other half.
#include <algorithm>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "number_mutator.hpp"

extern "C" {

std::size_t LLVMFuzzerMutate(std::uint8_t* data, std::size_t size, std::size_t room);

std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size, std::size_t room,
                                    unsigned int seed) {
    if (seed % 2 == 0 || size == 0) return LLVMFuzzerMutate(data, size, room);
    const std::string changed =
        oxfade::fuzz::with_one_change({reinterpret_cast<const char*>(data), size}, room, seed / 2);
    std::copy(changed.begin(), changed.end(), data);
    return changed.size();
}
}
