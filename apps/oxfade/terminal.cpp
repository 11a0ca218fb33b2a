#include "terminal.hpp"

#include <unistd.h>

namespace oxfade::program {

bool output_is_terminal() { return ::isatty(STDOUT_FILENO) == 1; }
bool errors_are_terminal() { return ::isatty(STDERR_FILENO) == 1; }

}  // namespace oxfade::program
