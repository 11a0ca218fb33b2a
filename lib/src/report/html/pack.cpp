#include "report/html/pack.hpp"

#include <bit>
#include <cstdint>

namespace oxfade::report::detail {
namespace {

constexpr std::string_view digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// Takes bytes and gives base64.
class Encoder {
  public:
    explicit Encoder(std::size_t bytes) { text_.reserve((bytes + 2) / 3 * 4); }
    void add(double value) {
        const auto bits = std::bit_cast<std::uint32_t>(static_cast<float>(value));
        for (unsigned shift = 0; shift < 32; shift += 8) add_byte((bits >> shift) & 0xFFU);
    }
    std::string take() {
        if (count_ == 1) write(2, held_ << 16U);
        if (count_ == 2) write(3, held_ << 8U);
        while (text_.size() % 4 != 0) text_ += '=';
        return std::move(text_);
    }

  private:
    void add_byte(std::uint32_t byte) {
        held_ = (held_ << 8U) | byte;
        if (++count_ < 3) return;
        write(4, held_);
        held_ = 0;
        count_ = 0;
    }
    void write(int letters, std::uint32_t group) {
        for (int i = 0; i < letters; ++i) {
            text_ += digits[(group >> (18U - 6U * static_cast<unsigned>(i))) & 63U];
        }
    }

    std::string text_;
    std::uint32_t held_ = 0;
    int count_ = 0;
};

}  // namespace

std::string packed(const std::vector<double>& values) {
    Encoder encoder(4 * values.size());
    for (const double value : values) encoder.add(value);
    return encoder.take();
}

std::string packed(const outcome::Series& series, const std::vector<std::size_t>& rows) {
    Encoder encoder(4 * rows.size() * series.columns);
    for (const std::size_t row : rows) {
        for (std::size_t column = 0; column < series.columns; ++column) encoder.add(series.at(row, column));
    }
    return encoder.take();
}

std::string html_text(std::string_view text) {
    std::string safe;
    safe.reserve(text.size());
    for (const char c : text) {
        switch (c) {
            case '<':
                safe += "&lt;";
                break;
            case '>':
                safe += "&gt;";
                break;
            case '&':
                safe += "&amp;";
                break;
            case '"':
                safe += "&quot;";
                break;
            case '\'':
                safe += "&#39;";
                break;
            default: {
                const auto code = static_cast<unsigned char>(c);
                safe += (code < 0x20U && c != '\n') || code == 0x7FU ? ' ' : c;
            }
        }
    }
    return safe;
}

std::string script_safe(std::string json) {
    std::string safe;
    safe.reserve(json.size());
    for (const char c : json) {
        switch (c) {
            case '<':
                safe += "\\u003c";
                break;
            case '>':
                safe += "\\u003e";
                break;
            case '&':
                safe += "\\u0026";
                break;
            default:
                safe += c;
        }
    }
    return safe;
}

}  // namespace oxfade::report::detail
