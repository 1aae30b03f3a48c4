# Packages for Debian and the source archive (scripts/packages).

set(CPACK_PACKAGE_NAME drupelet)
set(CPACK_PACKAGE_VENDOR "drupelet")
set(CPACK_PACKAGE_CONTACT "drupelet developers <developers@drupelet.example>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
set(CPACK_STRIP_FILES ON)
set(CPACK_COMPONENTS_ALL program library development python)
if(TARGET drupelet_mpi)
  list(APPEND CPACK_COMPONENTS_ALL mpi)
endif()

# ---- Debian ----
set(soversion "${PROJECT_VERSION_MAJOR}.${PROJECT_VERSION_MINOR}")
set(CPACK_DEB_COMPONENT_INSTALL ON)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PROGRAM_PACKAGE_NAME drupelet)
set(CPACK_DEBIAN_MPI_PACKAGE_NAME drupelet-mpi)
set(CPACK_DEBIAN_MPI_PACKAGE_RECOMMENDS mpi-default-bin) # mpirun
set(CPACK_DEBIAN_LIBRARY_PACKAGE_NAME libdrupelet${soversion})
set(CPACK_DEBIAN_LIBRARY_PACKAGE_SECTION libs)
set(CPACK_DEBIAN_PACKAGE_GENERATE_SHLIBS ON)
set(CPACK_DEBIAN_LIBRARY_PACKAGE_CONTROL_EXTRA "${PROJECT_SOURCE_DIR}/scripts/cmake/debian/triggers")
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_NAME libdrupelet-dev)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_SECTION libdevel)
set(CPACK_DEBIAN_DEVELOPMENT_PACKAGE_DEPENDS "libdrupelet${soversion} (= ${PROJECT_VERSION})")
set(CPACK_DEBIAN_PYTHON_PACKAGE_NAME python3-drupelet)
set(CPACK_DEBIAN_PYTHON_PACKAGE_SECTION python)
set(CPACK_DEBIAN_PYTHON_PACKAGE_ARCHITECTURE all)
set(CPACK_DEBIAN_PYTHON_PACKAGE_SHLIBDEPS OFF)
set(CPACK_DEBIAN_PYTHON_PACKAGE_DEPENDS
    "libdrupelet${soversion} (= ${PROJECT_VERSION}), python3, python3-numpy, python3-xarray")
set(CPACK_DEBIAN_PYTHON_PACKAGE_RECOMMENDS python3-pandas)
set(about " This program follows droplets from the nozzles of an air-assisted sprayer\n through fan air and wind into the trees and tells how much of the spray\n stays on leaves, falls to the ground and leaves the orchard. It is for\n teaching, research and planning trials; label, law and licensed advisers\n come first.")
string(REPLACE "\\n" "\n" about "${about}")
set(CPACK_COMPONENT_PROGRAM_DESCRIPTION "where the spray of an orchard sprayer goes\n${about}")
set(CPACK_COMPONENT_LIBRARY_DESCRIPTION "where the spray of an orchard sprayer goes, shared library\n${about}")
set(CPACK_COMPONENT_DEVELOPMENT_DESCRIPTION "where the spray of an orchard sprayer goes, headers\n${about}")
set(CPACK_COMPONENT_PYTHON_DESCRIPTION "where the spray of an orchard sprayer goes, module for Python\n${about}")
set(CPACK_COMPONENT_MPI_DESCRIPTION "where the spray of an orchard sprayer goes, sweeps over MPI\n${about}")

# Each package has its copyright and the list of changes, as Debian wants them.
set(debian "${PROJECT_BINARY_DIR}/debian")
file(MAKE_DIRECTORY "${debian}")
find_program(GZIP gzip)
if(GZIP)
  add_custom_command(OUTPUT "${debian}/changelog.gz"
    COMMAND "${PROJECT_SOURCE_DIR}/scripts/cmake/debian/changelog" "${PROJECT_SOURCE_DIR}/docs/changelog.md"
            "${CPACK_PACKAGE_CONTACT}" > changelog
    COMMAND "${GZIP}" -9nf changelog
    DEPENDS "${PROJECT_SOURCE_DIR}/scripts/cmake/debian/changelog" "${PROJECT_SOURCE_DIR}/docs/changelog.md"
    WORKING_DIRECTORY "${debian}" VERBATIM)
  add_custom_target(drupelet_debian ALL DEPENDS "${debian}/changelog.gz")
  foreach(component IN LISTS CPACK_COMPONENTS_ALL)
    string(TOUPPER ${component} upper)
    set(place "${CMAKE_INSTALL_DATADIR}/doc/${CPACK_DEBIAN_${upper}_PACKAGE_NAME}")
    install(FILES scripts/cmake/debian/copyright "${debian}/changelog.gz" DESTINATION "${place}" COMPONENT ${component})
  endforeach()
endif()

# ---- source ----
set(CPACK_SOURCE_GENERATOR TXZ)
set(CPACK_SOURCE_PACKAGE_FILE_NAME "drupelet-${PROJECT_VERSION}")
set(CPACK_SOURCE_IGNORE_FILES "/\\\\.git/;/build[^/]*/;/results/;/node_modules/;^${PROJECT_SOURCE_DIR}/[^/]*\\\\.(h5|svg|html)$")
include(CPack)
