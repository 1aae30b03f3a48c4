# Flags of every file, the sanitizers, and the vector widths of the droplet kernel.

add_compile_options(-Wall -Wextra -Wpedantic -Wshadow -Wconversion)
if(DRUPELET_WERROR)
  add_compile_options(-Werror)
endif()

# The first two let loops become vector code and change no value; no product and sum is fused, so that every processor
# rounds alike. Never -ffast-math: it lets sums change order. In every build type, so that all give the same numbers.
add_compile_options(-fno-math-errno -fno-trapping-math -ffp-contract=off)
if(DRUPELET_NATIVE)
  add_compile_options(-march=native)
endif()
if(DRUPELET_SANITIZE)
  set(DRUPELET_SANITIZE_FLAGS -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer)
  add_compile_options(${DRUPELET_SANITIZE_FLAGS})
  add_link_options(${DRUPELET_SANITIZE_FLAGS})
endif()
if(DRUPELET_FUZZ)
  add_compile_options(-fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all -g)
  add_link_options(-fsanitize=address,undefined)
endif()
if(UNIX AND NOT APPLE)
  add_link_options(LINKER:--as-needed) # h5cc names libraries that we do not use
endif()

# DROPLET_FLIGHT_VARIANTS: base, and what this compiler can make for wider vectors; DROPLET_FLIGHT_OPTIONS_<variant>:
# its flags.
set(DROPLET_FLIGHT_VARIANTS base)
set(DROPLET_FLIGHT_OPTIONS_base "")
if(CMAKE_SYSTEM_PROCESSOR MATCHES "^(x86_64|AMD64|amd64)$" AND CMAKE_C_COMPILER_ID MATCHES "^(GNU|Clang)$")
  check_c_compiler_flag(-march=x86-64-v3 DRUPELET_COMPILER_HAS_V3)
  check_c_compiler_flag("-march=x86-64-v4 -mprefer-vector-width=512" DRUPELET_COMPILER_HAS_V4)
  if(DRUPELET_COMPILER_HAS_V3)
    list(APPEND DROPLET_FLIGHT_VARIANTS v3)
    set(DROPLET_FLIGHT_OPTIONS_v3 -march=x86-64-v3)
  endif()
  if(DRUPELET_COMPILER_HAS_V4)
    list(APPEND DROPLET_FLIGHT_VARIANTS v4)
    set(DROPLET_FLIGHT_OPTIONS_v4 -march=x86-64-v4 -mprefer-vector-width=512)
  endif()
endif()
