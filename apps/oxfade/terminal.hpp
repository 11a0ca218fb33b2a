#pragma once

namespace oxfade::program {

/// Whether a person looks at standard output, and at standard error.
bool output_is_terminal();
bool errors_are_terminal();

}  // namespace oxfade::program
