// Between jobs: what can be chosen, a search through it, and the way of a press to the bay. A job that is pressed is read
// back by the bay, and begins by a second press. All that comes is put in as text.
"use strict";

var between = (function () {
  var picture = null;
  var drawn = "";
  var card = "";
  var edited = false;

  function at(id) { return document.getElementById(id); }

  function show(id, wanted) { if (at(id)) { at(id).hidden = !wanted; } }

  function element(name, text, kind) {
    var made = document.createElement(name);
    made.textContent = text;
    if (kind) { made.className = kind; }
    return made;
  }

  function canPress() { return Boolean(at("idle-buttons")); }

  function draw(now) {
    var idle = now.mode === "idle" ? now.idle : null;
    picture = now;
    show("idle", idle);
    ["next", "progress"].forEach(function (id) { // nothing comes next, and nothing is half done
      var place = at(id);
      while (place.tagName !== "DIV") { place = place.parentNode; }
      place.hidden = Boolean(idle);
    });
    document.body.setAttribute("data-between", idle ? idle.asks ? "asks" : "waits" : "");
    if (!idle) { forget(); return; }
    drawCard(idle.card);
    var key = JSON.stringify(idle);
    if (key === drawn) { return; }
    drawn = key;
    var focused = document.activeElement && document.activeElement.getAttribute("data-key");
    at("idle-answer").textContent = "";
    list("idle-rows", idle.asks ? [] : idle.rows, function (row) {
      return entry(row, row.number + ": " + row.title, "row_number", String(row.number));
    });
    drawRecord(idle.asks ? null : idle.record);
    show("idle-choose", !idle.asks);
    list("idle-people", idle.people, person);
    show("idle-who", idle.people.length);
    list("idle-jobs", idle.jobs, function (row) { return entry(row, row.title, "resume_job", row.key); });
    list("idle-procedures", idle.procedures, function (row) {
      return entry(row, row.title, row.starts ? "start_job" : "", row.key);
    });
    list("idle-buttons", idle.buttons, function (one) { return button(one.name, one.button, one.value); });
    search();
    arming.arm(idle.asks && at("idle-buttons") ? at("idle-buttons").firstElementChild : null);
    focus(idle, focused);
  }

  // Whoever works by keyboard stays where he was, and a question begins at what does nothing.
  function focus(idle, key) {
    var first = idle.asks ? "cancel " : key;
    if (!key) { return; }
    [].slice.call(document.querySelectorAll("#idle [data-key]")).some(function (one) {
      if (one.getAttribute("data-key") !== first) { return false; }
      one.focus();
      return true;
    });
  }

  function list(id, items, make) {
    var parent = at(id);
    if (!parent) { return; }
    parent.textContent = "";
    items.forEach(function (item) { parent.appendChild(make(item)); });
    show(id, items.length > 0);
  }

  function button(text, name, value) {
    var made = element("button", text);
    made.type = "button";
    made.setAttribute("data-key", name + " " + value);
    made.addEventListener("click", function () { choose(name, value); });
    return made;
  }

  function entry(row, text, name, value) {
    var item = element("li", "", row.chosen ? "chosen" : "");
    item.setAttribute("data-words", (row.title + " " + row.more).toUpperCase());
    var line = item.appendChild(canPress() && name ? button("", name, value) : element("span", "", "line"));
    line.appendChild(element("b", text));
    if (row.more) { line.appendChild(element("span", row.more, "more")); }
    if (row.chosen) { line.setAttribute("aria-current", "true"); }
    return item;
  }

  function person(one) {
    var made = button(one.name, "works", one.name);
    made.setAttribute("aria-pressed", String(one.now));
    return made;
  }

  function drawRecord(record) {
    show("idle-record", record);
    if (!record) { return; }
    var links = at("idle-record").querySelectorAll("a");
    links[0].href = record.address + "?list=display"; // the way back from it
    links[0].textContent = record.name;
    links[1].href = record.pdf;
    links[1].textContent = record.pdf_name;
  }

  // What a code or another page gave stands in the fields; what is being written there stays.
  function drawCard(now) {
    var key = JSON.stringify(now);
    if (!at("idle-card") || key === card) { return; }
    if (card || now.asset || now.customer) {
      at("idle-asset").value = now.asset;
      at("idle-customer").value = now.customer;
      edited = false;
    }
    card = key;
  }

  function forget() {
    drawn = "";
    card = "";
    edited = false;
    at("idle-search").value = "";
    if (!at("idle-card")) { return; }
    at("idle-asset").value = "";
    at("idle-customer").value = "";
  }

  // Every word must be in the title or in what stands below it.
  function search() {
    var words = at("idle-search").value.toUpperCase().split(/\s+/).filter(Boolean);
    var found = ["idle-jobs", "idle-procedures"].reduce(function (sum, id) {
      var items = [].slice.call(at(id).children), here = 0;
      items.forEach(function (item) {
        var fits = words.every(function (word) { return item.getAttribute("data-words").indexOf(word) >= 0; });
        item.hidden = !fits;
        here += fits ? 1 : 0;
      });
      show(id + "-part", here > 0);
      return sum + here;
    }, 0);
    at("idle-found").textContent = words.length ? found ? found + " found" : "Nothing is found." : "";
  }

  function choose(name, value) {
    var given = { button: name, value: value, boot: picture.boot, seq: picture.seq };
    if (name === "start_job" && edited) {
      given.asset = at("idle-asset").value;
      given.customer = at("idle-customer").value;
    }
    at("idle-answer").textContent = "";
    fetch("/idle", {
      method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(given)
    }).then(function (answer) {
      if (!answer.ok) { at("idle-answer").textContent = "Not taken: look again, then press again."; }
    }, function () {
      at("idle-answer").textContent = "Not taken: no connection.";
    });
  }

  at("idle-search").addEventListener("input", search);
  if (at("idle-card")) { at("idle-card").addEventListener("input", function () { edited = true; }); }
  return { draw: draw, choose: choose };
})();
