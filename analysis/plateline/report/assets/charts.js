/* Draws every figure of the page over its still picture, and tells what is under the pointer.
   People's text reaches the page as text nodes only. */
(() => {
  "use strict";
  const { embed } = window.plateline;
  const LOG_ERRORS_ONLY = 1;
  const config = JSON.parse(document.getElementById("pl-config").textContent);

  const tip = document.createElement("div");
  tip.className = "pl-tip";
  tip.setAttribute("role", "status");
  tip.hidden = true;
  document.body.append(tip);

  const hide = () => { tip.hidden = true; };

  const show = (value, x, y) => {
    const pairs = typeof value === "object" ? Object.entries(value) : [["", value]];
    tip.replaceChildren(...pairs.map(([name, said]) => {
      const line = document.createElement("div");
      if (name) {
        const label = document.createElement("span");
        label.textContent = name;
        line.append(label, " ");
      }
      line.append(String(said));
      return line;
    }));
    tip.hidden = false;
    const box = tip.getBoundingClientRect();
    const room = document.documentElement.clientWidth - box.width - 8;
    tip.style.left = `${Math.max(8, Math.min(x + 14, room))}px`;
    tip.style.top = `${y + 14 + box.height > window.innerHeight ? Math.max(8, y - box.height - 14) : y + 14}px`;
  };

  const tooltip = (_, event, item, value) => {
    if (value === null || value === undefined || value === "") hide();
    else show(value, event.clientX ?? 0, event.clientY ?? 0);
  };

  /* Arrow keys walk through what a pointer could hover. */
  const walkable = (box) => {
    let place = -1;
    box.addEventListener("keydown", (event) => {
      const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
      if (event.key === "Escape") hide();
      if (!step) return;
      const seen = [...box.querySelectorAll("svg path, svg rect")]
        .filter((node) => node.__data__?.tooltip && node.__data__.mark?.marktype !== "path");
      if (!seen.length) return;
      event.preventDefault();
      place = (place + step + seen.length) % seen.length;
      const at = seen[place].getBoundingClientRect();
      show(seen[place].__data__.tooltip, at.x + at.width / 2, at.y + at.height / 2);
    });
    box.addEventListener("blur", hide);
  };

  const draw = async (box, spec, more = {}) => {
    const made = await embed(box, spec, {
      mode: "vega-lite", renderer: "svg", actions: false, ast: true, config, tooltip, logLevel: LOG_ERRORS_ONLY, ...more,
    });
    return made.view;
  };

  const over = async (figure) => {
    const box = figure.querySelector(".pl-live");
    const still = figure.querySelector(".pl-still");
    figure.classList.add("pl-drawing");
    try {
      await draw(box, JSON.parse(figure.querySelector(".pl-spec").textContent));
      box.tabIndex = 0;
      box.setAttribute("role", "group");
      box.setAttribute("aria-label", `${still.getAttribute("aria-label")} Arrow keys read the points.`);
      walkable(box);
      figure.classList.add("pl-drawn");
    } catch (fault) {
      box.replaceChildren();
      console.warn("A figure stays a still picture:", fault.message);
    } finally {
      figure.classList.remove("pl-drawing");
    }
  };

  Object.assign(window.plateline, { draw, walkable, hide });
  window.addEventListener("scroll", hide, { passive: true });

  window.plateline.ready = (async () => {
    for (const figure of document.querySelectorAll(".pl-figure")) await over(figure);
    document.documentElement.dataset.drawn = "all";
  })();
})();
