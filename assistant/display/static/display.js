// Follows the job. Everything that comes is put in as text; nothing is sent but the press of a button of the touch buttons.
"use strict";

(function () {
  var STALE_MS = 5000; // more than two beats of the server (assistant/display/stream.py)
  var AGAIN_MS = 2000;
  var source = null;
  var heardAt = 0; // when the server was heard last, by the clock that also runs while the machine sleeps
  var triedAt = 0;
  var picture = null;
  var shownAt = 0;
  var announced = "";

  function at(id) { return document.getElementById(id); }

  function put(id, text) {
    var element = at(id);
    if (element.textContent !== text) { element.textContent = text; }
  }

  function show(id, wanted) { at(id).hidden = !wanted; }

  function line(id, text) { put(id, text || ""); show(id, Boolean(text)); }

  function list(id, items, make) {
    var parent = at(id);
    parent.textContent = "";
    items.forEach(function (item) { parent.appendChild(make(item)); });
    show(id, items.length > 0);
  }

  function element(name, text, kind) {
    var made = document.createElement(name);
    made.textContent = text;
    if (kind) { made.className = kind; }
    return made;
  }

  // The picture

  function draw(now) {
    picture = now;
    shownAt = Date.now() - now.age_ms;
    var main = at("main");
    main.setAttribute("data-mode", now.mode);
    put("title", now.title);
    put("place", now.place);
    drawHazard(now.mode === "hazard" ? now.hazard : null);
    drawLarge(now);
    drawSide(now);
    line("notice", now.notice);
    drawHeard(now.heard);
    put("next", now.next);
    at("progress").max = Math.max(1, now.progress.of);
    at("progress").value = now.progress.done;
    put("progress-text", now.progress.text);
    document.title = now.place + " – " + now.title;
    drawTouch(now);
    drawTimers();
    fit(now);
    announce(now);
    main.setAttribute("data-seq", String(now.seq)); // last: who waits for it finds the whole picture
  }

  function drawHazard(hazard) {
    document.body.setAttribute("data-hazard", hazard ? hazard.word : "");
    show("hazard", hazard);
    show("large", !hazard);
    if (!hazard) { return; }
    put("word-text", hazard.word.toUpperCase());
    line("danger", hazard.hazard);
    line("consequence", hazard.consequence);
    line("avoid", hazard.avoid);
  }

  function drawLarge(now) {
    var working = now.mode === "work";
    var value = working ? now.value : null;
    var tighten = working ? now.tighten : null;
    var waits = working ? now.timers.filter(function (timer) { return timer.id === now.clock; })[0] : null;
    show("value", value);
    if (value) {
      put("number", value.number);
      put("unit", value.unit);
      put("note", value.note);
      at("value").className = value.unit === "°" ? "tight" : value.number.indexOf(" ") > 0 ? "range" : "";
    }
    show("clock", waits);
    put("headline", now.headline);
    at("headline").className = value || waits ? "small" : working && now.things.length ? "over" : "";
    var name = tighten ? tighten.group : waits ? waits.name : "";
    show("group", name);
    put("group-name", name);
    put("group-size", tighten ? tighten.size : "");
    line("setting", tighten ? tighten.setting : "");
    line("now", tighten ? tighten.now : "");
    list("hidden-bolts", tighten ? tighten.hidden : [], function (text) { return element("li", text); });
    list("things", working ? now.things : [], function (text) { return element("li", text); });
    line("step", now.mode === "work" ? "" : now.step);
    show("say", now.say);
    put("phrase", now.say);
  }

  function drawSide(now) {
    var tighten = now.mode === "hazard" ? null : now.tighten;
    line("stage", tighten ? tighten.stage : "");
    drawBolts(tighten);
    show("tool", now.tools.length > 0);
    put("tool-text", now.tools.join(", "));
    show("missing", now.missing);
    put("missing-text", now.missing);
  }

  // A known place is drawn; a bolt without one stands in the list. A square is "now", a full circle "done", a dashed one
  // "to do", a crossed one "left out"; the line below counts them in words.
  function drawBolts(tighten) {
    var bolts = tighten ? tighten.bolts : [];
    // A drawing cannot grow with the text, a list can.
    var placed = looks.percent() < 150 ? bolts.filter(function (bolt) { return bolt.at; }) : [];
    if (!drawMap(placed)) { placed = []; }
    line("counts", placed.length ? tighten.counts : "");
    var listed = bolts.filter(function (bolt) { return placed.indexOf(bolt) < 0; });
    var rows = runs(listed, listed.length > 20);
    at("bolts").className = rows.length > 20 ? "many" : "";
    list("bolts", rows, function (run) {
      var item = element("li", "", run.state.replace(" ", "-"));
      item.appendChild(element("b", run.first === run.last ? String(run.first) : run.first + "–" + run.last));
      item.appendChild(element("span", " " + run.state));
      return item;
    });
  }

  // Where there are many, those with numbers in a row and the same state are one entry.
  function runs(bolts, joined) {
    var found = [];
    bolts.forEach(function (bolt) {
      var before = found[found.length - 1];
      if (joined && before && before.state === bolt.state && before.last === bolt.number - 1) {
        before.last = bolt.number;
      } else {
        found.push({ first: bolt.number, last: bolt.number, state: bolt.state });
      }
    });
    return found;
  }

  function shape(name, values, parent) {
    var made = parent.appendChild(document.createElementNS("http://www.w3.org/2000/svg", name));
    Object.keys(values).forEach(function (key) { made.setAttribute(key, values[key]); });
    return made;
  }

  // Returns whether the bolts could be drawn so that the numbers of those that are meant can be read.
  function drawMap(placed) {
    var map = at("map");
    map.textContent = "";
    map.setAttribute("class", placed.length ? "drawn" : "");
    if (!placed.length) { return false; }
    var letter = parseFloat(getComputedStyle(document.documentElement).fontSize);
    var wide = map.getBoundingClientRect().width;
    var most = [0, 1].map(function (axis) { return Math.max.apply(null, placed.map(function (b) { return b.at[axis]; })); });
    var edge = 1.7 * letter;
    var beside = at("side").offsetLeft > at("large").offsetLeft;
    var below = at("side").getBoundingClientRect().bottom - at("main").getBoundingClientRect().top + 2 * letter;
    var high = Math.max(beside ? room() - 9.5 * letter : Math.min(0.36 * window.innerHeight, room() - below), 11 * letter) - 2 * edge;
    var scale = Math.min((wide - 2 * edge) / Math.max(most[0], 1), high / Math.max(most[1], 1));
    var size = Math.min(1.6 * letter, 0.4 * scale * nearest(placed));
    var now = placed.filter(function (bolt) { return bolt.state === "now"; });
    var rest = placed.filter(function (bolt) { return bolt.state !== "now"; });
    var large = Math.max(size, 0.85 * letter); // what is meant has a number that can be read
    if (2 * large > scale * nearest(now) || size < 0.25 * letter) {
      map.setAttribute("class", "");
      return false;
    }
    var left = (wide - scale * most[0]) / 2;
    function draw(bolts, radius) {
      bolts.forEach(function (bolt) {
        drawBolt(map, bolt, left + scale * bolt.at[0], edge + scale * bolt.at[1], radius, 1.2 * radius >= letter);
      });
    }
    map.setAttribute("height", String(scale * most[1] + 2 * edge));
    map.setAttribute("aria-label", "Bolt map: " + words(placed));
    draw(rest, size);
    draw(now, large);
    return true;
  }

  // Lets the large line grow until the page is full: the size at which all still fits on the screen with text at 100
  // percent, smaller where a word is too wide. Larger text makes it larger again, as far as the screen allows.
  var GROWTH = [1.7, 1.55, 1.4, 1.3, 1.2, 1.1, 1, 0.92, 0.84, 0.77, 0.7, 0.64, 0.58, 0.53, 0.48, 0.44, 0.4, 0.36, 0.3];
  var fitted = "";

  function fit(now) {
    var root = document.documentElement, text = root.getAttribute("data-text");
    var key = JSON.stringify([
      now.headline, now.value, now.clock, now.hazard, now.tighten, now.things, now.step, now.notice, now.tools, now.missing,
      text, window.innerWidth, window.innerHeight
    ]);
    if (key === fitted && !(text === "100" && tooHigh())) { return; }
    fitted = key;
    root.classList.add("measured");
    root.setAttribute("data-text", "100");
    drawSide(now);
    var one = GROWTH.indexOf(1);
    var at100 = largest(0, one, function () { return !tooHigh() && !tooWide(); });
    root.setAttribute("data-text", text);
    drawSide(now);
    var least = now.mode === "work" && (now.value || now.clock) ? 0.3 : 0.7; // a word that is too long even then is broken
    largest(Math.min(at100, GROWTH.indexOf(least)), GROWTH.indexOf(least), function () { return !tooWide(); });
    root.classList.remove("measured");
  }

  // Sets the first of GROWTH from index first to last that is good, or else the last, and returns its index.
  function largest(first, last, isGood) {
    while (first < last) {
      var middle = Math.floor((first + last) / 2);
      grow(middle);
      if (isGood()) { last = middle; } else { first = middle + 1; }
    }
    grow(last);
    return last;
  }

  function grow(index) { document.documentElement.style.setProperty("--grow", String(GROWTH[index])); }

  function tooHigh() { return document.documentElement.scrollHeight > window.innerHeight; }

  // Whether a word is wider than its place, or the value higher than most of the screen.
  function tooWide() {
    return ["amount", "clock", "headline", "things", "danger", "consequence", "avoid"].some(function (id) {
      return at(id).scrollWidth > at(id).clientWidth;
    }) || Math.max(at("number").offsetHeight, at("clock").offsetHeight) > 0.6 * window.innerHeight;
  }

  // Height that is left between the head and the foot of the page.
  function room() {
    return ["header", "footer", "#touch"].reduce(function (left, name) {
      var bar = document.querySelector(name);
      return bar ? left - bar.offsetHeight : left;
    }, window.innerHeight);
  }

  function nearest(placed) {
    var least = 100;
    placed.forEach(function (one, index) {
      placed.slice(index + 1).forEach(function (other) {
        least = Math.min(least, Math.hypot(one.at[0] - other.at[0], one.at[1] - other.at[1]));
      });
    });
    return least;
  }

  function drawBolt(map, bolt, x, y, size, numbered) {
    var group = shape("g", { class: bolt.state.replace(" ", "-") }, map);
    shape("title", {}, group).textContent = bolt.number + " " + bolt.state;
    if (bolt.state === "now") {
      shape("rect", { class: "mark", x: x - size, y: y - size, width: 2 * size, height: 2 * size }, group);
    } else {
      shape("circle", { class: "mark", cx: x, cy: y, r: size }, group);
    }
    if (bolt.state === "left out") {
      [-1, 1].forEach(function (side) { // the number between the ends stays free
        var near = side * 0.6 * size, far = side * 1.05 * size;
        shape("path", { class: "cross", d: "M" + (x + near) + " " + (y - near) + "L" + (x + far) + " " + (y - far) }, group);
      });
    }
    if (numbered) {
      shape("text", { x: x, y: y + 0.44 * size, "font-size": 1.2 * size }, group).textContent = String(bolt.number);
    }
  }

  function words(bolts) {
    return bolts.map(function (bolt) { return "bolt " + bolt.number + " " + bolt.state; }).join(", ");
  }

  function drawHeard(heard) {
    if (!heard) { return; }
    put("heard-text", "“" + heard.text + "”");
    put("verdict", (heard.understood ? "✓ " : "✗ ") + heard.verdict);
    at("heard").className = heard.understood ? "" : "missed";
  }

  function drawTouch(now) {
    var pause = document.querySelector("[data-press='pause'], [data-press='carry-on']");
    if (!pause) { return; }
    var paused = now.mode === "paused";
    pause.setAttribute("data-press", paused ? "carry-on" : "pause");
    pause.textContent = paused ? "Carry on" : "Pause";
    put("touch-answer", "");
  }

  // Screen readers are told of what changed about the work, not of every word that was heard.
  function announce(now) {
    if (now.announce === announced) { return; }
    announced = now.announce;
    put(now.mode === "hazard" ? "alarm" : "announce", now.announce);
    put(now.mode === "hazard" ? "announce" : "alarm", "");
  }

  // Time

  function clock(ms) {
    var seconds = Math.max(0, Math.ceil(ms / 1000));
    var minutes = Math.floor(seconds / 60);
    return minutes + ":" + String(seconds % 60).padStart(2, "0");
  }

  function left(timer) { return timer.left_ms - (Date.now() - shownAt); }

  function drawTimers() {
    if (!picture) { return; }
    var large = picture.mode === "work" ? picture.clock : null;
    picture.timers.forEach(function (timer) {
      if (timer.id === large) { put("clock", timer.over || left(timer) <= 0 ? "over" : clock(left(timer))); }
    });
    var shown = picture.mode === "hazard" ? [] : picture.timers.filter(function (timer) { return timer.id !== large; });
    var parent = at("timers");
    while (parent.children.length > shown.length) { parent.removeChild(parent.lastChild); }
    shown.forEach(function (timer, index) {
      var text = timer.name + ": " + (timer.over || left(timer) <= 0 ? "over" : timer.what + " " + clock(left(timer)));
      var item = parent.children[index] || parent.appendChild(document.createElement("li"));
      if (item.textContent !== text) { item.textContent = text; }
    });
    show("timers", shown.length > 0);
  }

  // The microphone

  function drawEar(ear) {
    show("ear", ear);
    if (!ear) { return; }
    at("bars").setAttribute("data-bars", String(ear.bars));
    put("ear-text", ear.state);
  }

  // The line to the server

  function connect() {
    if (source) { source.close(); }
    triedAt = Date.now();
    source = new EventSource("/events");
    source.addEventListener("ear", function (event) {
      heardAt = Date.now();
      drawEar(JSON.parse(event.data));
      look();
    });
    source.addEventListener("picture", function (event) {
      heardAt = Date.now();
      draw(JSON.parse(event.data));
      look();
    });
  }

  function look() {
    var silent = Date.now() - heardAt;
    var stale = silent > STALE_MS || !source || source.readyState !== 1;
    document.body.setAttribute("data-stale", String(stale));
    var seconds = Math.round(silent / 1000);
    var since = heardAt ? "no news for " + seconds + (seconds === 1 ? " second" : " seconds") : "not connected";
    var ended = picture && picture.mode === "closed";
    var news = ended ? "The assistant has ended. Waiting for the next job." : "NOT UPDATING: " + since + ". Ask by voice. Trying again.";
    put("stale", stale ? news : "");
    document.querySelectorAll("#touch button").forEach(function (button) { button.disabled = stale || !picture; });
    if (stale && Date.now() - triedAt > AGAIN_MS && (silent > STALE_MS || source.readyState === 2)) { connect(); }
  }

  function resized() {
    if (picture) {
      drawSide(picture);
      fit(picture);
    }
  }

  // Touch and keys

  function press(button) {
    put("touch-answer", "");
    fetch("/press", {
      method: "POST",
      headers: { "Content-Type": "application/json" },
      body: JSON.stringify({ press: button.getAttribute("data-press"), boot: picture.boot, seq: picture.seq })
    }).then(function (answer) {
      if (!answer.ok) { put("touch-answer", "Not taken: look again, then press again."); }
    }, function () {
      put("touch-answer", "Not taken: no connection.");
    });
  }

  document.querySelectorAll("#touch button").forEach(function (button) {
    button.addEventListener("click", function () { press(button); });
  });
  at("theme").addEventListener("click", function () { looks.turn(); });
  at("smaller").addEventListener("click", function () { looks.text(-25); resized(); });
  at("larger").addEventListener("click", function () { looks.text(25); resized(); });
  document.addEventListener("visibilitychange", look);
  window.addEventListener("online", connect);
  window.addEventListener("resize", resized);
  connect();
  setInterval(function () { look(); drawTimers(); }, 1000);
})();
