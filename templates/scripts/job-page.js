/*
 * The page of a job: zooms the map, finds a pin, switches units, remembers which pins are placed.
 * Everything it shows is already in the page; without it the page still reads.
 */
(() => {
  "use strict";
  const byId = (id) => document.getElementById(id);
  const table = byId("pins");
  const jobId = table.dataset.job;
  const rows = new Map([...table.querySelectorAll("tbody tr")].map((row) => [row.dataset.pin, row]));
  const marks = new Map([...document.querySelectorAll("#map .pin")].map((mark) => [mark.dataset.pin, mark]));

  /* What is remembered stays on this device. A browser may refuse to keep anything: then say so. */
  const store = {
    works: true,
    read(name) {
      try {
        return JSON.parse(localStorage.getItem(`pour-packet/${name}`) ?? "null");
      } catch {
        this.works = false;
        return null;
      }
    },
    write(name, value) {
      try {
        localStorage.setItem(`pour-packet/${name}`, JSON.stringify(value));
      } catch {
        this.works = false;
      }
    },
  };

  /* Units */
  const units = byId("units");
  const showUnits = (choice) => {
    document.documentElement.dataset.units = choice;
    for (const input of units.querySelectorAll("input")) input.checked = input.value === choice;
  };
  const kept = store.read("units");
  showUnits(kept === "metric" || kept === "inch" ? kept : "both");
  units.addEventListener("change", (event) => {
    showUnits(event.target.value);
    store.write("units", event.target.value);
  });
  units.hidden = false;

  /* Placed pins. A tick is kept with the cut that it was for: when the cut changes, the tick goes. */
  const placedName = `${jobId}/placed`;
  const cutOf = (row) => row.querySelector(".cut").textContent.trim();
  const placed = new Map();
  const recut = [];
  for (const [pin, cut] of Object.entries(store.read(placedName) ?? {})) {
    const row = rows.get(pin);
    if (row && cutOf(row) === cut) placed.set(pin, cut);
    else if (row) recut.push(pin);
  }
  const showProgress = () => {
    const parts = [`${placed.size} of ${rows.size} pins placed.`];
    if (recut.length > 0) parts.push(`Cut changed since it was placed, place again: ${recut.join(", ")}.`);
    if (!store.works) parts.push("This browser does not keep ticks after the page is closed.");
    byId("progress").textContent = parts.join(" ");
  };
  const showPlaced = (pin) => {
    const is = placed.has(pin);
    rows.get(pin).classList.toggle("placed", is);
    rows.get(pin).querySelector("input").checked = is;
    marks.get(pin)?.classList.toggle("placed", is);
  };
  for (const [pin, row] of rows) {
    row.querySelector("input").disabled = false;
    showPlaced(pin);
  }
  table.addEventListener("change", (event) => {
    const row = event.target.closest("tr");
    const pin = row.dataset.pin;
    if (event.target.checked) placed.set(pin, cutOf(row));
    else placed.delete(pin);
    if (recut.includes(pin)) recut.splice(recut.indexOf(pin), 1);
    store.write(placedName, Object.fromEntries(placed));
    showPlaced(pin);
    showProgress();
  });
  byId("clear").addEventListener("click", () => {
    if (placed.size === 0 || !confirm(`Clear the ticks of ${placed.size} pins?`)) return;
    placed.clear();
    store.write(placedName, {});
    for (const pin of rows.keys()) showPlaced(pin);
    showProgress();
  });
  byId("only-open").addEventListener("change", (event) => table.classList.toggle("only-open", event.target.checked));
  showProgress();

  /* Finding a pin */
  const plain = (text) => text.trim().toUpperCase().replace(/\s+/g, "");
  const names = new Map([...rows.keys()].map((pin) => [plain(pin), pin]));
  const answer = byId("answer");
  const show = (pin) => {
    for (const old of document.querySelectorAll(".found")) old.classList.remove("found");
    answer.replaceChildren();
    if (pin === undefined) return;
    const row = rows.get(pin);
    row.classList.add("found");
    marks.get(pin)?.classList.add("found");
    const big = document.createElement("strong");
    big.append(`${pin}: `, ...[...row.querySelector(".cut").childNodes].map((node) => node.cloneNode(true)));
    const where = document.createElement("span");
    where.textContent = row.querySelector(".where").textContent;
    answer.append(big, where);
  };
  byId("find").addEventListener("input", (event) => {
    const wanted = plain(event.target.value);
    const pin = names.get(wanted);
    show(pin);
    if (pin !== undefined) return goTo(pin);
    if (wanted !== "" && ![...names.keys()].some((name) => name.startsWith(wanted)))
      answer.textContent = `No pin is called ${event.target.value.trim()}.`;
  });
  byId("find").addEventListener("keydown", (event) => {
    const pin = names.get(plain(event.target.value));
    if (event.key !== "Enter" || pin === undefined) return;
    const row = rows.get(pin);
    if (row.classList.contains("placed")) byId("only-open").checked && byId("only-open").click();
    row.scrollIntoView({ block: "center" });
    row.querySelector("input").focus({ preventScroll: true });
  });
  byId("finder").hidden = false;
  byId("pin-tools").hidden = false;

  /* The map: the window on it is the viewBox. */
  const map = byId("map");
  const [, , wholeWidth, wholeHeight] = map.getAttribute("viewBox").split(" ").map(Number);
  const MOST = 40;
  const letter = Number(map.dataset.letter);
  const texts = map.querySelectorAll(".names, .pins");
  const WHOLE = { x: 0, y: 0, zoom: 1 };
  let view = WHOLE;
  /* The window at a zoom has the shape of its frame, so that a long floor fills a phone once it is zoomed. */
  const windowAt = (zoom) => {
    const box = map.getBoundingClientRect();
    const shape = box.width > 0 && box.height > 0 ? box.width / box.height : wholeWidth / wholeHeight;
    const width = Math.max(wholeWidth, wholeHeight * shape) / zoom;
    return { width, height: width / shape };
  };
  /* Within the floor; a floor that is narrower than the window stands in its middle. */
  const within = (at, size, whole) => (size >= whole ? (whole - size) / 2 : Math.min(whole - size, Math.max(0, at)));
  const apply = () => {
    const zoom = Math.min(MOST, Math.max(1, view.zoom));
    const { width, height } = windowAt(zoom);
    view = { zoom, x: within(view.x, width, wholeWidth), y: within(view.y, height, wholeHeight) };
    map.setAttribute(
      "viewBox",
      zoom === 1 ? `0 0 ${wholeWidth} ${wholeHeight}` : `${view.x} ${view.y} ${width} ${height}`,
    );
    byId("floor").classList.toggle("zoomed", zoom > 1);
    /* Text grows more slowly than the floor, so that names that crowd come apart. */
    for (const group of texts) group.setAttribute("font-size", letter / Math.sqrt(zoom));
  };
  /* Keeps the place under (clientX, clientY) where it is. */
  const zoomAt = (factor, clientX, clientY) => {
    const box = map.getBoundingClientRect();
    const alongX = (clientX - box.left) / box.width;
    const alongY = (clientY - box.top) / box.height;
    const zoom = Math.min(MOST, Math.max(1, view.zoom * factor));
    const [from, to] = [windowAt(view.zoom), windowAt(zoom)];
    view = {
      zoom,
      x: view.x + (from.width - to.width) * alongX,
      y: view.y + (from.height - to.height) * alongY,
    };
    apply();
  };
  /* So large, in pixels, are names where a pin is shown. */
  const LEGIBLE = 15;
  /* Brings a pin into the middle, near enough to read its name. */
  const goTo = (pin) => {
    const mark = marks.get(pin);
    const [x, y] = (mark?.getAttribute("transform")?.match(/-?[\d.]+/g) ?? []).map(Number);
    if (x === undefined || y === undefined) return;
    const pixels = (letter * map.getBoundingClientRect().width) / windowAt(1).width;
    const zoom = Math.min(MOST, Math.max(view.zoom, (LEGIBLE / pixels) ** 2, 1));
    const { width, height } = windowAt(zoom);
    view = { zoom, x: x - width / 2, y: y - height / 2 };
    apply();
  };
  const zoomMiddle = (factor) => {
    const box = map.getBoundingClientRect();
    zoomAt(factor, box.left + box.width / 2, box.top + box.height / 2);
  };
  const move = (alongX, alongY) => {
    const { width, height } = windowAt(view.zoom);
    view = { ...view, x: view.x + width * alongX, y: view.y + height * alongY };
    apply();
  };
  const actions = {
    in: () => zoomMiddle(1.6),
    out: () => zoomMiddle(1 / 1.6),
    whole: () => {
      view = WHOLE;
      apply();
    },
    left: () => move(-0.25, 0),
    right: () => move(0.25, 0),
    up: () => move(0, -0.25),
    down: () => move(0, 0.25),
  };
  byId("map-buttons").addEventListener("click", (event) => {
    const name = event.target.closest("button")?.dataset.map;
    if (name !== undefined) actions[name]();
  });
  byId("map-buttons").hidden = false;
  map.addEventListener(
    "wheel",
    (event) => {
      /* A plain wheel scrolls the page; with the control key, as a trackpad's pinch comes, it zooms. */
      if (!event.ctrlKey) return;
      event.preventDefault();
      zoomAt(Math.exp(-event.deltaY / 200), event.clientX, event.clientY);
    },
    { passive: false },
  );
  const fingers = new Map();
  let moved = 0;
  map.addEventListener("pointerdown", (event) => {
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    if (fingers.size === 1) moved = 0;
  });
  map.addEventListener("pointermove", (event) => {
    const from = fingers.get(event.pointerId);
    if (!from) return;
    const box = map.getBoundingClientRect();
    const to = { x: event.clientX, y: event.clientY };
    moved += Math.hypot(to.x - from.x, to.y - from.y);
    if (fingers.size === 1 && view.zoom > 1) {
      if (moved > 4) map.setPointerCapture(event.pointerId);
      move((from.x - to.x) / box.width, (from.y - to.y) / box.height);
    } else if (fingers.size === 2) {
      const other = [...fingers].find(([id]) => id !== event.pointerId)[1];
      const before = Math.hypot(from.x - other.x, from.y - other.y);
      const after = Math.hypot(to.x - other.x, to.y - other.y);
      if (before > 0) zoomAt(after / before, (to.x + other.x) / 2, (to.y + other.y) / 2);
    }
    fingers.set(event.pointerId, to);
  });
  for (const end of ["pointerup", "pointercancel", "pointerleave"])
    map.addEventListener(end, (event) => fingers.delete(event.pointerId));
  map.addEventListener("click", (event) => {
    const pin = event.target.closest(".pin")?.dataset.pin;
    if (pin === undefined || moved > 4) return;
    byId("find").value = pin;
    show(pin);
  });
  addEventListener("resize", () => {
    map.setAttribute("viewBox", `0 0 ${wholeWidth} ${wholeHeight}`);
    apply();
  });
  /* On paper the floor is whole. */
  let beforePrint = WHOLE;
  addEventListener("beforeprint", () => {
    beforePrint = view;
    view = WHOLE;
    apply();
  });
  addEventListener("afterprint", () => {
    view = beforePrint;
    apply();
  });
  map.addEventListener("dblclick", (event) => zoomAt(2, event.clientX, event.clientY));
})();
