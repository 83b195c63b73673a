/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

/*
 * The notices of the libraries that the page contains. A test compares the list with what scripts/build-page links.
 */
#include "browser/notices.h"

#include <stddef.h>

/* clang-format off */
#define MIT \
    "Permission is hereby granted, free of charge, to any person obtaining a copy of this software and " \
    "associated documentation files (the \"Software\"), to deal in the Software without restriction, " \
    "including without limitation the rights to use, copy, modify, merge, publish, distribute, " \
    "sublicense, and/or sell copies of the Software, and to permit persons to whom the Software is " \
    "furnished to do so, subject to the following conditions:\n\n" \
    "The above copyright notice and this permission notice shall be included in all copies or substantial " \
    "portions of the Software.\n\n" \
    "THE SOFTWARE IS PROVIDED \"AS IS\", WITHOUT WARRANTY OF ANY KIND, EXPRESS OR IMPLIED, INCLUDING BUT " \
    "NOT LIMITED TO THE WARRANTIES OF MERCHANTABILITY, FITNESS FOR A PARTICULAR PURPOSE AND " \
    "NONINFRINGEMENT. IN NO EVENT SHALL THE AUTHORS OR COPYRIGHT HOLDERS BE LIABLE FOR ANY CLAIM, DAMAGES " \
    "OR OTHER LIABILITY, WHETHER IN AN ACTION OF CONTRACT, TORT OR OTHERWISE, ARISING FROM, OUT OF OR IN " \
    "CONNECTION WITH THE SOFTWARE OR THE USE OR OTHER DEALINGS IN THE SOFTWARE."

#define BSD_2 \
    "Redistribution and use in source and binary forms, with or without modification, are permitted " \
    "provided that the following conditions are met: 1. Redistributions of source code must retain the " \
    "above copyright notice, this list of conditions and the following disclaimer. 2. Redistributions in " \
    "binary form must reproduce the above copyright notice, this list of conditions and the following " \
    "disclaimer in the documentation and/or other materials provided with the distribution.\n\n" \
    "THIS SOFTWARE IS PROVIDED BY THE COPYRIGHT HOLDERS AND CONTRIBUTORS \"AS IS\" AND ANY EXPRESS OR " \
    "IMPLIED WARRANTIES, INCLUDING, BUT NOT LIMITED TO, THE IMPLIED WARRANTIES OF MERCHANTABILITY AND " \
    "FITNESS FOR A PARTICULAR PURPOSE ARE DISCLAIMED. IN NO EVENT SHALL THE COPYRIGHT OWNER OR " \
    "CONTRIBUTORS BE LIABLE FOR ANY DIRECT, INDIRECT, INCIDENTAL, SPECIAL, EXEMPLARY, OR CONSEQUENTIAL " \
    "DAMAGES (INCLUDING, BUT NOT LIMITED TO, PROCUREMENT OF SUBSTITUTE GOODS OR SERVICES; LOSS OF USE, " \
    "DATA, OR PROFITS; OR BUSINESS INTERRUPTION) HOWEVER CAUSED AND ON ANY THEORY OF LIABILITY, WHETHER " \
    "IN CONTRACT, STRICT LIABILITY, OR TORT (INCLUDING NEGLIGENCE OR OTHERWISE) ARISING IN ANY WAY OUT OF " \
    "THE USE OF THIS SOFTWARE, EVEN IF ADVISED OF THE POSSIBILITY OF SUCH DAMAGE."
/* clang-format on */

static const struct wg_notice notices[] = {
    {"wintergrub", "GPL-3.0-or-later",
     "Copyright the wintergrub authors. This program is free software: you may redistribute it and modify it under the "
     "terms of the GNU General Public License, version 3 or later. It comes without any warranty. The licence and the "
     "sources come with the program; `wintergrub page` of the same version writes this page."},
    {"GNU Scientific Library 2.7.1", "GPL-3.0-or-later",
     "Copyright (C) 1996-2021 the authors of the GNU Scientific Library. Parts of it (generators, distributions, "
     "special "
     "functions), unchanged, under the GNU General Public License, version 3 or later."},
    {"libfyaml 0.7.12", "MIT",
     "Copyright (c) 2019-2022 Pantelis Antoniou. Its list macros come from the Linux kernel.\n\n" MIT},
    {"xxHash (in libfyaml)", "BSD-2-Clause", "Copyright (C) 2012-2014 Yann Collet.\n\n" BSD_2},
    {"Jansson 2.14", "MIT", "Copyright (c) 2009-2020 Petri Lehtinen; 2011-2012 Basile Starynkevitch.\n\n" MIT},
    {"wasi-libc", "Apache-2.0 WITH LLVM-exception AND MIT",
     "Copyright the wasi-libc contributors; parts of musl, copyright (c) 2005-2020 Rich Felker et al.; parts of "
     "cloudlibc, copyright (c) 2015-2017 Nuxi and contributors (BSD-2-Clause).\n\n" MIT},
    {"LLVM compiler-rt", "Apache-2.0 WITH LLVM-exception",
     "Helper functions of the compiler, of the LLVM project, under the Apache License 2.0 with LLVM exceptions."},
    {.name = NULL},
};

const struct wg_notice *wg_notices(void) {
    return notices;
}
