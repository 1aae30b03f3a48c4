# Data files that the program needs become part of it: embed_data(sources) adds a C file for each to the list.

# sim/sprayer/generic_tips.csv becomes the array sprayer_generic_tips_csv, tests/data/wet_bulb.csv becomes
# tests_data_wet_bulb_csv (the published numbers that drupelet verify prints).
file(GLOB EMBEDDED_FILES CONFIGURE_DEPENDS "${PROJECT_SOURCE_DIR}/sim/*/*.csv" "${PROJECT_SOURCE_DIR}/tests/data/*.csv")

function(embed_data list_name)
  set(list "${${list_name}}")
  foreach(input IN LISTS EMBEDDED_FILES)
    file(RELATIVE_PATH name "${PROJECT_SOURCE_DIR}" "${input}")
    string(REGEX REPLACE "^sim/" "" name "${name}")
    string(MAKE_C_IDENTIFIER "${name}" name)
    set(output "${PROJECT_BINARY_DIR}/embedded/${name}.c")
    add_custom_command(OUTPUT "${output}"
      COMMAND "${CMAKE_COMMAND}" "-DINPUT=${input}" "-DOUTPUT=${output}" "-DNAME=${name}"
              -P "${PROJECT_SOURCE_DIR}/scripts/embed.cmake"
      DEPENDS "${input}" "${PROJECT_SOURCE_DIR}/scripts/embed.cmake" VERBATIM)
    list(APPEND list "${output}")
  endforeach()
  set(${list_name} "${list}" PARENT_SCOPE)
endfunction()
