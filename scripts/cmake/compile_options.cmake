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
if(DRUPELET_SANITIZE) # scripts/sanitize
  set(sanitizers_address address,undefined)
  set(sanitizers_ON ${sanitizers_address})
  set(sanitizers_thread thread)
  set(sanitizers_memory memory)
  if(NOT DEFINED sanitizers_${DRUPELET_SANITIZE})
    message(FATAL_ERROR "DRUPELET_SANITIZE: found ${DRUPELET_SANITIZE}, expected address, thread or memory")
  endif()
  set(DRUPELET_SANITIZE_FLAGS -fsanitize=${sanitizers_${DRUPELET_SANITIZE}} -fno-sanitize-recover=all -fno-omit-frame-pointer)
  add_compile_options(${DRUPELET_SANITIZE_FLAGS})
  add_link_options(${DRUPELET_SANITIZE_FLAGS})
endif()
if(DRUPELET_FUZZ)
  add_compile_options(-fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all -g
                      -Wno-pass-failed) # loops that are watched stay scalar
  add_link_options(-fsanitize=address,undefined)
endif()
if(UNIX AND NOT APPLE)
  add_link_options(LINKER:--as-needed) # h5cc names libraries that we do not use
endif()

# What makes a fault harder to use for harm, where the compiler has it: files come from anywhere. DRUPELET_HARDENED lists
# what there is (tests/test_hardening.sh). Paths of this machine stay out, so that two builds have the same bytes.
include(CheckPIESupported)
check_pie_supported()
set(CMAKE_POSITION_INDEPENDENT_CODE ON)
add_compile_options("-ffile-prefix-map=${PROJECT_SOURCE_DIR}=." "-ffile-prefix-map=${PROJECT_BINARY_DIR}=build")
set(DRUPELET_HARDENED "")
foreach(flag IN ITEMS -fstack-protector-strong -fstack-clash-protection -fcf-protection)
  string(MAKE_C_IDENTIFIER "DRUPELET_COMPILER_HAS${flag}" has)
  check_c_compiler_flag(${flag} ${has})
  if(${has})
    add_compile_options(${flag})
    list(APPEND DRUPELET_HARDENED ${flag})
  endif()
endforeach()
if(NOT DRUPELET_SANITIZE AND NOT DRUPELET_FUZZ AND CMAKE_BUILD_TYPE MATCHES "^Rel")
  add_compile_options(-U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=2) # checks nothing without optimisation
  list(APPEND DRUPELET_HARDENED fortify)
endif()
check_linker_flag(C "LINKER:-z,relro,-z,now" DRUPELET_LINKER_HAS_NOW)
if(DRUPELET_LINKER_HAS_NOW)
  add_link_options(LINKER:-z,relro,-z,now)
  list(APPEND DRUPELET_HARDENED now)
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
