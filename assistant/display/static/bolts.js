// The bolts of a stage: on a map where a layout is known, else in a list. A square is "now", a full circle "done", an empty
// one "to do", a struck one "left out", a crossed one "held open", one with a thick edge "in doubt"; a broken line around it is a hidden bolt, as on paper. Those that are now have
// their place in the order beside them, and a few of them an arrow to the next one. The thin line around all of them stands
// for the part: it is drawn around the bolts (assistant/drawing/outline.py), nobody measured it.
"use strict";

var bolts = (function () {
  var MOST_ARROWS = 6; // bolts; more arrows cannot be followed
  var SIDES = 16; // in how many directions words may stand beside a mark
  var measure = document.createElement("canvas").getContext("2d");

  function shape(name, values, parent) {
    var made = parent.appendChild(document.createElementNS("http://www.w3.org/2000/svg", name));
    Object.keys(values).forEach(function (key) { made.setAttribute(key, values[key]); });
    return made;
  }

  function labels(bolt) { return [bolt.place, bolt.hidden ? "hidden" : ""].filter(Boolean); }

  function words(bolt) {
    return ["bolt " + bolt.number + " " + bolt.state].concat(labels(bolt)).join(" ");
  }

  function apart(one, other) { return Math.hypot(one.at[0] - other.at[0], one.at[1] - other.at[1]); }

  // The least distance of two bolts, one of each list.
  function nearest(some, others) {
    return some.reduce(function (least, one) {
      return others.reduce(function (least, other) { return one === other ? least : Math.min(least, apart(one, other)); }, least);
    }, 100);
  }

  function box(x, y, wide, high) { return { left: x - wide, right: x + wide, top: y - high, bottom: y + high }; }

  function meet(one, other) {
    return one.left < other.right && other.left < one.right && one.top < other.bottom && other.top < one.bottom;
  }

  // Draws the bolts into svg, which may take wide and high pixels, with words of the size letter. Returns false, and draws
  // nothing, where the numbers of those that are meant, or the words beside them, could not be read; with a line around
  // them, where any number could not.
  function chart(svg, placed, around, wide, high, letter) {
    svg.textContent = "";
    svg.setAttribute("class", "");
    var edges = { left: 0, right: 0, top: 0, bottom: 0 };
    for (var tries = 0; tries < 6; tries += 1) {
      var plan = planned(placed, around, wide, high, letter, edges);
      if (!plan) { return false; }
      if (!widen(edges, plan, wide, letter)) {
        if (plan.notes.some(function (note) { return note.met > 0; })) { return false; }
        paint(svg, plan, placed, letter);
        return true;
      }
    }
    return false;
  }

  function planned(placed, around, wide, high, letter, edges) {
    var most = [0, 1].map(function (axis) { return Math.max.apply(null, placed.map(function (b) { return b.at[axis]; })); });
    var edge = (around.length ? 2.3 : 1.2) * letter; // of 1.6 letters a mark, and the line around it
    var across = wide - 2 * edge - edges.left - edges.right, down = high - 2 * edge - edges.top - edges.bottom;
    var scale = Math.min(across / Math.max(most[0], 1), down / Math.max(most[1], 1));
    var meant = placed.filter(function (bolt) { return bolt.state === "now"; });
    var rest = placed.filter(function (bolt) { return bolt.state !== "now"; });
    var size = Math.min(1.6 * letter, 0.4 * scale * nearest(placed, placed));
    var large = Math.max(size, 0.85 * letter); // what is meant has a number that can be read
    size = Math.min(size, scale * nearest(meant, rest) - 1.1 * large);
    if (scale <= 0 || 2.1 * large > scale * nearest(meant, meant) || size < (around.length ? 0.85 : 0.25) * letter) { return null; }
    var left = edge + edges.left + (across - scale * most[0]) / 2;
    var marks = placed.map(function (bolt) {
      return {
        bolt: bolt, x: left + scale * bolt.at[0], y: edge + edges.top + scale * bolt.at[1],
        size: bolt.state === "now" ? large : size
      };
    });
    var height = scale * most[1] + 2 * edge + edges.top + edges.bottom;
    var part = around.map(function (at) { return [left + scale * at[0], edge + edges.top + scale * at[1]]; });
    return { marks: marks, part: part, height: height, notes: noted(marks, letter, wide, height) };
  }

  // Places for the words beside the marks; a place that meets nothing comes first, then one that leads outwards.
  function noted(marks, letter, wide, high) {
    var taken = marks.map(function (mark) {
      var round = mark.size + (mark.bolt.hidden ? 0.35 * letter : 0.1 * letter);
      return box(mark.x, mark.y, round, round);
    });
    var middle = [wide / 2, high / 2];
    var sides = Array.from({ length: SIDES }, function (_, turn) {
      return [Math.round(1e6 * Math.cos(2 * Math.PI * turn / SIDES)) / 1e6, Math.round(1e6 * Math.sin(2 * Math.PI * turn / SIDES)) / 1e6];
    });
    measure.font = "bold " + letter + "px " + getComputedStyle(document.body).fontFamily;
    return marks.filter(function (mark) { return labels(mark.bolt).length; }).map(function (mark) {
      var lines = labels(mark.bolt), round = mark.size + (mark.bolt.hidden ? 0.5 : 0.25) * letter;
      var half = Math.max.apply(null, lines.map(function (text) { return measure.measureText(text).width; })) / 2;
      var tall = 0.55 * letter * lines.length;
      var best = sides.map(function (side) {
        // Words stand where their box just clears the mark in this direction.
        var way = Math.min((round + half) / Math.max(Math.abs(side[0]), 1e-9), (round + tall) / Math.max(Math.abs(side[1]), 1e-9));
        var at = box(mark.x + side[0] * way, mark.y + side[1] * way, half, tall);
        var met = taken.filter(function (other) { return meet(at, other); }).length;
        var out = side[0] * (mark.x - middle[0]) / wide + side[1] * (mark.y - middle[1]) / high;
        return { box: at, met: met, cost: 10 * met - out + (side[0] && side[1] ? 0.1 : 0) };
      }).reduce(function (one, other) { return other.cost < one.cost ? other : one; });
      taken.push(best.box);
      return { lines: lines, box: best.box, met: best.met };
    });
  }

  // Makes room at the edges for words that stand outside; returns whether anything was to be changed.
  function widen(edges, plan, wide, letter) {
    var limits = { left: 0, top: 0, right: wide, bottom: plan.height }, changed = false;
    Object.keys(limits).forEach(function (side) {
      var over = Math.max.apply(null, [0].concat(plan.notes.map(function (note) {
        return side === "left" || side === "top" ? limits[side] - note.box[side] : note.box[side] - limits[side];
      })));
      if (over > 0.5) {
        edges[side] += over + 0.1 * letter;
        changed = true;
      }
    });
    return changed;
  }

  function paint(svg, plan, placed, letter) {
    svg.setAttribute("class", "drawn");
    svg.setAttribute("height", String(plan.height));
    svg.setAttribute("aria-label", "Bolt map: " + placed.map(words).join(", "));
    if (plan.part.length) { drawPart(svg, plan, letter); }
    drawWay(svg, plan.marks, letter);
    plan.marks.sort(function (one, other) { return (one.bolt.state === "now") - (other.bolt.state === "now"); });
    plan.marks.forEach(function (mark) { drawMark(svg, mark, letter); });
    plan.notes.forEach(function (note) {
      note.lines.forEach(function (text, index) {
        var y = note.box.top + (0.93 + 1.1 * index) * letter;
        shape("text", { class: "beside", x: (note.box.left + note.box.right) / 2, y: y, "font-size": letter }, svg).textContent = text;
      });
    });
  }

  // The line around the marks: a band as wide as they are, and the paper again within it.
  function drawPart(svg, plan, letter) {
    var round = 2 * Math.max.apply(null, plan.marks.map(function (mark) { return mark.size; })) + 1.1 * letter;
    ["part", "part within"].forEach(function (kind, inner) {
      shape("path", {
        class: kind, d: "M" + plan.part.map(function (at) { return at.join(" "); }).join("L") + "Z",
        "stroke-width": round - inner * 0.24 * letter
      }, svg);
    });
  }

  // Arrows from each bolt that is meant to the one behind it, where they are few enough to be followed.
  function drawWay(svg, marks, letter) {
    var meant = marks.filter(function (mark) { return mark.bolt.place; });
    if (meant.length > MOST_ARROWS) { return; }
    meant.sort(function (one, other) { return parseInt(one.bolt.place, 10) - parseInt(other.bolt.place, 10); });
    meant.slice(1).forEach(function (to, index) {
      var from = meant[index], long = Math.hypot(to.x - from.x, to.y - from.y);
      var x = (to.x - from.x) / long, y = (to.y - from.y) / long, reach = 1.5, head = 0.45 * letter;
      var free = long - reach * (from.size + to.size);
      if (free < head) { return; }
      var tip = [to.x - reach * to.size * x, to.y - reach * to.size * y];
      shape("path", {
        class: "way", d: "M" + (from.x + reach * from.size * x) + " " + (from.y + reach * from.size * y) + "L" + tip.join(" ") +
          "M" + (tip[0] - head * (x + y)) + " " + (tip[1] - head * (y - x)) + "L" + tip.join(" ") +
          "L" + (tip[0] - head * (x - y)) + " " + (tip[1] - head * (y + x))
      }, svg);
    });
  }

  function outline(kind, mark, size, parent) {
    if (mark.bolt.state === "now") {
      return shape("rect", { class: kind, x: mark.x - size, y: mark.y - size, width: 2 * size, height: 2 * size }, parent);
    }
    return shape("circle", { class: kind, cx: mark.x, cy: mark.y, r: size }, parent);
  }

  function drawMark(svg, mark, letter) {
    var bolt = mark.bolt, x = mark.x, y = mark.y, size = mark.size;
    var group = shape("g", { class: bolt.state.replace(" ", "-") + (bolt.hidden ? " covered" : "") }, svg);
    shape("title", {}, group).textContent = words(bolt).slice(5);
    outline("mark", mark, size, group);
    if (bolt.hidden) { outline("cover", mark, size + 0.28 * letter, group); }
    if (bolt.state === "left out" || bolt.state === "held open") {
      [-1, 1].forEach(function (side) { // the number between the ends stays free
        var near = side * 0.6 * size, far = side * 1.05 * size;
        shape("path", { class: "cross", d: "M" + (x + near) + " " + (y - near) + "L" + (x + far) + " " + (y - far) }, group);
        if (bolt.state === "held open") {
          shape("path", { class: "cross", d: "M" + (x - near) + " " + (y - near) + "L" + (x - far) + " " + (y - far) }, group);
        }
      });
    }
    if (1.2 * size >= letter) {
      shape("text", { x: x, y: y + 0.44 * size, "font-size": 1.2 * size }, group).textContent = String(bolt.number);
    }
  }

  // Where there are many, those with numbers in a row and the same state are one entry.
  function runs(listed) {
    var joined = listed.length > 20, found = [];
    listed.forEach(function (bolt) {
      var before = found[found.length - 1];
      if (joined && before && before.state === bolt.state && before.hidden === bolt.hidden && before.last === bolt.number - 1) {
        before.last = bolt.number;
        before.place = before.place && before.place.split("–")[0] + "–" + bolt.place;
      } else {
        found.push({ first: bolt.number, last: bolt.number, state: bolt.state, hidden: bolt.hidden, place: bolt.place });
      }
    });
    return found;
  }

  function part(name, text, kind) {
    var made = document.createElement(name);
    made.textContent = text;
    if (kind) { made.className = kind; }
    return made;
  }

  // One entry of the list.
  function entry(run) {
    var item = part("li", "", run.state.replace(" ", "-") + (run.hidden ? " covered" : ""));
    item.appendChild(part("b", run.first === run.last ? String(run.first) : run.first + "–" + run.last));
    item.appendChild(part("span", " " + run.state + (labels(run).length ? "," : ""), "state"));
    if (labels(run).length) { item.appendChild(part("span", " " + labels(run).join(", "))); }
    return item;
  }

  return { shape: shape, chart: chart, runs: runs, entry: entry };
})();
