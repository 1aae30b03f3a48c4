# What cmake --install puts where: program, library, headers, package files, scenarios, documents.

set(package_dir "${CMAKE_INSTALL_LIBDIR}/cmake/drupelet")
install(TARGETS drupelet EXPORT drupeletTargets
  ARCHIVE DESTINATION "${CMAKE_INSTALL_LIBDIR}" COMPONENT development
  LIBRARY DESTINATION "${CMAKE_INSTALL_LIBDIR}" COMPONENT library NAMELINK_COMPONENT development)
install(TARGETS drupelet_program RUNTIME DESTINATION "${CMAKE_INSTALL_BINDIR}" COMPONENT program)
if(TARGET drupelet_mpi)
  install(TARGETS drupelet_mpi RUNTIME DESTINATION "${CMAKE_INSTALL_BINDIR}" COMPONENT mpi)
endif()
install(DIRECTORY include/drupelet DESTINATION "${CMAKE_INSTALL_INCLUDEDIR}" COMPONENT development
  FILES_MATCHING PATTERN "*.h")
install(EXPORT drupeletTargets NAMESPACE drupelet:: DESTINATION "${package_dir}" COMPONENT development)

get_target_property(drupelet_type drupelet TYPE)
if(drupelet_type STREQUAL "STATIC_LIBRARY")
  set(DRUPELET_IS_STATIC TRUE)
else()
  set(DRUPELET_IS_STATIC FALSE)
endif()
configure_package_config_file(scripts/cmake/drupeletConfig.cmake.in drupeletConfig.cmake
  INSTALL_DESTINATION "${package_dir}")
write_basic_package_version_file(drupeletConfigVersion.cmake COMPATIBILITY SameMinorVersion)
install(FILES "${PROJECT_BINARY_DIR}/drupeletConfig.cmake" "${PROJECT_BINARY_DIR}/drupeletConfigVersion.cmake"
  DESTINATION "${package_dir}" COMPONENT development)

# The prefix is found from the place of drupelet.pc, so that an installed tree can be moved.
file(RELATIVE_PATH DRUPELET_PC_TO_PREFIX
  "${CMAKE_INSTALL_FULL_LIBDIR}/pkgconfig" "${CMAKE_INSTALL_PREFIX}")
string(REGEX REPLACE "/$" "" DRUPELET_PC_TO_PREFIX "${DRUPELET_PC_TO_PREFIX}")
set(DRUPELET_PC_PRIVATE "-lhdf5_hl -lhdf5 -lz -lyaml ${OpenMP_C_FLAGS} -lm")
foreach(path IN LISTS HDF5_C_LIBRARY_DIRS HDF5_LIBRARY_DIRS HDF5_C_LIBRARIES)
  if(IS_DIRECTORY "${path}")
    set(dir "${path}")
  else()
    get_filename_component(dir "${path}" DIRECTORY)
  endif()
  if(dir AND NOT dir IN_LIST CMAKE_C_IMPLICIT_LINK_DIRECTORIES AND NOT DRUPELET_PC_PRIVATE MATCHES "-L${dir} ")
    set(DRUPELET_PC_PRIVATE "-L${dir} ${DRUPELET_PC_PRIVATE}")
  endif()
endforeach()
configure_file(scripts/cmake/drupelet.pc.in drupelet.pc @ONLY)
install(FILES "${PROJECT_BINARY_DIR}/drupelet.pc" DESTINATION "${CMAKE_INSTALL_LIBDIR}/pkgconfig"
  COMPONENT development)

install(DIRECTORY scenarios/ DESTINATION "${CMAKE_INSTALL_DATADIR}/drupelet/scenarios" COMPONENT program
  FILES_MATCHING PATTERN "*.yaml" PATTERN "*.csv")
# The papers keep their places beside one another, so that the links between them hold.
install(FILES README.md DEVELOPERS.md LICENSE DESTINATION "${CMAKE_INSTALL_DOCDIR}" COMPONENT program)
install(DIRECTORY docs DESTINATION "${CMAKE_INSTALL_DOCDIR}" COMPONENT program FILES_MATCHING PATTERN "*.md" PATTERN "*.svg" PATTERN "*.png")

# The module for Python finds the library of its own prefix, so that an installed tree can be moved: both folders are as
# deep. In /usr it lies where Debian's Python looks by itself.
if(CMAKE_INSTALL_PREFIX STREQUAL "/usr")
  set(python_dir lib/python3/dist-packages)
else()
  set(python_dir share/drupelet/python)
endif()
install(DIRECTORY scripts/python/drupelet DESTINATION "${python_dir}" COMPONENT python FILES_MATCHING PATTERN "*.py")
