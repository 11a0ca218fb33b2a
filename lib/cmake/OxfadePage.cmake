# Puts the files of the HTML report into one source file: template, style, script, the licence of what is
# vendored, and the summary of validation/table.md. Needs no tool but CMake.
#
#   cmake -DFOLDER=lib/src/report/html -DVALIDATION=validation/table.md -DOUTPUT=assets.cpp -P OxfadePage.cmake

cmake_minimum_required(VERSION 3.22)

# In this order: later files use what earlier ones define.
set(SCRIPTS base colour runs tables plan map signs clock plots timeline answer watch rest compare sweep fit commission main)

# SHA-256 of a text in base64, as a content policy wants it.
function(digest_of text result)
    string(SHA256 hex "${text}")
    set(letters ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/)
    string(APPEND hex "00")  # 32 bytes and one of padding: 22 groups of 12 bits
    set(base64 "")
    foreach(group RANGE 21)
        math(EXPR begin "3 * ${group}")
        string(SUBSTRING "${hex}" ${begin} 3 part)
        math(EXPR value "0x${part}")
        math(EXPR high "${value} >> 6")
        math(EXPR low "${value} & 63")
        string(SUBSTRING "${letters}" ${high} 1 one)
        string(SUBSTRING "${letters}" ${low} 1 two)
        string(APPEND base64 "${one}${two}")
    endforeach()
    string(SUBSTRING "${base64}" 0 43 base64)
    set(${result} "${base64}=" PARENT_SCOPE)
endfunction()

file(READ "${FOLDER}/page/page.html" PAGE_TEXT)
file(READ "${FOLDER}/vendor/uplot/uPlot.min.css" STYLE_TEXT)
file(READ "${FOLDER}/page/style.css" style)
string(APPEND STYLE_TEXT "\n${style}")
file(READ "${FOLDER}/vendor/uplot/uPlot.iife.min.js" SCRIPT_TEXT)
string(APPEND SCRIPT_TEXT "\n(() => {\n\"use strict\";\n")
foreach(name IN LISTS SCRIPTS)
    file(READ "${FOLDER}/page/${name}.js" part)
    string(APPEND SCRIPT_TEXT "\n${part}")
endforeach()
string(APPEND SCRIPT_TEXT "})();\n")
file(READ "${FOLDER}/vendor/uplot/LICENSE" LICENCE_TEXT)

set(VALIDATION_TEXT "")
if(EXISTS "${VALIDATION}")  # a source distribution of the Python package comes without it
    file(READ "${VALIDATION}" VALIDATION_TEXT)
    string(FIND "${VALIDATION_TEXT}" "\n## " end)
    string(SUBSTRING "${VALIDATION_TEXT}" 0 ${end} VALIDATION_TEXT)
endif()

digest_of("${STYLE_TEXT}" STYLE_DIGEST)
digest_of("${SCRIPT_TEXT}" SCRIPT_DIGEST)
configure_file("${FOLDER}/assets.cpp.in" "${OUTPUT}" @ONLY)
