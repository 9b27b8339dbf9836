// Keys at the page: a code that a reader reads, and the buttons of a pedal or a remote. As assistant/scan/burst.py has it:
// keys that come faster than a person types are a code, which never presses anything; a code ends with Enter.
var keys = (function () {
  "use strict";
  var READER_MS = 50, LATE_MS = 300, LEAST = 3, MOST = 500;
  var BUTTONS = {
    PageDown: "next", ArrowRight: "next", AudioVolumeUp: "next",
    PageUp: "back", ArrowLeft: "back", AudioVolumeDown: "back"
  };
  var run = "", last = -LATE_MS, ended = -LATE_MS;

  // Whether what is typed goes into a field of the page, and a control of the browser is none of ours.
  function isOthers(event) {
    var target = event.target;
    return event.isComposing || event.altKey || event.metaKey ||
      (target && (target.isContentEditable || /^(INPUT|TEXTAREA|SELECT)$/.test(target.tagName)));
  }

  function sent(event) {
    if (event.ctrlKey) { return event.key === "]" ? "\u001d" : ""; } // how readers send the separator of a GS1 code
    return event.key.length === 1 ? event.key : "";
  }

  function drop(event) {
    event.preventDefault();
    event.stopPropagation();
  }

  // Hands codes to scan, and the buttons of a remote to press.
  function listen(scan, press) {
    document.addEventListener("keydown", function (event) {
      if (isOthers(event)) { return; }
      var now = event.timeStamp;
      if (now - last > (run.length >= LEAST ? LATE_MS : READER_MS)) { run = ""; }
      if (event.key === "Enter") {
        if (run) { drop(event); scan(run); ended = now; } else if (now - ended <= READER_MS) { drop(event); }
        run = "";
      } else if (sent(event)) {
        if (run) { drop(event); } // a space of a code presses no button
        run = (run + sent(event)).slice(0, MOST);
        last = now;
      } else if (BUTTONS[event.key] && !event.ctrlKey && !event.shiftKey) {
        drop(event);
        if (!event.repeat) { press(BUTTONS[event.key]); }
      }
    }, true);
    document.addEventListener("keyup", function (event) {
      if (event.key === " " && !isOthers(event) && run.length > 1 && event.timeStamp - last <= LATE_MS) { drop(event); }
    }, true);
  }

  return { listen: listen };
})();
