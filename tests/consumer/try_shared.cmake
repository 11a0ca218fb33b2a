# Builds oxfade as a shared library in a folder of the consumer's project, runs that, then installs the library and
# runs the consumer against the installed one.
set(build "${OXFADE_BUILD}/consumer-shared")
set(prefix "${OXFADE_BUILD}/consumer-shared-install")
file(REMOVE_RECURSE "${build}" "${prefix}" "${build}-package")
include("${CMAKE_CURRENT_LIST_DIR}/run.cmake")

run(${CMAKE_COMMAND} -S ${OXFADE_SOURCE}/tests/consumer -B ${build} -G ${GENERATOR} -DCMAKE_CXX_COMPILER=${CXX}
    -DOXFADE_FOLDER=${OXFADE_SOURCE} -DBUILD_SHARED_LIBS=ON -DCMAKE_BUILD_TYPE=${BUILD_TYPE}
    -DCMAKE_CXX_COMPILER_LAUNCHER=${LAUNCHER} -DCMAKE_INSTALL_LIBDIR=lib
    -DCMAKE_COMPILE_WARNING_AS_ERROR=ON)
run(${CMAKE_COMMAND} --build ${build})
expect_filled(${build}/consumer)
if(EXISTS "${build}/oxfade/apps")
    message(FATAL_ERROR "the program was built though only the library was wanted")
endif()

run(${CMAKE_COMMAND} --install ${build} --prefix ${prefix})
if(NOT EXISTS "${prefix}/lib/liboxfade.so")
    message(FATAL_ERROR "there is no shared library in ${prefix}/lib")
endif()
run(${CMAKE_COMMAND} -S ${OXFADE_SOURCE}/tests/consumer -B ${build}-package -G ${GENERATOR}
    -DCMAKE_CXX_COMPILER=${CXX} -DCMAKE_PREFIX_PATH=${prefix})
run(${CMAKE_COMMAND} --build ${build}-package)
expect_filled(${build}-package/consumer)
