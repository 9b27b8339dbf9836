// Handing a job over by touch: it is asked for in the menu, read back, and wants a second press, as it does by voice.
"use strict";

// A button that can be pressed a moment after it is there, so that a second tap of the same finger confirms nothing.
var arming = (function () {
  var ARMED_MS = 600;
  var armed = 0;
  return {
    arm: function (button) {
      clearTimeout(armed);
      if (!button) { return; }
      button.disabled = true;
      armed = setTimeout(function () { button.disabled = false; }, ARMED_MS);
    },
    disarm: function () { clearTimeout(armed); }
  };
})();

var handing = (function () {
  var drawn = "", byHand = false, pressed = null;

  function at(id) { return document.getElementById(id); }

  function choose(name) {
    byHand = true;
    pressed(name);
  }

  // `press` sends the name of a button, made on what is shown now.
  function draw(now, press) {
    pressed = press;
    var place = at("hands"), key = JSON.stringify(now.handing);
    if (!place || key === drawn) { return; }
    drawn = key;
    var may = now.handing.at === "may", asks = !may && now.handing.buttons.length > 0;
    var menu = at("hand-over");
    menu.hidden = !may;
    menu.onclick = function () { at("menu").open = false; choose("hand_over"); };
    place.textContent = "";
    place.hidden = !asks;
    document.body.setAttribute("data-handing", asks ? "asks" : "");
    arming.disarm();
    if (!asks) { return; }
    now.handing.buttons.forEach(function (one) {
      var button = place.appendChild(document.createElement("button"));
      button.type = "button";
      button.textContent = one.text;
      button.setAttribute("data-hand", one.hand);
      button.addEventListener("click", function () { choose(one.hand); });
    });
    // Whoever works by keyboard goes on at what does nothing.
    if (byHand) { place.lastElementChild.focus(); }
    byHand = false;
    if (now.handing.at === "sure") { arming.arm(place.firstElementChild); }
  }

  return { draw: draw };
})();
