// The token belongs in nobody's history or screenshot: the cookie that came with the page carries it from here on.
history.replaceState(null, "", location.pathname + location.search.replace(/([?&])token=[^&]*&?/, "$1").replace(/[?&]$/, ""));
// Keys go to the screens from the start, without a first tap on them.
window.addEventListener("load", () => document.querySelector(".xterm-helper-textarea")?.focus());
