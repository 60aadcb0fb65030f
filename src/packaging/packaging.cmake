# What is installed, the Debian package, and how it goes away again.
include(GNUInstallDirs)
find_program(KERFMARK_GZIP gzip REQUIRED)
mark_as_advanced(KERFMARK_GZIP)

# Pages and changelog are installed as Debian wants them, compressed without name or time of the file.
function(kerfmark_compress file)
  add_custom_command(
    OUTPUT ${file}.gz
    COMMAND ${KERFMARK_GZIP} -9 --no-name --keep --force ${file}
    DEPENDS ${file}
    VERBATIM)
endfunction()

install(TARGETS kerfmark)
set(compressed)
foreach(page IN LISTS kerfmark_man_pages)
  kerfmark_compress(${page})
  list(APPEND compressed ${page}.gz)
  string(REGEX MATCH "[0-9]$" section ${page})
  install(FILES ${page}.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man${section})
endforeach()

# The page for a browser has a build of its own, with another compiler (demo/page): installed where it was made. (OPTIONAL
# would leave an empty folder where it was not.)
install(CODE "
  set(page \"${PROJECT_SOURCE_DIR}/build/page/kerfmark.html\")
  if(EXISTS \"\${page}\")
    file(INSTALL DESTINATION \"\${CMAKE_INSTALL_PREFIX}/${CMAKE_INSTALL_DATADIR}/kerfmark\" TYPE FILE FILES \"\${page}\")
  endif()")

# Each shell looks for completions where its package in Debian says.
install(FILES src/packaging/completions/kerfmark.bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions
        RENAME kerfmark)
install(FILES src/packaging/completions/_kerfmark DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/vendor-completions)
install(FILES src/packaging/completions/kerfmark.fish DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d)

# Licences travel with the program: its own, its font's, and those of what is linked into it, as Debian states them.
file(READ LICENSE kerfmark_licence)
file(READ src/sheet/fonts/LICENSE kerfmark_font_licence)
set(kerfmark_other_licences)
foreach(package libcli11-dev nlohmann-json3-dev libutf8proc-dev libmd-dev libsqlite3-dev)
  if(EXISTS /usr/share/doc/${package}/copyright)
    file(READ /usr/share/doc/${package}/copyright text)
    string(APPEND kerfmark_other_licences "\n${package}\n\n${text}")
  endif()
endforeach()
configure_file(src/packaging/copyright.in packaging/copyright @ONLY)

set(kerfmark_address kerfmark@kerfmark.invalid)  # nobody's, by RFC 2606
string(TIMESTAMP kerfmark_day "%a, %d %b %Y %H:%M:%S +0000" UTC)  # of SOURCE_DATE_EPOCH where that is set
configure_file(src/packaging/changelog.in packaging/changelog @ONLY)
kerfmark_compress(${PROJECT_BINARY_DIR}/packaging/changelog)
list(APPEND compressed ${PROJECT_BINARY_DIR}/packaging/changelog.gz)
add_custom_target(kerfmark_compressed ALL DEPENDS ${compressed})
install(FILES README.md ${PROJECT_BINARY_DIR}/packaging/copyright ${PROJECT_BINARY_DIR}/packaging/changelog.gz
        DESTINATION ${CMAKE_INSTALL_DOCDIR})

add_custom_target(
  uninstall
  COMMAND ${CMAKE_COMMAND} -D MANIFEST=${PROJECT_BINARY_DIR}/install_manifest.txt -P
          ${PROJECT_SOURCE_DIR}/src/packaging/uninstall.cmake
  VERBATIM)

# ---- the Debian package ----
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_CONTACT "the kerfmark authors <${kerfmark_address}>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "plans one irreversible cut of a seatpost or a fork steerer")
set(CPACK_PACKAGE_DESCRIPTION
    "kerfmark takes what was measured on a bicycle and what the makers say, and\n\
answers whether and how much to cut off a seatpost or a fork steerer, with the\n\
doubt of the measurements counted against the part. It prints a report, a sheet\n\
for the bench and JSON, and keeps a register of cuts.")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ
                                                WORLD_EXECUTE)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_SUGGESTS libpq5)  # for who has a register on a server
set(CPACK_DEBIAN_PACKAGE_SECTION utils)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)
include(CPack)
