# The simulator that a page holds: the modules up to result, sim/live and what writes a result for the page, compiled for
# WebAssembly with Debian's clang, lld, wasi-libc and compiler-rt. Where one of these is missing, programs and pages are
# whole but for that, and the page says so.

option(DRUPELET_SIMULATOR "Make the simulator that pages hold, where clang can compile for WebAssembly" ON)
set(DRUPELET_WASI_SYSROOT "/usr" CACHE PATH "Where wasi-libc is")
mark_as_advanced(DRUPELET_WASI_SYSROOT)

set(SIMULATOR "${PROJECT_BINARY_DIR}/simulator")
file(MAKE_DIRECTORY "${SIMULATOR}")
set(SIMULATOR_WASM "${SIMULATOR}/simulator.wasm")
# No product and sum is fused and no value changed, as in compile_options.cmake: the digits are those of the program.
set(SIMULATOR_FLAGS --target=wasm32-wasi "--sysroot=${DRUPELET_WASI_SYSROOT}" -std=c11 -O3 -msimd128 -fno-math-errno
    -fno-trapping-math -ffp-contract=off -fopenmp-simd
    "-ffile-prefix-map=${PROJECT_SOURCE_DIR}=." "-ffile-prefix-map=${PROJECT_BINARY_DIR}=build")
set(SIMULATOR_LINK_FLAGS --target=wasm32-wasi "--sysroot=${DRUPELET_WASI_SYSROOT}" -nostartfiles -Wl,--no-entry -Wl,-s)

find_program(SIMULATOR_CLANG NAMES clang-14 clang)
mark_as_advanced(SIMULATOR_CLANG)
set(SIMULATOR_IS_MADE FALSE)
if(DRUPELET_SIMULATOR AND SIMULATOR_CLANG)
  file(WRITE "${SIMULATOR}/probe.c" "#include <math.h>
#include <stdlib.h>
__attribute__((export_name(\"probe\"))) double *probe(double x)
{
    double *y = malloc(sizeof *y);
    if (y)
        *y = fmod(x, 3.0);
    return y;
}
")
  execute_process(COMMAND "${SIMULATOR_CLANG}" ${SIMULATOR_FLAGS} ${SIMULATOR_LINK_FLAGS} probe.c -o probe.wasm
    WORKING_DIRECTORY "${SIMULATOR}" RESULT_VARIABLE probe_result OUTPUT_QUIET ERROR_QUIET)
  if(probe_result EQUAL 0)
    set(SIMULATOR_IS_MADE TRUE)
  endif()
endif()
if(DRUPELET_SIMULATOR AND NOT SIMULATOR_IS_MADE)
  message(STATUS "No compiler for WebAssembly (on Debian clang, lld, wasi-libc, libclang-rt-14-dev-wasm32): "
                 "pages come without a simulator")
endif()

# Adds the C file with the module's bytes to the list; none of them where it cannot be made.
function(embed_simulator list_name)
  set(output "${PROJECT_BINARY_DIR}/embedded/page_simulator.c")
  if(NOT SIMULATOR_IS_MADE)
    file(WRITE "${SIMULATOR_WASM}" "")
    set(made "${SIMULATOR_WASM}")
  else()
    set(objects "")
    set(parts "")
    foreach(module IN ITEMS base scenario orchard sprayer air droplet tally run result live)
      file(GLOB more CONFIGURE_DEPENDS "${PROJECT_SOURCE_DIR}/sim/${module}/*.c")
      list(APPEND parts ${more})
    endforeach()
    list(REMOVE_ITEM parts "${PROJECT_SOURCE_DIR}/sim/base/kept.c") # sim/live/kept.c is in its place
    foreach(name IN ITEMS data quantities tracks canopy)
      list(APPEND parts "${PROJECT_SOURCE_DIR}/sim/page/${name}.c")
    endforeach()
    list(APPEND parts "${PROJECT_BINARY_DIR}/embedded/sprayer_generic_tips_csv.c"
         "${PROJECT_BINARY_DIR}/embedded/air_sources.c")
    foreach(source IN LISTS parts)
      file(RELATIVE_PATH object "${PROJECT_SOURCE_DIR}/sim" "${source}")
      string(MAKE_C_IDENTIFIER "${object}" object)
      set(object "${SIMULATOR}/${object}.o")
      # __riscv: Random123 refuses processors that it does not know; of those that it does, this one has nothing special.
      add_custom_command(OUTPUT "${object}"
        COMMAND ${CMAKE_C_COMPILER_LAUNCHER} "${SIMULATOR_CLANG}" ${SIMULATOR_FLAGS} -D__riscv
                "-DDRUPELET_VERSION=\"${PROJECT_VERSION}\"" -DDROPLET_FLIGHT_VARIANT=base
                -I "${PROJECT_SOURCE_DIR}/sim" -I "${PROJECT_SOURCE_DIR}/include" -I "${PROJECT_SOURCE_DIR}/sim/live"
                -idirafter "${RANDOM123_INCLUDE_DIR}" -MD -MF "${object}.d" -c "${source}" -o "${object}"
        DEPENDS "${source}" DEPFILE "${object}.d" VERBATIM)
      list(APPEND objects "${object}")
    endforeach()
    add_custom_command(OUTPUT "${SIMULATOR_WASM}"
      COMMAND "${SIMULATOR_CLANG}" ${SIMULATOR_LINK_FLAGS} ${objects} -o "${SIMULATOR_WASM}"
      DEPENDS ${objects} VERBATIM)
    set(made "${SIMULATOR_WASM}")
  endif()
  add_custom_command(OUTPUT "${output}"
    COMMAND "${CMAKE_COMMAND}" "-DINPUT=${SIMULATOR_WASM}" "-DOUTPUT=${output}" "-DNAME=page_simulator"
            -P "${PROJECT_SOURCE_DIR}/scripts/embed.cmake"
    DEPENDS "${made}" "${PROJECT_SOURCE_DIR}/scripts/embed.cmake" VERBATIM)
  set(${list_name} "${${list_name}};${output}" PARENT_SCOPE)
endfunction()
