#pragma once

#include <chrono>

namespace oxfade::program {

/// Whether a person types on standard input, looks at standard output, and at standard error.
bool input_is_terminal();
bool output_is_terminal();
bool errors_are_terminal();

/// Who follows how a long computation goes on.
enum class Watcher { nobody, log, person };
Watcher watcher_of(bool quiet);
/// How long a computation goes on before anything is said of it.
std::chrono::milliseconds patience_with(Watcher watcher);

}  // namespace oxfade::program
