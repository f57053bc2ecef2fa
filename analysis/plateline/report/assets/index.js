// Finds clients by any word of their rows and puts rows in another order; without scripts the
// page is simply whole, by need of a decision.
(() => {
  const box = document.getElementById("pl-find");
  if (!box) return;
  box.closest("p").hidden = false;
  const groups = [...document.querySelectorAll(".pl-group")];
  const rows = groups.map((group) => [...group.querySelectorAll("tbody tr")]);
  const name = (row) => row.querySelector("th").textContent.toLowerCase();
  const last = (row) => row.querySelector("time")?.dateTime ?? "";
  const keys = { name, last };

  box.addEventListener("input", () => {
    const wanted = box.value.trim().toLowerCase();
    groups.forEach((group, place) => {
      for (const row of rows[place]) row.hidden = !row.textContent.toLowerCase().includes(wanted);
      group.hidden = rows[place].every((row) => row.hidden);
    });
  });
  document.getElementById("pl-order").addEventListener("change", (event) => {
    const key = keys[event.target.value];
    groups.forEach((group, place) => {
      const placed = [...rows[place]];
      if (key) placed.sort((one, other) => key(one).localeCompare(key(other)));
      group.querySelector("tbody").append(...placed);
    });
  });
})();
