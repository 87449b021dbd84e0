/* Each figure's table, drawn as bars. The table stays beside it: the plot says nothing more. */
"use strict";
(function () {
  const style = (name) => getComputedStyle(document.documentElement).getPropertyValue(name).trim();

  function read(section) {
    const columns = Array.from(section.querySelectorAll("thead th")).slice(1).map((c) => c.textContent);
    const rows = [];
    for (const row of section.querySelectorAll("tbody tr")) {
      const label = row.querySelector("th").textContent;
      row.querySelectorAll("td").forEach((cell, at) => {
        rows.push({ label, series: columns[at], value: Number(cell.textContent) });
      });
    }
    return { columns, rows };
  }

  function draw(section) {
    const place = section.querySelector(".plot");
    if (!place) return;
    const { columns, rows } = read(section);
    const width = Math.max(240, place.clientWidth);
    const sideways = section.dataset.sideways === "yes";
    const labels = [...new Set(rows.map((r) => r.label))];
    const several = columns.length > 1;
    /* Labels that would run into each other stand on end. */
    const crowded = labels.join("  ").length * 11 > width;
    const short = (label) => (label.length > 25 ? `${label.slice(0, 24)}…` : label);
    /* Two series are told apart by a filled and an empty bar, not by colour alone. */
    const fill = (row) => (row.series === columns[0] ? style("--ink") : style("--paper"));
    const bars = {
      fill, stroke: style("--ink"), strokeWidth: 1.5, title: (r) => `${r.label}: ${r.value}`,
    };
    const value = { label: null, grid: true, nice: true, ticks: 5, zero: true };
    const options = sideways
      ? {
          marginLeft: Math.min(width * 0.5, 260), width, height: labels.length * (several ? 38 : 28) + 50,
          x: value, y: { label: null, domain: labels, tickFormat: short },
        }
      : {
          width, height: 270, marginBottom: crowded ? 130 : 40, y: value,
          x: { label: null, domain: labels, tickRotate: crowded ? -60 : 0 },
        };
    const band = several
      ? (sideways ? { fy: { label: null, domain: labels, padding: 0.2, tickFormat: short }, y: { axis: null, domain: columns } }
        : { fx: { label: null, domain: labels, padding: 0.2, axis: null }, x: { axis: null, domain: columns } })
      : {};
    const mark = sideways
      ? window.Plot.barX(rows, several ? { ...bars, fy: "label", y: "series", x: "value" } : { ...bars, y: "label", x: "value" })
      : window.Plot.barY(rows, several ? { ...bars, fx: "label", x: "series", y: "value" } : { ...bars, x: "label", y: "value" });
    const plot = window.Plot.plot({
      ...options, ...band, className: "asheard-plot", style: { background: "none", color: style("--ink"), fontSize: "18px" },
      marks: [...(several && !sideways ? [window.Plot.axisFx({ anchor: "bottom", tickRotate: crowded ? -60 : 0, label: null })] : []), mark, sideways ? window.Plot.ruleX([0]) : window.Plot.ruleY([0])],
    });
    place.replaceChildren(plot);
    if (several) {
      const key = document.createElement("p");
      key.className = "plot-key";
      columns.forEach((column, at) => {
        const box = document.createElement("span");
        box.className = at === 0 ? "key-box full" : "key-box";
        key.append(box, ` ${column}  `);
      });
      place.prepend(key);
    }
  }

  function drawAll() { document.querySelectorAll(".figure").forEach(draw); }
  drawAll();
  let waiting = null;
  window.addEventListener("resize", () => { clearTimeout(waiting); waiting = setTimeout(drawAll, 200); });
  new MutationObserver(drawAll).observe(document.documentElement, { attributes: true, attributeFilter: ["data-scheme"] });
})();
