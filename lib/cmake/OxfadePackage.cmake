# Debian packages: `cpack` in a build folder configured with -DCMAKE_INSTALL_PREFIX=/usr writes one of program, library,
# headers, manual page and completions, and one of the Python package if that was built. Needs dpkg-dev and file.
# tests/package/run does it, and installs both in a bare Debian folder.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_CONTACT "The oxfade authors <oxfade@localhost>")
set(CPACK_STRIP_FILES ON)
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_COMPONENTS_ALL oxfade)
set(CPACK_COMPONENTS_GROUPING IGNORE)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_SECTION science)

set(CPACK_DEBIAN_OXFADE_PACKAGE_NAME oxfade)
set(CPACK_COMPONENT_OXFADE_DESCRIPTION "The program, and the C++ library with its headers.")
# What the static library needs at a link of somebody's program.
set(CPACK_DEBIAN_OXFADE_PACKAGE_SUGGESTS "g++, cmake, libfmt-dev, libtomlplusplus-dev, libudunits2-dev")

if(OXFADE_BUILD_PYTHON)
    list(APPEND CPACK_COMPONENTS_ALL debian_python)
    math(EXPR next "${Python_VERSION_MINOR} + 1")
    set(CPACK_DEBIAN_DEBIAN_PYTHON_PACKAGE_NAME python3-oxfade)
    set(CPACK_DEBIAN_DEBIAN_PYTHON_PACKAGE_SECTION python)
    set(CPACK_DEBIAN_DEBIAN_PYTHON_PACKAGE_DEPENDS
        "python3 (>= 3.${Python_VERSION_MINOR}), python3 (<< 3.${next}), python3-numpy")
    set(CPACK_DEBIAN_DEBIAN_PYTHON_PACKAGE_SUGGESTS "python3-matplotlib, python3-pandas")
    set(CPACK_COMPONENT_DEBIAN_PYTHON_DESCRIPTION "The Python package.")
endif()
include(CPack)
