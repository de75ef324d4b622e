// What was practised by day: a square a day, a week a column; over more than a year, a square a month.

const minutesWords = (one) => `${lasted(one.minutes)}, ${tries(one.tries)}`;

function practisedBy(choice) {
  const daily = choice.span.by === "day" || choice.span.name === "12m";
  if (daily || choice.span.name === "all") {
    const by = daily ? "day" : "month";
    const rows = rowsOf("practised", { ...choice, span: { ...choice.span, by } });
    return { by, rows: addedUp(rows, ["when"], ["minutes", "tries", "reached"]).map(withDate) };
  }
  if (choice.fingering === "all") return { by: "day", rows: calendarOf(choice) };
  const rows = rowsOf("practised", choice);
  return { by: "month", rows: addedUp(rows, ["when"], ["minutes", "tries", "reached"]).map(withDate) };
}
const withDate = (row) => ({ ...row, date: dateOf(row.when) });

function drawDays(choice) {
  const { by, rows } = practisedBy(choice);
  const total = d3.sum(rows, (row) => row.minutes);
  const unit =
    by === "day" ? `on ${counted(rows.length, "day", "days")}` : `in ${counted(rows.length, "month", "months")}`;
  const longest = d3.greatest(rows, (row) => row.minutes);
  const sentence =
    rows.length === 0
      ? ""
      : `${capital(choice.span.said)}: ${lasted(total)} of practice ${unit}, ` +
        `${tries(d3.sum(rows, (row) => row.tries))}. The most was ${lasted(longest.minutes)}, ${spokenDate(longest.when)}.`;
  const draw = (width) => (by === "day" ? calendar(choice, rows, width, sentence) : monthGrid(rows, width, sentence));
  fill(
    document.getElementById("by-day"),
    rows.length ? [{ draw }] : [],
    () =>
      d3
        .sort(rows, (row) => -row.date)
        .map((row) => [
          spokenDate(row.when),
          row.minutes.toFixed(row.minutes < 10 ? 1 : 0),
          `${row.tries}`,
          `${row.reached}`,
        ]),
    "Nothing was practised on this choice.",
  );
  document.querySelector("#by-day .sentence").textContent = sentence;
}

const shade = (rows, range) => ({
  type: "sqrt",
  domain: [
    0,
    Math.max(
      d3.max(rows, (row) => row.minutes),
      1,
    ),
  ],
  range,
});

const HEAD = 30; // the name of a month is so wide, px

function calendar(choice, rows, width, sentence) {
  const first = d3.utcMonday(d3.min([dateOf(choice.span.first), rows[0].date]));
  const last = dateOf(choice.span.last < LAST ? choice.span.last : LAST);
  const weeks = d3.utcMonday.count(first, last) + 1;
  const side = Math.max(5, Math.min(weeks > 12 ? 20 : 30, (width - 40) / weeks));
  const all = d3.utcDays(first, d3.utcDay.offset(last, 1));
  const week = (day) => d3.utcMonday.count(first, day);
  const weekday = (day) => (day.getUTCDay() + 6) % 7;
  const months = d3.utcMonths(first, last);
  const heads = months.length === 0 || week(months[0]) > 2 ? [first, ...months] : months;
  const shown = heads.filter((day) => day === heads[0] || (weeks - week(day)) * side > HEAD); // none is cut off
  return picture(sentence, {
    width: 40 + side * weeks,
    height: 24 + side * 7,
    marginLeft: 34,
    marginRight: 0,
    marginTop: 22,
    marginBottom: 2,
    padding: 0.14,
    x: { domain: d3.range(weeks), axis: null },
    y: { domain: d3.range(7), axis: null },
    opacity: shade(rows, [0.15, 1]),
    marks: [
      Plot.cell(all, { x: week, y: weekday, fill: RULE, fillOpacity: 0.35 }),
      Plot.cell(rows, {
        x: (row) => week(row.date),
        y: (row) => weekday(row.date),
        fill: REACHED,
        opacity: "minutes",
        rx: 1.5,
      }),
      Plot.text(["Mon", "", "Wed", "", "Fri", "", "Sun"], {
        x: () => 0,
        y: (_, at) => at,
        text: (name) => name,
        dx: -side / 2 - 5,
        textAnchor: "end",
        fill: SOFT,
        fontSize: Math.min(12, side + 3),
      }),
      Plot.text(shown, {
        x: week,
        y: () => 0,
        dy: -side / 2 - 9,
        dx: -side / 2,
        textAnchor: "start",
        fill: SOFT,
        fontSize: 12,
        text: (day) => monthHead(day, side),
      }),
      Plot.tip(
        rows,
        Plot.pointer({
          x: (row) => week(row.date),
          y: (row) => weekday(row.date),
          fill: SHEET,
          stroke: WOOD,
          title: (row) => `${spokenDate(row.when)}\n${minutesWords(row)}`,
        }),
      ),
    ],
  });
}

// Months where there is room for their names, the year with each January.
function monthHead(day, side) {
  const name = MONTHS[day.getUTCMonth()].slice(0, 3);
  if (day.getUTCMonth() === 0) return `${day.getUTCFullYear()}`;
  return side < 7 && day.getUTCMonth() % 3 ? "" : name;
}

function monthGrid(rows, width, sentence) {
  const years = d3.range(rows[0].date.getUTCFullYear(), rows.at(-1).date.getUTCFullYear() + 1);
  const side = Math.min(58, (width - 46) / 12);
  const at = { x: (row) => row.date.getUTCMonth(), y: (row) => row.date.getUTCFullYear() };
  const hours = (row) =>
    row.minutes < 30 ? `${Math.round(row.minutes)}′` : `${(row.minutes / 60).toFixed(row.minutes < 600 ? 1 : 0)}`;
  return picture(sentence, {
    width: 46 + side * 12,
    height: 24 + 30 * years.length,
    marginLeft: 44,
    marginRight: 0,
    marginTop: 22,
    marginBottom: 2,
    padding: 0.06,
    x: { domain: d3.range(12), axis: null },
    y: { domain: years, axis: null },
    opacity: shade(rows, [0.05, 0.42]), // pale enough for words on it
    marks: [
      Plot.cell(d3.cross(d3.range(12), years), {
        x: (pair) => pair[0],
        y: (pair) => pair[1],
        fill: RULE,
        fillOpacity: 0.3,
      }),
      Plot.cell(rows, { ...at, fill: REACHED, opacity: "minutes", rx: 2 }),
      Plot.text(rows, { ...at, text: hours, fontSize: side < 30 ? 9.5 : 12, fill: INK }),
      Plot.text(years, {
        x: () => 0,
        y: (year) => year,
        text: (year) => `${year}`,
        dx: -side / 2 - 6,
        textAnchor: "end",
        fill: SOFT,
        fontSize: 12,
      }),
      Plot.text(d3.range(12), {
        x: (month) => month,
        y: () => years[0],
        dy: -24,
        fill: SOFT,
        fontSize: 12,
        text: (month) => MONTHS[month].slice(0, side < 30 ? 1 : 3),
      }),
      Plot.tip(
        rows,
        Plot.pointer({
          ...at,
          fill: SHEET,
          stroke: WOOD,
          title: (row) => `${spokenDate(row.when)}\n${minutesWords(row)}`,
        }),
      ),
    ],
  });
}
