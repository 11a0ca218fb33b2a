#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

/// Setting text for a terminal of 80 columns.
namespace oxfade::report::detail {

inline constexpr std::size_t page_width = 80;

/// Columns a UTF-8 text takes, one for each code point.
std::size_t columns_of(std::string_view text);

/// The text cut to so many columns, with "..." where something was cut.
std::string shortened(const std::string& text, std::size_t columns);

/// Lines of at most `columns`, broken at white space, or anywhere in a word that is longer. Control
/// characters, which a name could carry, become '?'.
std::vector<std::string> wrapped(std::string_view text, std::size_t columns);

/// Collects lines, none wider than the page.
class Page {
  public:
    void blank() { text_ += '\n'; }
    /// A line ready made; cut when too wide.
    void line(const std::string& text);
    /// A rule with a title at its left and a remark at its right.
    void heading(const std::string& title, const std::string& remark = {});
    void paragraph(const std::string& text, std::size_t indent = 0);
    /// A label in its own column, and text beside it.
    void labelled(const std::string& label, const std::string& text);
    const std::string& text() const { return text_; }

  private:
    std::string text_;
};

}  // namespace oxfade::report::detail
