#include "text/csv.hpp"

#include <algorithm>
#include <utility>

#include "text/number.hpp"

namespace oxfade::text {
namespace {

class Splitter {
  public:
    Splitter(std::string_view text, char separator) : text_(text), separator_(separator) {}

    CsvRows split() {
        for (at_ = 0; at_ < text_.size(); ++at_) take(text_[at_]);
        if (quoted_) {
            result_.open_quote = row_.line;
        } else {
            finish();
        }
        return std::move(result_);
    }

  private:
    void take(char c) {
        std::string& field = row_.fields.back();
        const bool line_end = c == '\n' || (c == '\r' && !next_is('\n'));
        if (line_end) ++line_;
        if (quoted_) {
            take_quoted(c, field);
        } else if (c == '"' && trim(field).empty()) {
            field.clear();
            quoted_ = true;
        } else if (c == separator_) {
            row_.fields.emplace_back();
        } else if (line_end) {
            finish();
        } else {
            field += c;
        }
    }

    void take_quoted(char c, std::string& field) {
        if (c != '"') {
            field += c;
        } else if (next_is('"')) {
            field += c;
            ++at_;
        } else {
            quoted_ = false;
        }
    }

    bool next_is(char c) const { return at_ + 1 < text_.size() && text_[at_ + 1] == c; }

    void finish() {
        for (std::string& field : row_.fields) field = std::string(trim(field));
        const bool blank = std::all_of(row_.fields.begin(), row_.fields.end(),
                                       [](const std::string& field) { return field.empty(); });
        if (!blank) result_.rows.push_back(std::move(row_));
        row_ = {{""}, line_};
    }

    std::string_view text_;
    char separator_;
    std::size_t at_ = 0;
    int line_ = 1;
    bool quoted_ = false;
    CsvRow row_{{""}, 1};
    CsvRows result_;
};

}  // namespace

CsvRows split_csv(std::string_view text, char separator) {
    if (text.substr(0, 3) == "\xEF\xBB\xBF") text.remove_prefix(3);
    return Splitter(text, separator).split();
}

}  // namespace oxfade::text
