# Runs a command and stops with all it said when it fails.
function(run)
    execute_process(COMMAND ${ARGN} RESULT_VARIABLE status OUTPUT_VARIABLE text ERROR_VARIABLE text)
    if(NOT status EQUAL 0)
        message(FATAL_ERROR "${ARGN}\n${text}")
    endif()
    set(text "${text}" PARENT_SCOPE)
endfunction()

# Runs the consumer, which has to print how long a fill takes.
function(expect_filled program)
    run(${program})
    message("${text}")
    if(NOT text MATCHES "filled in [0-9.]+ min")
        message(FATAL_ERROR "the consumer printed: ${text}")
    endif()
endfunction()
