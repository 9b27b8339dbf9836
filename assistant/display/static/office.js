// The pages of the office follow the central store: when there is something newer, what changed is put in its place, and
// whoever types in the search, or reads further down, stays where he is.
"use strict";

(function () {
  var STALE_MS = 6000;
  var AGAIN_MS = 3000;
  var source = null;
  var shown = "";
  var heardAt = Date.now();
  var triedAt = 0;
  var fetching = false;

  function put(text) {
    var page = new DOMParser().parseFromString(text, "text/html");
    ["live", "found", "trouble"].forEach(function (id) {
      var now = document.getElementById(id);
      var then = page.getElementById(id);
      if (now && then && now.innerHTML !== then.innerHTML) { now.innerHTML = then.innerHTML; }
    });
  }

  function renew(key) {
    if (fetching || key === shown) { return; }
    fetching = true;
    fetch(location.href, { credentials: "same-origin" }).then(function (answer) {
      return answer.ok ? answer.text() : "";
    }).then(function (text) {
      fetching = false;
      if (text) { put(text); shown = key; }
    }).catch(function () { fetching = false; });
  }

  function connect() {
    if (source) { source.close(); }
    triedAt = Date.now();
    source = new EventSource("/events");
    source.addEventListener("ear", function () { heardAt = Date.now(); });
    source.addEventListener("picture", function (event) {
      var told = JSON.parse(event.data);
      heardAt = Date.now();
      renew(told.boot + " " + told.seq);
    });
  }

  function look() {
    if (Date.now() - heardAt <= STALE_MS) { return; }
    document.getElementById("trouble").textContent = "This page is not updating: the office does not answer. It tries again.";
    shown = "";
    if (Date.now() - triedAt > AGAIN_MS) { connect(); }
  }

  connect();
  setInterval(look, 1000);
})();
