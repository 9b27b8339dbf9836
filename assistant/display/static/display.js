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
    line("notice", now.notice && now.notice.text);
    at("notice").className = now.notice && !now.notice.trouble ? "well" : "";
    drawHeard(now.heard);
    put("next", now.next);
    at("progress").max = Math.max(1, now.progress.of);
    at("progress").value = now.progress.done;
    put("progress-text", now.progress.text);
    document.title = now.place + " – " + now.title;
    drawTouch(now);
    if (at("touch")) { show("touch", now.mode !== "idle"); }
    between.draw(now);
    photos.draw(now);
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
    at("headline").className = value || waits ? "small" : now.things.length ? "over" : "";
    var name = tighten ? tighten.group : working && now.table ? now.table.title : waits ? waits.name : "";
    show("group", name);
    put("group-name", name);
    put("group-size", tighten ? tighten.size : "");
    line("at-bolt", tighten ? tighten.at_bolt : "");
    line("now", tighten ? tighten.now : "");
    list("hidden-bolts", tighten ? tighten.hidden : [], function (text) { return element("li", text); });
    list("things", now.things, function (text) { return element("li", text); });
    line("step", now.mode === "work" ? "" : now.step);
    show("say", now.say);
    put("phrase", now.say);
  }

  function drawSide(now) {
    var tighten = now.mode === "hazard" ? null : now.tighten;
    line("stage", tighten ? tighten.stage : "");
    show("tool", now.tools.length > 0);
    put("tool-text", now.tools.join(", "));
    show("troubles", now.troubles.length > 0);
    put("troubles-text", now.troubles.join(" "));
    show("beside", now.beside);
    put("beside-text", now.beside);
    show("locked", now.locked);
    put("locked-text", now.locked);
    drawPhoto(now.photo);
    show("missing", now.missing);
    put("missing-text", now.missing);
    show("detour", now.detour);
    put("detour-text", now.detour);
    drawTimers();
    var table = now.mode === "hazard" ? null : now.table;
    drawTable(table);
    drawPlan(now.mode === "hazard" ? null : now.plan);
    drawBolts(tighten);
    var facts = [].slice.call(at("facts").children);
    at("main").classList.toggle("alone", !tighten && !table && !now.plan && facts.every(function (fact) { return fact.hidden; }));
  }

  // A table of readings: every place says by a sign, and to a screen reader by a word, how it stands.
  function drawTable(table) {
    var parent = at("readings");
    parent.textContent = "";
    show("readings", table);
    at("side").classList.toggle("tabled", !!table); // on a tablet it takes the whole width
    if (!table) { return; }
    var head = parent.createTHead().insertRow();
    head.appendChild(element("th", table.each)).scope = "col";
    table.columns.forEach(function (column) {
      var cell = head.appendChild(element("th", column.name));
      cell.scope = "col";
      cell.appendChild(element("span", column.limits, "limits"));
    });
    var body = parent.createTBody();
    table.rows.forEach(function (row) {
      var line = body.insertRow();
      line.appendChild(element("th", row.name)).scope = "row";
      row.cells.forEach(function (one) {
        var cell = line.appendChild(element("td", one.text, one.state.replace(" ", "-")));
        if (one.sign) { cell.insertBefore(element("b", one.sign + " "), cell.firstChild).setAttribute("aria-hidden", "true"); }
        cell.appendChild(element("span", " " + one.state, "unseen"));
        if (one.proposed) { cell.appendChild(element("span", one.proposed, "limits")); }
      });
    });
  }

  // The plan: a bar for each of the next steps. What a bar is, is told by its line and filling, by a sign, and in words.
  var SIGNS = { now: "\u25b6 ", waits: "\u2026 ", open: "" };

  function drawPlan(plan) {
    line("plan-title", plan ? plan.title : "");
    at("side").classList.toggle("planned", !!plan); // on a tablet it takes the whole width
    list("plan", plan ? plan.rows : [], function (row) {
      var item = element("li", "", row.kind);
      item.appendChild(element("span", SIGNS[row.kind] + row.label + (row.holds_up ? " \u25c6" : "")));
      item.appendChild(element("span", ", " + row.kind + ", " + row.times + (row.holds_up ? ", holds up the end" : ""), "unseen"));
      var chart = bolts.shape("svg", { "aria-hidden": "true", focusable: "false" }, item);
      plan.marks.forEach(function (_, place) {
        var x = 100 * place / plan.marks.length + "%";
        bolts.shape("line", { x1: x, x2: x, y1: 0, y2: "100%", "class": "mark" }, chart);
      });
      bolts.shape("rect", { x: row.from + "%", y: "15%", width: Math.max(0.6, row.to - row.from) + "%", height: "70%" }, chart);
      return item;
    });
    list("plan-marks", plan ? plan.marks : [], function (text) { return element("span", text); });
  }

  // A photo or a drawing of the step. Its place has its height before the picture is there, so that nothing jumps.
  function drawPhoto(photo) {
    var image = at("photo"), address = photo ? photo.address : "";
    if (address && image.getAttribute("src") !== address) {
      image.setAttribute("src", address);
      image.alt = "Picture " + photo.name;
    }
    show("photo", address);
    line("photo-fault", photo ? photo.fault : "");
  }

  // A known place is drawn; a bolt without one stands in the list, and all of them where there is no room for both.
  function drawBolts(tighten) {
    var all = tighten ? tighten.bolts : [];
    at("side").style.setProperty("max-height", "none");
    // A drawing cannot grow with the text, a list can.
    var placed = looks.percent() < 150 ? all.filter(function (bolt) { return bolt.at; }) : [];
    at("map").setAttribute("class", "");
    if (placed.length && !drawMap(tighten, placed)) { placed = []; }
    var rows = drawList(all, placed);
    if (placed.length && rows.length && drawingTooHigh()) {
      at("map").setAttribute("class", "");
      placed = [];
      rows = drawList(all, placed);
    }
    line("counts", placed.length ? tighten.counts : "");
    if (rows.length && !at("bolts").className) {
      at("bolts").className = isBeside() ? "large" : "";
      if (drawingTooHigh()) { at("bolts").className = ""; }
    }
    if (rows.length && drawingTooHigh()) { at("bolts").className = "many"; }
    holdSide();
  }

  // Beside the large line, what is too much even so scrolls in its own place, tool and timers first, and pushes nothing out.
  function holdSide() {
    var side = at("side"), over = isBeside() ? drawingTooHigh() : 0;
    side.classList.toggle("held", over > 0);
    side.style.setProperty("max-height", over > 0 ? side.scrollHeight - over + "px" : "none");
    if (over > 0) { side.tabIndex = 0; } else { side.removeAttribute("tabindex"); }
  }

  function drawMap(tighten, placed) {
    var letter = parseFloat(getComputedStyle(document.documentElement).fontSize);
    list("bolts", [], null);
    line("counts", tighten.counts);
    at("map").setAttribute("class", "drawn"); // so that it has a width
    var wide = at("map").getBoundingClientRect().width;
    at("map").setAttribute("class", "");
    var high = roomForMap(letter);
    // Beside the large line its words are read from afar, where there is room for such letters.
    return (isBeside() ? [1.6, 1.3, 1] : [1]).some(function (times) {
      return bolts.chart(at("map"), placed, tighten.outline, wide, high, times * letter);
    }) || bolts.chart(at("map"), placed, [], wide, high, letter);
  }

  function drawList(all, placed) {
    var rows = bolts.runs(all.filter(function (bolt) { return placed.indexOf(bolt) < 0; }));
    at("bolts").className = rows.length > 20 ? "many" : "";
    list("bolts", rows, bolts.entry);
    return rows;
  }

  function isBeside() { return at("side").offsetLeft > at("large").offsetLeft; }

  // By how much the bolts reach below what can be seen without scrolling [px]; zero where the whole page scrolls.
  function drawingTooHigh() {
    if (!document.documentElement.classList.contains("framed")) { return 0; }
    if (!isBeside()) { return Math.max(0, at("main").scrollHeight - at("main").clientHeight); }
    var below = at("drawing").getBoundingClientRect().bottom - at("main").getBoundingClientRect().top + at("main").scrollTop;
    var letter = parseFloat(getComputedStyle(document.documentElement).fontSize);
    return Math.max(0, below + at("say").offsetHeight + 1.3 * letter - room());
  }

  // Height that the rest of the page leaves to the map: what stands above it, and the line of counts, are there already.
  function roomForMap(letter) {
    var above = at("drawing").getBoundingClientRect().top - at("main").getBoundingClientRect().top + at("main").scrollTop;
    var below = at("counts").offsetHeight + (isBeside() ? at("say").offsetHeight + 2.4 * letter : 1.6 * letter);
    return Math.max(Math.min(room() - above - below, 0.6 * window.innerHeight), 6 * letter); // else a list tells more
  }

  // Lets the large line grow until the page is full: the size at which all still fits on the screen with text at 100
  // percent, smaller where a word is too wide. Larger text makes it larger again, as far as the screen allows.
  var GROWTH = [2.6, 2.4, 2.2, 2, 1.85, 1.7, 1.55, 1.4, 1.3, 1.2, 1.1, 1, 0.92, 0.84, 0.77, 0.7, 0.64, 0.58, 0.53, 0.48, 0.44, 0.4, 0.36, 0.3];
  var fitted = "";

  function fit(now) {
    var root = document.documentElement, text = root.getAttribute("data-text");
    var key = JSON.stringify([
      now.headline, now.value, now.clock, now.hazard, now.tighten, now.table, now.plan, now.things, now.step, now.notice, now.tools,
      now.missing, now.troubles, now.detour, now.beside, now.locked, now.photo, now.before, now.idle, now.handing,
      text, window.innerWidth, window.innerHeight
    ]);
    if (key === fitted && !(text === "100" && tooHigh())) { return; }
    fitted = key;
    root.classList.add("measured");
    root.setAttribute("data-text", "100");
    frame();
    var one = GROWTH.indexOf(1);
    grow(one);
    drawSide(now);
    var framed = root.classList.contains("framed");
    var most = matchMedia("(min-width: 62em) and (min-aspect-ratio: 5/4)").matches ? 0 : GROWTH.indexOf(1.7);
    var at100 = largest(most, framed ? GROWTH.indexOf(0.7) : one, function () { return !tooHigh() && !tooWide(); });
    if (framed && tooHigh()) { at100 = largest(one, GROWTH.indexOf(0.53), sayIsSeen); }
    root.setAttribute("data-text", text);
    frame();
    drawSide(now);
    var least = now.mode === "work" && (now.value || now.clock) ? 0.3 : 0.7; // a word that is too long even then is broken
    largest(Math.min(at100, GROWTH.indexOf(least)), GROWTH.indexOf(least), function () { return !tooWide(); });
    root.classList.remove("measured");
    // What scrolls can be scrolled by keyboard.
    if (root.classList.contains("framed") && tooHigh()) { at("main").tabIndex = 0; } else { at("main").removeAttribute("tabindex"); }
  }

  // Whether the value, the bolts and what to say can be seen without scrolling, where the rest cannot.
  function sayIsSeen() {
    var below = (at("say").hidden ? at("large") : at("say")).getBoundingClientRect().bottom + at("main").scrollTop;
    return below <= at("main").getBoundingClientRect().bottom && !tooWide();
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

  // What stands around the large line grows with it, by half at most, and larger text makes it larger without that.
  function grow(index) {
    var root = document.documentElement;
    root.style.setProperty("--grow", String(GROWTH[index]));
    if (root.getAttribute("data-text") === "100") {
      root.style.setProperty("--beside", String(Math.max(1, Math.min(1.5, GROWTH[index]))));
    }
  }

  // Head, foot and touch buttons stay in sight, and what is between them scrolls, where enough is left for it.
  function frame() {
    var root = document.documentElement;
    root.classList.remove("framed");
    root.classList.toggle("framed", room() >= 0.4 * window.innerHeight);
  }

  function tooHigh() {
    if (document.documentElement.classList.contains("framed")) { return at("main").scrollHeight > at("main").clientHeight; }
    return document.documentElement.scrollHeight > window.innerHeight;
  }

  // Whether a word is wider than its place, or the value higher than most of the screen.
  function tooWide() {
    return ["amount", "clock", "headline", "things", "danger", "consequence", "avoid"].some(function (id) {
      return at(id).scrollWidth > at(id).clientWidth;
    }) || Math.max(at("number").offsetHeight, at("clock").offsetHeight) > 0.6 * window.innerHeight;
  }

  // Height that is left between the head and the foot of the page.
  function room() {
    return ["#stale", "header", "footer", "#touch", "#headset"].reduce(function (left, name) {
      var bar = document.querySelector(name);
      return bar ? left - bar.offsetHeight : left;
    }, window.innerHeight);
  }

  function drawHeard(heard) {
    if (!heard) { return; }
    put("heard-text", "“" + heard.text + "”");
    put("verdict", (heard.good ? "✓ " : "✗ ") + heard.verdict);
    at("heard").className = heard.good ? "" : "missed";
  }

  function drawTouch(now) {
    var pause = document.querySelector("[data-press='pause'], [data-press='carry-on']");
    if (!pause) { return; }
    var paused = now.keys.indexOf("carry_on") >= 0;
    pause.setAttribute("data-press", paused ? "carry-on" : "pause");
    pause.textContent = paused ? "Carry on" : "Pause";
    put("touch-answer", "");
    handing.draw(now, function (hand) { send("/press", { press: hand, seq: picture.seq }, "press"); });
    enable();
  }

  // A button that would do nothing now cannot be pressed.
  function enable() {
    var stale = document.body.getAttribute("data-stale") === "true";
    document.querySelectorAll("#touch [data-press]").forEach(function (button) {
      var key = button.getAttribute("data-press").replace("-", "_");
      button.disabled = stale || !picture || picture.keys.indexOf(key) < 0;
    });
    photos.enable(!stale && Boolean(picture) && picture.mode !== "closed" && picture.mode !== "idle");
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
      var text = timer.over || left(timer) <= 0 ? "over" : timer.what + " " + clock(left(timer));
      var item = parent.children[index] || parent.appendChild(document.createElement("li"));
      if (item.textContent !== timer.name + ": " + text) {
        item.textContent = timer.name + ": ";
        item.appendChild(element("b", text));
      }
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
    var turned = document.body.getAttribute("data-stale") !== String(stale);
    document.body.setAttribute("data-stale", String(stale));
    var seconds = Math.round(silent / 1000);
    var since = heardAt ? "no news for " + seconds + (seconds === 1 ? " second" : " seconds") : "not connected";
    var ended = picture && picture.mode === "closed";
    var news = ended ? "The assistant has ended. Waiting for the next job." : "NOT UPDATING: " + since + ". Ask by voice. Trying again.";
    put("stale", stale ? news : "");
    if (turned) { // its line takes room
      fitted = "";
      resized();
    }
    enable();
    if (stale && Date.now() - triedAt > AGAIN_MS && (silent > STALE_MS || source.readyState === 2)) { connect(); }
  }

  function resized() {
    if (picture) {
      drawSide(picture);
      fit(picture);
    }
  }

  // Touch and keys

  function press(button) { send("/press", { press: button.getAttribute("data-press"), seq: picture.seq }, "press"); }

  // A remote has two buttons: in a job they are "next" and "go back", between jobs they go through the list.
  function remote(which) {
    if (!picture || document.body.getAttribute("data-stale") === "true") { return; }
    if (picture.mode === "idle") { between.choose(which === "next" ? "next_one" : "one_before", ""); } else { send("/press", { press: which, seq: picture.seq }, "press"); }
  }

  function scanned(text) {
    if (picture) { send("/scan", { text: text }, "scan"); }
  }

  function send(path, asked, again) {
    asked.boot = picture.boot;
    put("touch-answer", "");
    fetch(path, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(asked) }).then(function (answer) {
      if (!answer.ok) { put("touch-answer", "Not taken: look again, then " + again + " again."); }
    }, function () {
      put("touch-answer", "Not taken: no connection.");
    });
  }

  if (at("touch")) { keys.listen(scanned, remote); }

  document.querySelectorAll("#touch [data-press]").forEach(function (button) {
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
