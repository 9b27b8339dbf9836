// How the pages look: light, dark or as the system says, and how large the text is. From the address (?theme=dark,
// ?text=150), or as it was chosen here last. Runs in the head, before anything is drawn.
"use strict";

var looks = (function () {
  var root = document.documentElement;
  var asked = new URLSearchParams(location.search);

  function kept(name) {
    try { return localStorage.getItem(name); } catch (fault) { return null; }
  }

  function keep(name, value) {
    try { localStorage.setItem(name, value); } catch (fault) { /* it lasts as long as the page then */ }
  }

  function setTheme(theme) {
    if (theme !== "light" && theme !== "dark") { root.removeAttribute("data-theme"); return; }
    root.setAttribute("data-theme", theme);
    keep("theme", theme);
  }

  function setText(percent) {
    var size = Math.min(200, Math.max(100, Math.round(percent / 25) * 25 || 100));
    root.setAttribute("data-text", String(size));
    keep("text", String(size));
  }

  function isDark() {
    var theme = root.getAttribute("data-theme");
    return theme ? theme === "dark" : matchMedia("(prefers-color-scheme: dark)").matches;
  }

  setTheme(asked.get("theme") || kept("theme"));
  setText(Number(asked.get("text") || kept("text")));
  return {
    turn: function () { setTheme(isDark() ? "light" : "dark"); },
    percent: function () { return Number(root.getAttribute("data-text")); },
    text: function (by) { setText(Number(root.getAttribute("data-text")) + by); }
  };
})();
