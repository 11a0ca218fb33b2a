# Installs the library into a scratch folder, then configures, builds and runs the consumer against it.
set(prefix "${OXFADE_BUILD}/consumer-install")
set(build "${OXFADE_BUILD}/consumer-build")
file(REMOVE_RECURSE "${prefix}" "${build}")
include("${CMAKE_CURRENT_LIST_DIR}/run.cmake")

run(${CMAKE_COMMAND} --install ${OXFADE_BUILD} --prefix ${prefix})
run(${CMAKE_COMMAND} -S ${OXFADE_SOURCE}/tests/consumer -B ${build} -G ${GENERATOR}
    -DCMAKE_CXX_COMPILER=${CXX} -DCMAKE_PREFIX_PATH=${prefix})
run(${CMAKE_COMMAND} --build ${build})
expect_filled(${build}/consumer)

foreach(words share/man/man1/oxfade.1 share/bash-completion/completions/oxfade share/zsh/site-functions/_oxfade
        share/fish/vendor_completions.d/oxfade.fish)
    if(EXISTS "${prefix}/bin/oxfade" AND NOT EXISTS "${prefix}/${words}")
        message(FATAL_ERROR "the program is installed without ${words}")
    endif()
endforeach()
