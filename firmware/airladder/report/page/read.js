// What stands in the page as JSON, as rows with names. Its form is that of report/form.py; rows of the practice alone.

const figures = JSON.parse(document.getElementById("figures").textContent);
const part = figures.practice;
const tubes = figures.tubes.map((tube, index) => ({ ...tube, index }));
const LAST = part.totals.last; // the newest day of practice

const COLUMNS = {
  practised: ["period", "tube", "minutes", "tries", "reached"],
  rungs: ["period", "tube", "partial", "tries", "reached", "right", "cold", "coldRight", "cents", "speak"],
  starts: ["period", "tube", "partial", "kind", "asked", "reached", "right", "began", "beganReached", "speak"],
  compared: ["period", "tube", "partial", "usual", "interval", "difference"],
  fundamentals: ["period", "tube", "hz", "cents"],
};
const MIDDLES = new Set(["cents", "speak", "difference", "hz"]);

// [n, lower quartile, median, upper quartile] as names; null where nothing was measured.
const middle = (found) => found && { n: found[0], low: found[1], mid: found[2], high: found[3] };

// The rows of one kind for a choice, each with its tube and with `when`, the day, month or quarter that it is of.
function rowsOf(kind, choice) {
  const by = choice.span.by === "month" && part[kind].quarter ? "quarter" : choice.span.by;
  const names = part[`${by}s`];
  const wanted = names.map((name) => choice.span.holds(name));
  return part[kind][by]
    .filter((row) => wanted[row[0]] && choice.holds(tubes[row[1]]))
    .map((row) => {
      const named = {};
      COLUMNS[kind].forEach((name, at) => {
        named[name] = MIDDLES.has(name) ? middle(row[at]) : row[at];
      });
      named.when = names[row[0]];
      named.date = dateOf(named.when);
      named.tube = tubes[row[1]];
      return named;
    });
}

// Days ever practised on the horn of the choice: [day, minutes, tries, reached].
function calendarOf(choice) {
  return part.calendar
    .filter(([day, horn]) => horn === choice.horn && choice.span.holds(day))
    .map(([day, , minutes, tries, reached]) => ({ when: day, date: dateOf(day), minutes, tries, reached }));
}

// The middle of a day, a month ("2026-05") or a quarter ("2026-Q2") as a date (UTC: no zone of the reader moves it).
function dateOf(text) {
  if (text.length === 10) return new Date(`${text}T12:00:00Z`);
  return new Date(`${text.includes("Q") ? monthsOf(text)[1] : text}-15T00:00:00Z`);
}

// The months of a quarter; of a day or a month, its own.
function monthsOf(text) {
  const [year, quarter] = text.split("-Q");
  if (!quarter) return [text.slice(0, 7)];
  return d3.range(3 * quarter - 2, 3 * quarter + 1).map((month) => `${year}-${String(month).padStart(2, "0")}`);
}

// Counts of rows that are alike by `keys`, added up.
function addedUp(rows, keys, counts) {
  const groups = d3.groups(rows, (row) => keys.map((key) => (key === "tube" ? row.tube.index : row[key])).join("|"));
  return groups.map(([, alike]) => ({
    ...Object.fromEntries(keys.map((key) => [key, alike[0][key]])),
    ...Object.fromEntries(counts.map((count) => [count, d3.sum(alike, (row) => row[count])])),
  }));
}
