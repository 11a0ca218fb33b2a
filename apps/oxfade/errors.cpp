#include "errors.hpp"

#include <sys/ioctl.h>
#include <unistd.h>

#include <cstddef>
#include <iostream>
#include <sstream>
#include <string>

#include "terminal.hpp"

namespace oxfade::program {
namespace {

std::size_t terminal_width() {
    winsize size{};
    if (::ioctl(STDERR_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col < 40) return 80;
    return size.ws_col;
}

/// Breaks at white space; lines after the first are indented.
std::string folded(const std::string& text, std::size_t width) {
    std::string result;
    std::size_t column = 0;
    std::istringstream words(text);
    for (std::string word; words >> word;) {
        if (column > 0 && column + 1 + word.size() > width) {
            result += "\n    ";
            column = 4;
        } else if (column > 0) {
            result += ' ';
            ++column;
        }
        result += word;
        column += word.size();
    }
    return result;
}

void print_line(const std::string& text) {
    std::cerr << (errors_are_terminal() ? folded(text, terminal_width()) : text) << '\n';
}

}  // namespace

void print(const InputError& error) {
    for (const Problem& problem : error.problems()) print_line(to_string(problem));
    const std::size_t count = error.problems().size();
    if (count > 1) std::cerr << "oxfade: " << count << " problems, nothing was computed\n";
}

void print_hints(const std::vector<Problem>& hints) {
    for (const Problem& hint : hints) print_line("hint: " + to_string(hint));
}

void print_error(const char* what) { print_line(std::string("oxfade: ") + what); }

}  // namespace oxfade::program
