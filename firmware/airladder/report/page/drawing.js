// What all plots share: colours of the page, the rungs, and how a figure is filled.

const INK = "var(--ink)",
  SOFT = "var(--soft)",
  RULE = "var(--rule)",
  WOOD = "var(--wood)",
  SHEET = "var(--sheet)";
const REACHED = "var(--reached)",
  MISSED = "var(--missed)",
  BAND = "var(--band)";
const CLOSE = { marginTop: 8, marginRight: 14, marginBottom: 30, marginLeft: 62 };

// A plot as a picture with a sentence for those who do not see it. Plot's own style stands in plots.css, since the
// page lets no style in that it did not bring.
function picture(sentence, settings) {
  const drawn = Plot.plot({ ...CLOSE, style: { background: "none" }, ...settings });
  drawn.querySelector("style")?.remove();
  for (const part of drawn.querySelectorAll("[aria-label]")) {
    // the names of Plot's parts are no names for a reader
    part.dataset.part = part.getAttribute("aria-label");
    part.removeAttribute("aria-label");
  }
  drawn.setAttribute("role", "img");
  drawn.setAttribute("aria-label", sentence);
  return drawn;
}

// The height of a partial on a ladder: as far apart as the partials are (log frequency), low notes below.
const rungScale = (partials) => ({
  type: "log",
  base: 2,
  domain: [d3.min(partials) * 0.86, Math.max(d3.max(partials), 2) * 1.14],
  axis: null,
  label: null,
});
const ladderHeight = (partials) => 60 + 118 * Math.log2(Math.max(d3.max(partials), 2) / d3.min(partials));

// Names of the rungs at the left of a ladder: the partial, and the written note.
function rungNames(tube, partials, at) {
  return [
    Plot.text(partials, {
      x: () => at,
      y: (n) => n,
      text: (n) => `${n}`,
      dx: -44,
      textAnchor: "end",
      fill: INK,
      fontSize: 13,
    }),
    Plot.text(partials, {
      x: () => at,
      y: (n) => n,
      text: (n) => noteOf(tube, n),
      dx: -36,
      textAnchor: "start",
      fill: INK,
      fontSize: 13,
    }),
  ];
}

// The scale of time of a choice, in whole days, months or quarters, and its axis: as few words as the width allows.
function timeScale(choice, quarters = false) {
  const unit = choice.span.by === "day" ? d3.utcDay : quarters ? d3.utcMonth.every(3) : d3.utcMonth;
  const domain = [unit.floor(dateOf(choice.span.first)), unit.offset(unit.floor(dateOf(choice.span.last)), 1)];
  return { type: "utc", domain, axis: null };
}
const timeAxis = (width) =>
  Plot.axisX({
    ticks: Math.max(3, Math.floor(width / 90)),
    tickSize: 3,
    stroke: WOOD,
    fill: SOFT,
    fontSize: 12,
    lineHeight: 1.25,
  });

// A card for each fingering of the choice of which there are rows.
function byTube(choice, rows, drawing) {
  return choice.tubes
    .map((tube) => [tube, rows.filter((row) => row.tube.index === tube.index)])
    .filter(([, own]) => own.length)
    .map(([tube, own]) => ({ title: capital(tube.spoken), draw: drawing(tube, own) }));
}

// The width of a plot in its place: that of a column where there are many. A window that is not shown yet has none.
function widthOf(place) {
  const columns = getComputedStyle(place).gridTemplateColumns.split(" ").map(Number.parseFloat);
  return Math.max(
    240,
    Math.floor(place.classList.contains("many") ? columns[0] : place.getBoundingClientRect().width),
  );
}

// Fill a section: its plots, one for each of `cards` ({title, draw(width)}), and its table, which is made when it is opened.
function fill(section, cards, table, empty) {
  const place = section.querySelector(".drawn");
  place.classList.toggle("alone", cards.length === 1);
  const width = widthOf(place);
  const shown = cards.map((card) => {
    const box = document.createElement("div");
    if (card.title) box.append(Object.assign(document.createElement("h3"), { textContent: card.title }));
    box.append(card.draw(width));
    return box;
  });
  const none = Object.assign(document.createElement("p"), { className: "few", textContent: empty });
  place.replaceChildren(...(shown.length ? shown : [none]));
  const details = section.querySelector("details");
  details.hidden = shown.length === 0;
  const write = () => writeRows(details.querySelector("tbody"), table());
  details.ontoggle = () => {
    if (details.open) write();
  };
  if (details.open) write();
}

// Rows of text into a table; the heads of its columns say which are numbers.
function writeRows(body, rows) {
  const kinds = [...body.parentElement.querySelectorAll("thead th")].map((head) => head.className);
  body.replaceChildren(
    ...rows.map((cells) => {
      const row = document.createElement("tr");
      row.append(
        ...cells.map((text, at) => {
          const cell = document.createElement(at === 0 ? "th" : "td");
          if (at === 0) cell.scope = "row";
          cell.className = kinds[at];
          cell.textContent = text;
          return cell;
        }),
      );
      return row;
    }),
  );
}
const inOrder = (rows) =>
  d3.sort(
    rows,
    (row) => row.tube.index,
    (row) => row.partial ?? 0,
    (row) => row.date,
  );
