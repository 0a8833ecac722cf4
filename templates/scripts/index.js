/* The index over all jobs: shows the jobs that have every word of the search, in the order asked for, a pageful at a time. */
(() => {
  "use strict";
  const PAGEFUL = 100;
  const jobs = JSON.parse(document.getElementById("jobs-data").textContent).map((line, place) => {
    const [id, title, about, status, area, depth, bags, difference, areaM2, depthMm, bagsApart, more] = line;
    const words = [id, title, about, status, more].join(" ").toLowerCase();
    const states = status.split(/[,;] /);
    return { id, title, about, status, states, area, depth, bags, difference, areaM2, depthMm, bagsApart, words, place };
  });
  const byId = (id) => document.getElementById(id);
  const [search, order, phase, found, more] = ["search", "order", "phase", "found", "more"].map(byId);
  const body = document.querySelector("#jobs tbody");
  // Where a value is not there, the job comes last.
  const greatest = (key) => (a, b) => (b[key] ?? -Infinity) - (a[key] ?? -Infinity) || a.place - b.place;
  const ORDERS = {
    newest: (a, b) => a.place - b.place,
    area: greatest("areaM2"),
    depth: greatest("depthMm"),
    difference: (a, b) => Math.abs(b.bagsApart ?? 0) - Math.abs(a.bagsApart ?? 0) || a.place - b.place,
  };
  let hits = jobs;
  let shown = 0;

  const element = (name, text, className) => {
    const made = document.createElement(name);
    if (className) made.className = className;
    if (text) made.textContent = text;
    return made;
  };
  const both = (values) => {
    const cell = element("td", "", "number");
    if (values.length > 0) {
      const pair = element("span", "", "both");
      pair.append(element("span", values[0], "large"), " ", element("span", values[1], "small"));
      cell.append(pair);
    }
    return cell;
  };
  const rowOf = (job) => {
    const row = document.createElement("tr");
    const name = element("th");
    name.scope = "row";
    const link = element("a", job.title);
    link.href = `${job.id}/index.html`;
    name.append(link, element("span", job.about, "where"));
    row.append(name, element("td", job.status), both(job.area), both(job.depth));
    row.append(element("td", job.bags, "number"), element("td", job.difference, "number"));
    return row;
  };
  const showMore = () => {
    const rows = document.createDocumentFragment();
    for (const job of hits.slice(shown, shown + PAGEFUL)) rows.append(rowOf(job));
    body.append(rows);
    shown = Math.min(hits.length, shown + PAGEFUL);
    more.hidden = shown >= hits.length;
  };
  const look = () => {
    const wanted = search.value.toLowerCase().split(/\s+/).filter((word) => word !== "");
    const state = phase.value;
    hits = jobs.filter(
      (job) => (state === "" || job.states.includes(state)) && wanted.every((word) => job.words.includes(word)),
    );
    if (order.value !== "newest") hits.sort(ORDERS[order.value]);
    body.replaceChildren();
    shown = 0;
    showMore();
    found.textContent = `${hits.length} of ${jobs.length} jobs`;
  };
  search.addEventListener("input", look);
  order.addEventListener("change", look);
  phase.addEventListener("change", look);
  more.addEventListener("click", showMore);
  byId("search-tools").hidden = false;
  const plain = byId("plain-note");
  if (plain) plain.hidden = true;
  look();
})();
