#pragma once

#include <vector>

#include "oxfade/error.hpp"

namespace oxfade::program {

/// Every problem on a line of its own on standard error; on a terminal, long ones are broken at white space
/// and indented.
void print(const InputError& error);

/// Each on a line of its own, as hints.
void print_hints(const std::vector<Problem>& hints);

/// One line on standard error, with the program's name before it.
void print_error(const char* what);

}  // namespace oxfade::program
