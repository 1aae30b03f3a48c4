# Manual pages and completion, made from what the program says of itself (scripts/man-page, scripts/completion). Without
# scdoc there are no manual pages.

# Date of the version, from the first heading of the list of changes; it also makes two builds alike.
file(STRINGS "${PROJECT_SOURCE_DIR}/docs/changelog.md" heading REGEX "^## " LIMIT_COUNT 1)
if(NOT heading MATCHES "^## ([0-9.]+) \\(([0-9-]+)\\)$" OR NOT CMAKE_MATCH_1 STREQUAL PROJECT_VERSION)
  message(FATAL_ERROR "docs/changelog.md begins with '${heading}', expected '## ${PROJECT_VERSION} (date)'")
endif()
set(DRUPELET_DATE "${CMAKE_MATCH_2}")

if(CMAKE_CROSSCOMPILING OR DRUPELET_SANITIZE) # the program has to run, and as itself
  return()
endif()
set(manual "${PROJECT_BINARY_DIR}/manual")
file(MAKE_DIRECTORY "${manual}")
find_program(SCDOC scdoc)
find_program(GZIP gzip)
file(STRINGS "${PROJECT_SOURCE_DIR}/sim/cli/main.c" rows REGEX "^    {\"[a-z]+\", \"drupelet [a-z]+\"")
set(commands "")
foreach(row IN LISTS rows)
  string(REGEX REPLACE "^    {\"([a-z]+)\".*" "\\1" command "${row}")
  list(APPEND commands ${command})
endforeach()

set(manual_files "")
function(add_page name program)
  add_custom_command(OUTPUT "${manual}/${name}.1.gz"
    COMMAND "${PROJECT_SOURCE_DIR}/scripts/man-page" "$<TARGET_FILE:${program}>" ${ARGN} --name ${name}
            > "${manual}/${name}.scd"
    COMMAND sh -c "SOURCE_DATE_EPOCH=$(date -u -d ${DRUPELET_DATE} +%s) '${SCDOC}' <${name}.scd | '${GZIP}' -9n >${name}.1.gz"
    DEPENDS ${program} "${PROJECT_SOURCE_DIR}/scripts/man-page" WORKING_DIRECTORY "${manual}" VERBATIM)
  set(manual_files ${manual_files} "${manual}/${name}.1.gz" PARENT_SCOPE)
endfunction()
if(SCDOC AND GZIP)
  add_page(drupelet drupelet_program)
  foreach(command IN LISTS commands)
    add_page(drupelet-${command} drupelet_program ${command})
  endforeach()
  install(DIRECTORY "${manual}/" DESTINATION "${CMAKE_INSTALL_MANDIR}/man1" COMPONENT program
    FILES_MATCHING PATTERN "*.1.gz" PATTERN "drupelet-mpi*" EXCLUDE)
  if(TARGET drupelet_mpi)
    add_page(drupelet-mpi drupelet_mpi)
    install(FILES "${manual}/drupelet-mpi.1.gz" DESTINATION "${CMAKE_INSTALL_MANDIR}/man1" COMPONENT mpi)
  endif()
endif()

foreach(shell IN ITEMS bash zsh)
  add_custom_command(OUTPUT "${manual}/completion.${shell}"
    COMMAND "${PROJECT_SOURCE_DIR}/scripts/completion" ${shell} "$<TARGET_FILE:drupelet_program>"
            > "${manual}/completion.${shell}"
    DEPENDS drupelet_program "${PROJECT_SOURCE_DIR}/scripts/completion" VERBATIM)
  list(APPEND manual_files "${manual}/completion.${shell}")
endforeach()
install(FILES "${manual}/completion.bash" RENAME drupelet COMPONENT program
  DESTINATION "${CMAKE_INSTALL_DATADIR}/bash-completion/completions")
# zsh looks in vendor-completions for what packages bring, below /usr/local only in site-functions
string(COMPARE EQUAL "${CMAKE_INSTALL_PREFIX}" "/usr" is_package)
install(FILES "${manual}/completion.zsh" RENAME _drupelet COMPONENT program
  DESTINATION "${CMAKE_INSTALL_DATADIR}/zsh/$<IF:${is_package},vendor-completions,site-functions>")
add_custom_target(drupelet_manual ALL DEPENDS ${manual_files})
