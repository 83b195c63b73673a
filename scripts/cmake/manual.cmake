# SPDX-FileCopyrightText: 2026 the wintergrub authors
# SPDX-License-Identifier: GPL-3.0-or-later

# Writes the manual pages and completions with the program itself:
#   cmake -D PROGRAM=wintergrub -D FOLDER=folder -D "COMMANDS=run;check" -P manual.cmake
function(written name)
  execute_process(COMMAND ${PROGRAM} ${ARGN} OUTPUT_FILE ${FOLDER}/${name} COMMAND_ERROR_IS_FATAL ANY)
endfunction()

file(MAKE_DIRECTORY ${FOLDER})
written(wintergrub.1 help --man)
foreach(command IN LISTS COMMANDS)
  written(wintergrub-${command}.1 help ${command} --man)
endforeach()
written(wintergrub-plan.5 help scenario --man)
written(wintergrub-numbers.7 help numbers --man)
written(wintergrub.bash completion bash)
written(wintergrub.zsh completion zsh)
written(wintergrub.fish completion fish)
