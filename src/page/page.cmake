# The page: the bridge and the core as one WebAssembly module, packed with its shell into one file.
set(kerfmark_page_sources bridge.cpp exports.cpp)
list(TRANSFORM kerfmark_page_sources PREPEND ${CMAKE_CURRENT_LIST_DIR}/)
add_executable(kerfmark_page ${kerfmark_page_sources})
target_link_libraries(kerfmark_page PRIVATE kerfmark_options kerfmark::job kerfmark::report kerfmark::sheet
                                            nlohmann_json::nlohmann_json)
target_include_directories(kerfmark_page PRIVATE ${PROJECT_BINARY_DIR}/generated)
set_target_properties(kerfmark_page PROPERTIES OUTPUT_NAME kerfmark SUFFIX .wasm)

file(GLOB kerfmark_shell CONFIGURE_DEPENDS src/page/shell/*)
add_custom_command(
  OUTPUT ${PROJECT_BINARY_DIR}/kerfmark.html
  COMMAND ${KERFMARK_PYTHON} -B ${PROJECT_SOURCE_DIR}/src/page/pack.py ${PROJECT_SOURCE_DIR}/src/page/shell
          $<TARGET_FILE:kerfmark_page> ${PROJECT_BINARY_DIR}/kerfmark.html ${PROJECT_SOURCE_DIR} ${PROJECT_SOURCE_DIR}/build/page-sources
  DEPENDS kerfmark_page src/page/pack.py ${kerfmark_shell} ${kerfmark_languages}
  VERBATIM)
add_custom_target(page ALL DEPENDS ${PROJECT_BINARY_DIR}/kerfmark.html)
