"use strict";
// Unpacks the script of the page and runs it; the policy allows it by its hash. Old browsers run this, too, and keep the
// sentence that stands in the page.

// Reads a text of base64 (RFC 4648) and gzip (RFC 1952); promises a Response.
function unpacked(id) {
  var letters = atob(document.getElementById(id).textContent.trim()), bytes = new Uint8Array(letters.length);
  for (var i = 0; i < bytes.length; i++) bytes[i] = letters.charCodeAt(i);
  return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("gzip")));
}

if (window.WebAssembly && window.DecompressionStream && window.CSS && CSS.escape) {
  document.getElementById("old").hidden = true;
  unpacked("script").text().then(function (text) {
    var script = document.createElement("script");
    script.textContent = text;
    document.body.appendChild(script);
  });
}
