/* SPDX-FileCopyrightText: 2026 the wintergrub authors
 * SPDX-License-Identifier: GPL-3.0-or-later */

"use strict";
// Unpacks the rest of the page: the lesson's parts, the source of workers, examples, and the script, which the policy allows by
// its hash. Old browsers run this, too, and keep the sentence that stands in the page.

// Reads the digits of base 85, of which five are four bytes. Vowels but U are left out, so that they spell no word, nor a tag.
function bytesOf(text) {
  var digits = "0123456789BCDFGHJKLMNPQRSTVWXYZUbcdfghjklmnpqrstvwxyz!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~", value = new Uint8Array(128);
  for (var d = 0; d < 85; d++) value[digits.charCodeAt(d)] = d;
  var n = Math.ceil(text.length / 5), view = new DataView(new ArrayBuffer(4 * n));
  for (var k = 0; k < n; k++) {
    for (var sum = 0, i = 5 * k; i < 5 * k + 5; i++) sum = 85 * sum + (i < text.length ? value[text.charCodeAt(i)] : 84);
    view.setUint32(4 * k, sum);
  }
  return new Uint8Array(view.buffer, 0, text.length - n);
}

// Reads a block of packed data; promises a Response. Its gzip is RFC 1952.
function unpacked(id) {
  var bytes = bytesOf(document.getElementById(id).textContent.trim());
  return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip")));
}

// A script that a parser made without a page never runs: it is made anew.
function placed(node) {
  if (node.nodeName !== "SCRIPT" || node.type) return document.adoptNode(node);
  var script = document.createElement("script");
  script.textContent = node.textContent;
  return script;
}

if (window.WebAssembly && window.DecompressionStream && window.CSS && CSS.escape) {
  document.getElementById("old").hidden = true;
  unpacked("rest").text().then(function (text) {
    var rest = new DOMParser().parseFromString(text, "text/html");
    rest.querySelectorAll("template, script").forEach(function (node) { document.body.appendChild(placed(node)); });
  });
}
