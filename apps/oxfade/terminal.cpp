#include "terminal.hpp"

#include <unistd.h>

namespace oxfade::program {

bool input_is_terminal() { return ::isatty(STDIN_FILENO) == 1; }
bool output_is_terminal() { return ::isatty(STDOUT_FILENO) == 1; }
bool errors_are_terminal() { return ::isatty(STDERR_FILENO) == 1; }

Watcher watcher_of(bool quiet) {
    if (quiet) return Watcher::nobody;
    return errors_are_terminal() ? Watcher::person : Watcher::log;
}

std::chrono::milliseconds patience_with(Watcher watcher) {
    return watcher == Watcher::person ? std::chrono::milliseconds(1000) : std::chrono::milliseconds(20'000);
}

}  // namespace oxfade::program
