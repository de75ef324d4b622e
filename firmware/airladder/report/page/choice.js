// What is looked at: one horn, all its fingerings or one, and a span of time. It stands in the address after the "#".

const form = document.getElementById("choose");
const DAY = 24 * 60 * 60 * 1000;

// Spans by their names in the address. Up to 60 days are told day by day, all others month by month.
function spanNamed(name) {
  const newest = dateOf(LAST);
  if (name.endsWith("d")) {
    const days = Number.parseInt(name, 10);
    const first = new Date(newest - (days - 1) * DAY).toISOString().slice(0, 10);
    return { name, by: "day", first, last: LAST, holds: (when) => when >= first, said: `the newest ${days} days` };
  }
  if (name === "12m") {
    const first = new Date(Date.UTC(newest.getUTCFullYear(), newest.getUTCMonth() - 11, 1)).toISOString().slice(0, 7);
    return {
      name,
      by: "month",
      first: `${first}-01`,
      last: LAST,
      holds: (when) => monthsOf(when).at(-1) >= first,
      said: "the newest 12 months",
    };
  }
  if (name === "all") {
    return { name, by: "month", first: part.totals.first, last: LAST, holds: () => true, said: "the whole time" };
  }
  return {
    name,
    by: "month",
    first: `${name}-01-01`,
    last: `${name}-12-31`,
    holds: (when) => when.startsWith(`${name}-`),
    said: `the year ${name}`,
  };
}

const options = (select) => [...form.elements[select].options].map((option) => option.value);
const fingeringsOf = (horn) => tubes.filter((tube) => tube.horn === horn && practisedTubes.has(tube.index));
const practisedTubes = new Set(part.practised.month.map((row) => row[1]));

// The choice in words of the address; what it does not know, or does not say, is the first that the page offers.
function chosen(fragment) {
  const words = new URLSearchParams(fragment.replace(/^#/, ""));
  const horn = options("horn").includes(words.get("horn")) ? words.get("horn") : form.dataset.horn;
  const names = fingeringsOf(horn).map((tube) => tube.fingering);
  const fingering = names.includes(words.get("fingering")) ? words.get("fingering") : "all";
  const span = spanNamed(options("time").includes(words.get("time")) ? words.get("time") : form.dataset.time);
  return {
    horn,
    fingering,
    span,
    holds: (tube) => tube.horn === horn && (fingering === "all" || tube.fingering === fingering),
    tubes: fingeringsOf(horn).filter((tube) => fingering === "all" || tube.fingering === fingering),
  };
}

const addressOf = ({ horn, fingering, span }) => `#${new URLSearchParams({ horn, fingering, time: span.name })}`;

// Put the choice into the form; the fingerings offered are those of its horn.
function shownInForm(choice) {
  const offered = fingeringsOf(choice.horn).map((tube) => new Option(capital(tube.spoken), tube.fingering));
  form.elements.fingering.replaceChildren(new Option("all", "all"), ...offered);
  form.elements.horn.value = choice.horn;
  form.elements.fingering.value = choice.fingering;
  form.elements.time.value = choice.span.name;
}

// Call `draw` with the choice now, and whenever it changes by form, address or the way back.
function whenChosen(draw) {
  const isChoice = (hash) => hash === "" || hash.includes("=");
  const take = (choice) => {
    shownInForm(choice);
    draw(choice);
  };
  form.addEventListener("change", () => {
    const choice = chosen(new URLSearchParams(new FormData(form)).toString());
    history.pushState(null, "", addressOf(choice));
    take(choice);
  });
  form.addEventListener("reset", (event) => {
    event.preventDefault();
    history.pushState(null, "", "#");
    take(chosen(""));
  });
  addEventListener("popstate", () => {
    if (isChoice(location.hash)) take(chosen(location.hash));
  });
  form.addEventListener("submit", (event) => event.preventDefault());
  take(chosen(isChoice(location.hash) ? location.hash : ""));
}
