# PROGRAM_HDF5: what the program links for HDF5. Debian's shared library brings some thirty others along (it can read
# files on the network), and loading them takes longer than reading a scenario. Where the static library lies beside it
# and links, the program takes that; our own library always takes the shared one.

option(DRUPELET_STATIC_HDF5 "Link the static HDF5 into the program, where there is one" ON)
set(PROGRAM_HDF5 hdf5::hdf5_hl hdf5::hdf5)
if(DRUPELET_STATIC_HDF5)
  include(CheckCSourceCompiles)
  get_filename_component(hdf5_dir "${HDF5_C_LIBRARY_hdf5}" DIRECTORY)
  find_library(HDF5_STATIC_LIBRARY libhdf5.a PATHS "${hdf5_dir}" NO_DEFAULT_PATH)
  find_library(HDF5_STATIC_HL_LIBRARY libhdf5_hl.a PATHS "${hdf5_dir}" NO_DEFAULT_PATH)
  find_library(SZIP_LIBRARY sz) # a filter of HDF5
  mark_as_advanced(HDF5_STATIC_LIBRARY HDF5_STATIC_HL_LIBRARY SZIP_LIBRARY)
  if(HDF5_STATIC_LIBRARY AND HDF5_STATIC_HL_LIBRARY)
    set(static_hdf5 "${HDF5_STATIC_HL_LIBRARY}" "${HDF5_STATIC_LIBRARY}" ZLIB::ZLIB ${CMAKE_DL_LIBS} m)
    if(SZIP_LIBRARY)
      list(INSERT static_hdf5 2 "${SZIP_LIBRARY}")
    endif()
    set(CMAKE_REQUIRED_INCLUDES ${HDF5_INCLUDE_DIRS})
    set(CMAKE_REQUIRED_LIBRARIES ${static_hdf5})
    check_c_source_compiles("
      #include <hdf5.h>
      #include <hdf5_hl.h>
      int main(void) { return H5open() < 0 || H5DSis_scale(0) > 0; }" DRUPELET_STATIC_HDF5_LINKS)
    unset(CMAKE_REQUIRED_INCLUDES)
    unset(CMAKE_REQUIRED_LIBRARIES)
    if(DRUPELET_STATIC_HDF5_LINKS)
      set(PROGRAM_HDF5 ${static_hdf5})
    endif()
  endif()
endif()
