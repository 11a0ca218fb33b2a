// Compiled once: see test_prelude in CMakeLists.txt.
