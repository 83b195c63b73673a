/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

"use strict";
// What the lesson needs of the page around it, where that page is only the lesson.

const root = document;

// The C library imports file functions for its error messages; 8 is EBADF in WASI.
const noFiles = { fd_close: () => 8, fd_fdstat_get: () => 8, fd_seek: () => 8, fd_write: () => 8 };

async function openModel() {
  const text = atob(document.getElementById("model").textContent.trim());
  const bytes = Uint8Array.from(text, (c) => c.charCodeAt(0));
  const { instance } = await WebAssembly.instantiate(bytes, { wasi_snapshot_preview1: noFiles });
  instance.exports._initialize();
  return instance.exports;
}
