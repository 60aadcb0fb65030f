# The libraries of others as the page has them: from Debian's sources (fetch_sources), compiled with its own compiler.
enable_language(C)
set(sources ${PROJECT_SOURCE_DIR}/build/page-sources)
if(NOT EXISTS ${sources}/libharu/src)
  message(FATAL_ERROR "the sources of the libraries are not here: src/page/fetch_sources ${sources} brings them")
endif()

function(kerfmark_from_source name)
  cmake_parse_arguments(PARSE_ARGV 1 arg "" "" "SOURCES;INCLUDE;DEFINE;LINK")
  add_library(page_${name} STATIC ${arg_SOURCES})
  add_library(${name}::${name} ALIAS page_${name})
  target_include_directories(page_${name} SYSTEM PUBLIC ${arg_INCLUDE})
  target_compile_definitions(page_${name} PUBLIC ${arg_DEFINE})
  target_compile_options(page_${name} PRIVATE -w)
  target_link_libraries(page_${name} PRIVATE ${arg_LINK})
endfunction()

file(GLOB zlib_sources ${sources}/zlib/*.c)
list(FILTER zlib_sources EXCLUDE REGEX "/gz[a-z]*\\.c$")
kerfmark_from_source(zlib SOURCES ${zlib_sources} INCLUDE ${sources}/zlib)

# hpdf_version.h names the release in every PDF: the one of Debian's package, so that the page's sheets say the same. The library
# looks for it beside its other headers first.
set(page_headers ${PROJECT_BINARY_DIR}/headers)
file(COPY /usr/include/hpdf_version.h DESTINATION ${sources}/libharu/include)
file(COPY /usr/include/hpdf_config.h DESTINATION ${page_headers})
file(GLOB hpdf_sources ${sources}/libharu/src/*.c)
kerfmark_from_source(hpdf SOURCES ${hpdf_sources} INCLUDE ${page_headers} ${sources}/libharu/include
                     DEFINE LIBHPDF_HAVE_NOPNGLIB LINK zlib::zlib)

kerfmark_from_source(utf8proc SOURCES ${sources}/utf8proc/utf8proc.c INCLUDE ${sources}/utf8proc DEFINE UTF8PROC_STATIC)
file(WRITE ${page_headers}/config.h "")  # what libmd finds out of the system: nothing that SHA-256 needs
kerfmark_from_source(md SOURCES ${sources}/libmd/src/sha2.c
                     INCLUDE ${page_headers} ${sources}/libmd/include ${sources}/libmd/src)

# Headers alone; the page's own unit compiles what Debian's shared library has for the program.
file(COPY /usr/include/toml++ /usr/include/nlohmann DESTINATION ${page_headers})
set(page_toml toml.cpp)
kerfmark_from_source(tomlplusplus SOURCES ${CMAKE_CURRENT_LIST_DIR}/${page_toml} INCLUDE ${page_headers}
                     DEFINE TOML_HEADER_ONLY=0 TOML_EXCEPTIONS=0)
add_library(nlohmann_json::nlohmann_json INTERFACE IMPORTED)
target_include_directories(nlohmann_json::nlohmann_json SYSTEM INTERFACE ${page_headers})
