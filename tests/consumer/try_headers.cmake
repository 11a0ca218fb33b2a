# Every public header compiles on its own, without warnings.
file(GLOB_RECURSE headers RELATIVE "${OXFADE_SOURCE}/lib/include" "${OXFADE_SOURCE}/lib/include/*.hpp")
list(APPEND headers oxfade/version.hpp)
list(LENGTH headers count)
set(folder "${OXFADE_BUILD}/headers-${NAME}")
file(REMOVE_RECURSE "${folder}")
foreach(header ${headers})
    string(MAKE_C_IDENTIFIER "${header}" name)
    file(WRITE "${folder}/${name}.cpp" "#include <${header}>\n#include <${header}>\n")
    list(APPEND sources "${folder}/${name}.cpp")
endforeach()
execute_process(COMMAND ${CXX} -std=c++20 -fsyntax-only -Wall -Wextra -Wpedantic -Werror
                        -I${OXFADE_SOURCE}/lib/include -I${OXFADE_BUILD}/lib/include ${sources}
                RESULT_VARIABLE status OUTPUT_VARIABLE text ERROR_VARIABLE text)
if(NOT status EQUAL 0)
    message(FATAL_ERROR "${text}")
endif()
message("${count} headers compile alone with ${CXX}")
