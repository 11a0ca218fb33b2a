# Developer builds treat every warning as an error; a user's build stays quiet.
function(oxfade_warnings target)
    if(OXFADE_DEVELOPER)
        target_compile_options(${target} PRIVATE -Wall -Wextra -Wpedantic -Wshadow -Wconversion
                                                 -Wsign-conversion -Wold-style-cast -Werror)
        if(CMAKE_CXX_COMPILER_ID MATCHES "Clang")
            target_compile_options(${target} PRIVATE -Wno-overlength-strings)  # the report's page is one
        elseif(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
            # False alarms on std::string + literal at -O2 and above (GCC bug 105651).
            target_compile_options(${target} PRIVATE -Wno-restrict -Wno-stringop-overflow -Wno-array-bounds)
        endif()
    endif()
endfunction()
