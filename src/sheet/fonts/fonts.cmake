# Gives the object library kerfmark_fonts: the fonts of the sheet, made at build time and embedded;
# and kerfmark_font_folder, where they lie. Needs the language ASM. KERFMARK_PYTHON is Debian's own
# interpreter, because a version manager's does not see python3-fonttools.
if(NOT DEFINED KERFMARK_PYTHON)
  set(KERFMARK_PYTHON /usr/bin/python3)
endif()

set(kerfmark_font_source_folder /usr/share/fonts/truetype/dejavu)
find_file(KERFMARK_FONT_REGULAR DejaVuSans.ttf PATHS ${kerfmark_font_source_folder} REQUIRED)
find_file(KERFMARK_FONT_BOLD DejaVuSans-Bold.ttf PATHS ${kerfmark_font_source_folder} REQUIRED)
mark_as_advanced(KERFMARK_FONT_REGULAR KERFMARK_FONT_BOLD)

execute_process(
  COMMAND ${KERFMARK_PYTHON} -c "import fontTools.subset"
  RESULT_VARIABLE kerfmark_fonttools_status
  OUTPUT_QUIET ERROR_QUIET)
if(NOT kerfmark_fonttools_status EQUAL 0)
  message(FATAL_ERROR "${KERFMARK_PYTHON} has no fontTools: install python3-fonttools")
endif()

set(kerfmark_font_folder ${CMAKE_CURRENT_BINARY_DIR}/fonts)
file(MAKE_DIRECTORY ${kerfmark_font_folder})
set(kerfmark_font_files
  ${kerfmark_font_folder}/kerfmark-sans.ttf
  ${kerfmark_font_folder}/kerfmark-sans.metrics
  ${kerfmark_font_folder}/kerfmark-sans-bold.ttf
  ${kerfmark_font_folder}/kerfmark-sans-bold.metrics)

add_custom_command(
  OUTPUT ${kerfmark_font_files}
  COMMAND ${KERFMARK_PYTHON} ${CMAKE_CURRENT_LIST_DIR}/make_font.py
          ${KERFMARK_FONT_REGULAR} ${KERFMARK_FONT_BOLD} ${kerfmark_font_folder}
  DEPENDS ${CMAKE_CURRENT_LIST_DIR}/make_font.py ${KERFMARK_FONT_REGULAR} ${KERFMARK_FONT_BOLD}
  COMMENT "Making the fonts of the sheet"
  VERBATIM)

# .incbin leaves no trace in dependency files, so the bytes are named as dependencies here.
set(kerfmark_font_bytes ${CMAKE_CURRENT_LIST_DIR}/fonts.S)
if(KERFMARK_PAGE)
  set(kerfmark_font_bytes ${PROJECT_SOURCE_DIR}/src/page/fonts_wasm.S)
endif()
set_source_files_properties(${kerfmark_font_bytes}
  PROPERTIES OBJECT_DEPENDS "${kerfmark_font_files}")
add_library(kerfmark_fonts OBJECT ${kerfmark_font_bytes})
target_include_directories(kerfmark_fonts PRIVATE ${kerfmark_font_folder})
