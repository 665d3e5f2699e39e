// Keys go to the screens from the start, without a first tap on them.
window.addEventListener("load", () => document.querySelector(".xterm-helper-textarea")?.focus());
