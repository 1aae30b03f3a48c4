# Turns a file into C: const char NAME[] with its bytes and a 0 behind them, const size_t NAME_length without that 0.
#     cmake -DINPUT=file -DOUTPUT=file.c -DNAME=name [-DSHA256=ON|ONLY] -P scripts/embed.cmake
# With SHA256 also const char NAME_sha256[], the hash of the bytes in hexadecimal; ONLY: that alone, without the bytes.
get_filename_component(file "${INPUT}" NAME)
file(SHA256 "${INPUT}" hash)
set(hash_in_c "extern const char ${NAME}_sha256[];\nconst char ${NAME}_sha256[] = \"${hash}\";\n")
set(made_from "/* Made from ${file} by scripts/embed.cmake. */\n")
if(SHA256 STREQUAL "ONLY")
  file(WRITE "${OUTPUT}" "${made_from}${hash_in_c}")
  return()
endif()
file(READ "${INPUT}" bytes HEX)
string(LENGTH "${bytes}" digits)
math(EXPR length "${digits} / 2")
# A character constant fits into a char, signed or not.
string(REGEX REPLACE "([0-9a-f][0-9a-f])" "'\\\\x\\1'," bytes "${bytes}")
string(REPEAT "'.....," 16 line)
string(REGEX REPLACE "(${line})" "\\1\n" bytes "${bytes}")
file(WRITE "${OUTPUT}" "${made_from}#include <stddef.h>
extern const char ${NAME}[];
extern const size_t ${NAME}_length;
const char ${NAME}[] = {
${bytes}'\\0'};
const size_t ${NAME}_length = ${length};
")
if(SHA256)
  file(APPEND "${OUTPUT}" "${hash_in_c}")
endif()
