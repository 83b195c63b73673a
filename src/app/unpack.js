"use strict";
// Unpacks the rest of the page: the lesson's parts, the source of workers, examples, and the script, which the policy allows by
// its hash. Old browsers run this, too, and keep the sentence that stands in the page.

// Reads a text of base64 (RFC 4648) and gzip (RFC 1952); promises a Response.
function unpacked(id) {
  var letters = atob(document.getElementById(id).textContent.trim()), bytes = new Uint8Array(letters.length);
  for (var i = 0; i < bytes.length; i++) bytes[i] = letters.charCodeAt(i);
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
