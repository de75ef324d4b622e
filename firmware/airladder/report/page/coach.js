// Plateaus, the ways round them, and what the coach said.

const NEWEST = 6; // so many sayings stand open

function drawCoach(choice) {
  const way = figures.coach.find((one) => one.horn === choice.horn);
  const within = (first, last = first) => last >= choice.span.first && first <= choice.span.last;
  const own = (found) => choice.holds(tubes[found.tube]);
  const plateaus = (way?.plateaus ?? []).filter((found) => own(found) && within(found.day));
  const detours = (way?.detours ?? []).filter((found) => own(found) && within(found.first, found.last));
  const remarks = (way?.remarks ?? []).filter((found) => within(found.day));
  const told = d3
    .sort(
      [
        ...plateaus.map((found) => ({ day: found.day, text: found.sentence })),
        ...detours.map((found) => ({ day: found.last, text: found.sentence })),
        ...remarks.map((found) => ({ day: found.day, text: found.remark })),
      ],
      (one) => one.day,
    )
    .reverse();
  const section = document.getElementById("coach");
  const [newest, earlier] = section.querySelectorAll(".story");
  newest.replaceChildren(...told.slice(0, NEWEST).map(saidOn));
  earlier.replaceChildren(...told.slice(NEWEST).map(saidOn));
  earlier.parentElement.hidden = told.length <= NEWEST;
  const sentence =
    plateaus.length === 0
      ? "No plateau was seen on this choice."
      : `${capital(counted(plateaus.length, "plateau", "plateaus"))}, ${counted(detours.length, "detour", "detours")} that ended.`;
  section.querySelector(".sentence").textContent = sentence;
  const place = section.querySelector(".drawn");
  const rungs = [...new Set([...plateaus, ...detours].map(rungOf))];
  place.replaceChildren(
    ...(rungs.length ? [course(choice, rungs, plateaus, detours, sentence, widthOf(place))] : []),
  );
}

function saidOn({ day, text }) {
  const item = document.createElement("li");
  item.append(Object.assign(document.createElement("time"), { dateTime: day, textContent: spokenDate(day) }), text);
  return item;
}

const rungOf = (found) => `${found.partial} on ${tubes[found.tube].spoken}`;
const HELPED = { true: "helped", false: "did not help", null: "cannot be told" };

// A row a rung: a square where a plateau was seen, a bar for the days of the way round it.
function course(choice, rungs, plateaus, detours, sentence, width) {
  return picture(sentence, {
    width,
    height: 54 + 34 * rungs.length,
    marginLeft: 128,
    marginBottom: 38,
    marginRight: 100,
    x: timeScale(choice),
    y: { domain: rungs, axis: null, type: "band" },
    marks: [
      Plot.axisY({ tickSize: 0, fill: INK, fontSize: 13, label: null }),
      timeAxis(width - 228),
      Plot.ruleY(rungs, { stroke: RULE }),
      Plot.ruleY(detours, {
        y: rungOf,
        x1: (found) => dateOf(found.first),
        x2: (found) => d3.utcDay.offset(dateOf(found.last), 1),
        stroke: REACHED,
        strokeWidth: 9,
      }),
      Plot.dot(plateaus, {
        y: rungOf,
        x: (found) => dateOf(found.day),
        symbol: "square",
        r: 5.5,
        fill: SHEET,
        stroke: MISSED,
        strokeWidth: 2,
      }),
      Plot.text(detours, {
        y: rungOf,
        x: (found) => dateOf(found.last),
        text: (found) => HELPED[found.helped],
        dx: 12,
        textAnchor: "start",
        fill: SOFT,
        fontSize: 12,
      }),
    ],
  });
}
