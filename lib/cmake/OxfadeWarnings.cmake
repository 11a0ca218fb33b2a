# Developer builds treat every warning as an error; a user's build stays quiet.
function(oxfade_warnings target)
    if(OXFADE_DEVELOPER)
        target_compile_options(${target} PRIVATE -Wall -Wextra -Wpedantic -Wshadow -Wconversion
                                                 -Wsign-conversion -Wold-style-cast -Werror)
    endif()
endfunction()
