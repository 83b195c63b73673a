# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

# Writes the table of plausible animals as a C header, each as the text of its numbers, which takes half as much space:
#   cmake -D ANIMALS=plausible_animals.tsv -D NUMBERS=species_table.c -D OUTPUT=plausible_table.h -P embed_animals.cmake
# Fails if a row has too few or too many values, or if a number of the species has no column.
cmake_minimum_required(VERSION 3.20)
file(STRINGS ${ANIMALS} rows)
list(POP_FRONT rows header)
string(REPLACE "\t" ";" columns "${header}")
list(LENGTH columns n_columns)

file(STRINGS ${NUMBERS} numbers REGEX "ROW\\(\"[a-z0-9_]+\"")
list(TRANSFORM numbers REPLACE ".*ROW\\(\"([a-z0-9_]+)\".*" "\\1")
foreach(name IN LISTS numbers ITEMS weight_without_june)
  if(NOT name IN_LIST columns)
    message(FATAL_ERROR "${ANIMALS} has no column ${name}: calibrate the plausible animals again")
  endif()
endforeach()

set(values "")
set(line_number 1)
foreach(row IN LISTS rows)
  math(EXPR line_number "${line_number} + 1")
  string(REGEX MATCHALL "\t" tabs "${row}")
  list(LENGTH tabs n_tabs)
  math(EXPR n_values "${n_tabs} + 1")
  if(NOT n_values EQUAL n_columns OR NOT row MATCHES "^[-+.0-9eE\t]+$" OR row MATCHES "(^|\t)(\t|$)")
    message(FATAL_ERROR "${ANIMALS}, line ${line_number}: not ${n_columns} numbers separated by tabs")
  endif()
  string(REPLACE "\t" " " row "${row}")
  string(APPEND values "    \"${row}\",\n")
endforeach()

list(LENGTH rows n_rows)
string(REPLACE "\t" "\", \"" names "${header}")
file(WRITE ${OUTPUT} "/* Generated from src/species/plausible_animals.tsv. */\n"
  "#define N_PLAUSIBLE_ANIMALS ${n_rows}\n#define N_PLAUSIBLE_COLUMNS ${n_columns}\n"
  "static const char *const plausible_column[N_PLAUSIBLE_COLUMNS] = {\"${names}\"};\n"
  "static const char *const plausible_row[N_PLAUSIBLE_ANIMALS] = {\n${values}};\n")
