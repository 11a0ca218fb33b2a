# UDUNITS-2 ships no CMake package: find header, library and database, and offer Udunits2::Udunits2.
find_path(Udunits2_INCLUDE_DIR udunits2.h)
find_library(Udunits2_LIBRARY udunits2)
find_file(Udunits2_DATABASE udunits2.xml PATHS /usr/local /usr PATH_SUFFIXES share/xml/udunits share/udunits)
include(FindPackageHandleStandardArgs)
find_package_handle_standard_args(Udunits2 REQUIRED_VARS Udunits2_LIBRARY Udunits2_INCLUDE_DIR)
if(Udunits2_FOUND AND NOT TARGET Udunits2::Udunits2)
    add_library(Udunits2::Udunits2 UNKNOWN IMPORTED)
    set_target_properties(Udunits2::Udunits2 PROPERTIES
        IMPORTED_LOCATION "${Udunits2_LIBRARY}" INTERFACE_INCLUDE_DIRECTORIES "${Udunits2_INCLUDE_DIR}")
endif()
mark_as_advanced(Udunits2_INCLUDE_DIR Udunits2_LIBRARY Udunits2_DATABASE)
