/* The index over all jobs: shows the jobs that have every word of the search. */
(() => {
  "use strict";
  const rows = [...document.querySelectorAll("#jobs tbody tr")];
  const found = document.getElementById("found");
  document.getElementById("search").addEventListener("input", (event) => {
    const wanted = event.target.value.toLowerCase().split(/\s+/).filter((word) => word !== "");
    let shown = 0;
    for (const row of rows) {
      const hit = wanted.every((word) => row.dataset.words.includes(word));
      row.hidden = !hit;
      if (hit) shown += 1;
    }
    found.textContent = wanted.length === 0 ? "" : `${shown} of ${rows.length} jobs`;
  });
  document.getElementById("search-tools").hidden = false;
})();
