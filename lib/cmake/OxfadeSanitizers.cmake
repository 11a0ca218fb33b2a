# OXFADE_SANITIZE=address,undefined instruments everything built here, tests included.
if(OXFADE_SANITIZE)
    add_compile_options(-fsanitize=${OXFADE_SANITIZE} -fno-omit-frame-pointer -fno-sanitize-recover=all)
    add_link_options(-fsanitize=${OXFADE_SANITIZE})
endif()
if(OXFADE_BUILD_FUZZERS)
    if(NOT CMAKE_CXX_COMPILER_ID MATCHES "Clang")
        message(FATAL_ERROR "The fuzzers need clang: -DCMAKE_CXX_COMPILER=clang++")
    endif()
    add_compile_options(-fsanitize=fuzzer-no-link)  # the fuzzer sees which code an input reaches
endif()
