# Finds UDUNITS-2 and makes the target UDUNITS2::UDUNITS2. Debian 12 calls its pkg-config file udunits, others udunits2,
# some systems have none: pkg-config only gives hints. The header's folder differs, too.
find_package(PkgConfig QUIET)
if(PkgConfig_FOUND)
  pkg_search_module(PC_UDUNITS2 QUIET udunits udunits2)
endif()
find_path(UDUNITS2_INCLUDE_DIR udunits2.h HINTS ${PC_UDUNITS2_INCLUDE_DIRS} PATH_SUFFIXES udunits2)
find_library(UDUNITS2_LIBRARY udunits2 HINTS ${PC_UDUNITS2_LIBRARY_DIRS})
mark_as_advanced(UDUNITS2_INCLUDE_DIR UDUNITS2_LIBRARY)

include(FindPackageHandleStandardArgs)
find_package_handle_standard_args(UDUNITS2 REQUIRED_VARS UDUNITS2_LIBRARY UDUNITS2_INCLUDE_DIR
  VERSION_VAR PC_UDUNITS2_VERSION)
if(UDUNITS2_FOUND AND NOT TARGET UDUNITS2::UDUNITS2)
  add_library(UDUNITS2::UDUNITS2 UNKNOWN IMPORTED)
  set_target_properties(UDUNITS2::UDUNITS2 PROPERTIES
    IMPORTED_LOCATION "${UDUNITS2_LIBRARY}" INTERFACE_INCLUDE_DIRECTORIES "${UDUNITS2_INCLUDE_DIR}")
endif()
