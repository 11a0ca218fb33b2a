#include "page.hpp"

#include <algorithm>

namespace oxfade::report::detail {
namespace {

constexpr std::size_t label_indent = 2;
constexpr std::size_t label_width = 16;

bool is_continuation(char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }
bool is_space(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }
bool is_control(char c) { return static_cast<unsigned char>(c) < 0x20U || c == 0x7F; }

/// Bytes of the first so many code points.
std::size_t bytes_of(std::string_view text, std::size_t columns) {
    std::size_t at = 0;
    while (at < text.size()) {
        if (!is_continuation(text[at])) {
            if (columns == 0) break;
            --columns;
        }
        ++at;
    }
    return at;
}

std::vector<std::string> words_of(std::string_view text) {
    std::vector<std::string> words;
    bool inside = false;
    for (const char c : text) {
        if (is_space(c)) {
            inside = false;
            continue;
        }
        if (!inside) words.emplace_back();
        inside = true;
        words.back() += is_control(c) ? '?' : c;
    }
    return words;
}

}  // namespace

std::size_t columns_of(std::string_view text) {
    return static_cast<std::size_t>(
        std::count_if(text.begin(), text.end(), [](char c) { return !is_continuation(c); }));
}

std::string shortened(const std::string& text, std::size_t columns) {
    if (columns_of(text) <= columns) return text;
    if (columns <= 3) return std::string(columns, '.');
    return text.substr(0, bytes_of(text, columns - 3)) + "...";
}

std::vector<std::string> wrapped(std::string_view text, std::size_t columns) {
    columns = std::max<std::size_t>(columns, 1);
    std::vector<std::string> lines(1);
    for (std::string word : words_of(text)) {
        const std::size_t gap = lines.back().empty() ? 0 : 1;
        if (columns_of(lines.back()) + gap + columns_of(word) <= columns) {
            lines.back() += std::string(gap, ' ') + word;
            continue;
        }
        if (gap != 0) lines.emplace_back();
        while (columns_of(word) > columns) {
            const std::size_t bytes = bytes_of(word, columns);
            lines.back() = word.substr(0, bytes);
            lines.emplace_back();
            word.erase(0, bytes);
        }
        lines.back() = word;
    }
    return lines;
}

void Page::line(const std::string& text) { text_ += shortened(text, page_width) + '\n'; }

void Page::heading(const std::string& title, const std::string& remark) {
    constexpr std::size_t rules = 10;  // what the dashes and spaces around both texts take at least
    const std::string right =
        remark.empty() ? "" : " " + shortened(wrapped(remark, page_width)[0], 30) + " --";
    const std::string name = wrapped(title, 4 * page_width)[0];
    const std::string left = "-- " + shortened(name, page_width - rules - columns_of(right)) + ' ';
    const std::size_t dashes = page_width - columns_of(left) - columns_of(right);
    text_ += left + std::string(dashes, '-') + right + '\n';
}

void Page::paragraph(const std::string& text, std::size_t indent) {
    for (const std::string& part : wrapped(text, page_width - indent)) {
        text_ += std::string(indent, ' ') + part + '\n';
    }
}

void Page::labelled(const std::string& label, const std::string& text) {
    std::string head = std::string(label_indent, ' ') + shortened(label, label_width - 1);
    head.resize(head.size() + label_indent + label_width - columns_of(head), ' ');
    for (const std::string& part : wrapped(text, page_width - label_indent - label_width)) {
        text_ += head + part + '\n';
        head.assign(label_indent + label_width, ' ');
    }
}

}  // namespace oxfade::report::detail
