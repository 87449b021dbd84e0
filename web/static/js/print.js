/* The button that prints the page. */
"use strict";
document.getElementById("print").addEventListener("click", () => window.print());
