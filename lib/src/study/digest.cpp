#include "study/digest.hpp"

#include <fmt/format.h>

#include "oxfade/study/parameter.hpp"

namespace oxfade::study::detail {

void Digest::add(std::string_view text) {
    const auto take = [&](unsigned char byte) { state_ = (state_ ^ byte) * 0x100000001B3U; };
    for (const char c : text) take(static_cast<unsigned char>(c));
    take(0xFFU);  // an end that no text contains: "ab" "c" differs from "a" "bc"
}

void Digest::add(double value) { add(fmt::format("{}", value)); }
void Digest::add(std::uint64_t value) { add(fmt::format("{}", value)); }

void Digest::add(const plant::Plant& plant) {
    for (const Field& field : fields_of(plant)) {
        add(field.key);
        add(field.value ? fmt::format("{}", *field.value) : field.word);
    }
}

std::string Digest::hex() const { return fmt::format("{:016x}", state_); }

}  // namespace oxfade::study::detail
