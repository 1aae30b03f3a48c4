# Data files that the program needs become part of it: embed_data(sources) adds a C file for each to the list.

file(MAKE_DIRECTORY "${PROJECT_BINARY_DIR}/embedded")

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
    if(name MATCHES "^tests_data_(.*)_csv$") # verify finds these by their names (sim/verify/table.h)
      string(APPEND arrays "extern const char ${name}[];\n")
      string(APPEND files "    {\"${CMAKE_MATCH_1}\", ${name}},\n")
    endif()
  endforeach()
  set(output "${PROJECT_BINARY_DIR}/embedded/verify_files.c")
  file(CONFIGURE OUTPUT "${output}" @ONLY CONTENT "/* Made by scripts/cmake/embedded_data.cmake. */
#include \"verify/table.h\"
@arrays@const verify_file verify_files[] = {\n@files@    {0, 0}};
")
  set(${list_name} "${list};${output}" PARENT_SCOPE)
endfunction()

# Which solver made a wind that was kept (sim/air/flow_keep.c): a hash of all sources that can have a share in it. By hand
# a number of the version would be forgotten.
file(GLOB AIR_SOURCES CONFIGURE_DEPENDS "${PROJECT_SOURCE_DIR}/sim/base/*.[ch]" "${PROJECT_SOURCE_DIR}/sim/air/*.[ch]")
list(APPEND AIR_SOURCES "${PROJECT_SOURCE_DIR}/scripts/cmake/compile_options.cmake")

function(embed_air_version list_name)
  set(whole "${PROJECT_BINARY_DIR}/embedded/air_sources")
  set(output "${PROJECT_BINARY_DIR}/embedded/air_sources.c")
  add_custom_command(OUTPUT "${output}" BYPRODUCTS "${whole}"
    COMMAND "${CMAKE_COMMAND}" -E cat ${AIR_SOURCES} > "${whole}"
    COMMAND "${CMAKE_COMMAND}" "-DINPUT=${whole}" "-DOUTPUT=${output}" -DNAME=air_sources -DSHA256=ONLY
            -P "${PROJECT_SOURCE_DIR}/scripts/embed.cmake"
    DEPENDS ${AIR_SOURCES} "${PROJECT_SOURCE_DIR}/scripts/embed.cmake" VERBATIM)
  set(${list_name} "${${list_name}};${output}" PARENT_SCOPE)
endfunction()

# The page of drupelet report (sim/page/page.c): scripts and style sheets are read one after the other, in this order,
# each group is one array: page_script, page_style and so on, with their hashes.
set(PAGE "${PROJECT_SOURCE_DIR}/sim/page/browser")
set(PAGE_script core text number colour pattern data chart plate drift glance flight stage lesson exercise watch palm
                canopy why key numbers compare sweep step handout live/tree live/crew live/settings live/live live/panel main)
set(PAGE_style base plate chart stage palm lesson live print)

# What the page takes from others comes from npm packages and is bundled here; nothing of it is in the repository.
set(PAGE_LIBRARIES "${PROJECT_BINARY_DIR}/page-libraries")
file(GLOB PAGE_LIBRARY_SOURCES CONFIGURE_DEPENDS "${PROJECT_SOURCE_DIR}/scripts/page-libraries/*")
list(APPEND PAGE_LIBRARY_SOURCES "${PROJECT_SOURCE_DIR}/scripts/npm-packages")
find_program(ESBUILD esbuild)
mark_as_advanced(ESBUILD)
if(NOT ESBUILD)
  message(FATAL_ERROR "esbuild is missing (on Debian the package esbuild)")
endif()

function(embed_page list_name)
  set(list "${${list_name}}")
  set(script ${PAGE_script})
  list(TRANSFORM script REPLACE "(.+)" "${PAGE}/\\1.js")
  set(style ${PAGE_style})
  list(TRANSFORM style REPLACE "(.+)" "${PAGE}/\\1.css")
  set(frame "${PAGE}/page.html")
  set(text_en "${PAGE}/text.en.json")
  set(text_es "${PAGE}/text.es.json")
  set(d3 "${PAGE_LIBRARIES}/d3.js")
  set(three "${PAGE_LIBRARIES}/three.js")
  add_custom_command(OUTPUT "${d3}" "${three}"
    COMMAND "${PROJECT_SOURCE_DIR}/scripts/page-libraries/bundle" "${PAGE_LIBRARIES}"
    DEPENDS ${PAGE_LIBRARY_SOURCES} VERBATIM)
  set(worker "${PAGE}/live/worker.js")
  foreach(part IN ITEMS script style frame text_en text_es d3 three worker)
    set(whole "${PROJECT_BINARY_DIR}/embedded/page.${part}")
    set(output "${PROJECT_BINARY_DIR}/embedded/page_${part}.c")
    add_custom_command(OUTPUT "${output}" BYPRODUCTS "${whole}"
      COMMAND "${CMAKE_COMMAND}" -E cat ${${part}} > "${whole}"
      COMMAND "${CMAKE_COMMAND}" "-DINPUT=${whole}" "-DOUTPUT=${output}" "-DNAME=page_${part}" -DSHA256=ON
              -P "${PROJECT_SOURCE_DIR}/scripts/embed.cmake"
      DEPENDS ${${part}} "${PROJECT_SOURCE_DIR}/scripts/embed.cmake" VERBATIM)
    list(APPEND list "${output}")
  endforeach()
  set(${list_name} "${list}" PARENT_SCOPE)
endfunction()
