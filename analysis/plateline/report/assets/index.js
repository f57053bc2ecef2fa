// Finds a client by any word of its row; without scripts the page is simply whole.
(() => {
  const box = document.getElementById("pl-find");
  if (!box) return;
  box.closest("p").hidden = false;
  const rows = [...document.querySelectorAll(".pl-index tbody tr")];
  box.addEventListener("input", () => {
    const wanted = box.value.trim().toLowerCase();
    for (const row of rows) row.hidden = !row.textContent.toLowerCase().includes(wanted);
    for (const group of document.querySelectorAll(".pl-group"))
      group.hidden = !group.querySelector("tbody tr:not([hidden])");
  });
})();
