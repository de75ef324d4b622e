// The ladder of each fingering: how surely each partial speaks.

const share = (row) => row.reached / row.tries;
const countsOf = (row) => `${row.reached} of ${row.tries}`;

function drawLadders(choice) {
  const rows = addedUp(rowsOf("rungs", choice), ["tube", "partial"], ["tries", "reached"]);
  const cards = byTube(
    choice,
    rows,
    (tube, own) => (width) =>
      ladder(
        tube,
        d3.sort(own, (row) => row.partial),
        width,
      ),
  );
  fill(
    document.getElementById("ladders"),
    cards,
    () =>
      d3
        .sort(
          rows,
          (row) => row.tube.index,
          (row) => row.partial,
        )
        .map((row) => {
          const { low, high } = wilson(row.reached, row.tries);
          return [
            capital(row.tube.spoken),
            rungName(row.tube, row.partial),
            `${row.reached} of ${row.tries}`,
            `${Math.round(100 * low)} to ${Math.round(100 * high)} %`,
            row.tries < FEW ? "few tries" : "",
            coachSays(row),
          ];
        }),
    "No single partials were tried on this choice.",
  );
}

function coachSays(row) {
  const rung = figures.ladder
    .find((ladder) => ladder.tube === row.tube.index)
    ?.rungs.find((one) => one.partial === row.partial);
  return rung ? rung.sentence : "";
}

function ladder(tube, rows, width) {
  const partials = rows.map((row) => row.partial);
  const sure = rows.map((row) => ({ ...row, ...wilson(row.reached, row.tries), share: share(row) }));
  const told = sure.map((row) => `partial ${row.partial} in ${row.reached} of ${row.tries}`);
  return picture(`Ladder of ${tube.spoken}. Spoke: ${listed(told)}.`, {
    width,
    height: ladderHeight(partials),
    marginRight: 16 + 6.4 * d3.max(sure, (row) => countsOf(row).length),
    marginTop: 4,
    x: { domain: [0, 1], axis: null },
    y: rungScale(partials),
    marks: [
      Plot.axisX([0, 0.5, 1], {
        tickFormat: (x) => ["none", "half", "all"][2 * x],
        tickSize: 0,
        fill: SOFT,
        fontSize: 12,
      }),
      Plot.ruleX([0, 1], { stroke: WOOD, strokeWidth: 3, strokeLinecap: "round" }),
      Plot.ruleX([0.5], { stroke: RULE, strokeDasharray: "2 4" }),
      Plot.ruleY(partials, { x1: 0, x2: 1, stroke: WOOD, strokeWidth: 1.4 }),
      Plot.ruleY(sure, {
        y: "partial",
        x1: "low",
        x2: "high",
        stroke: REACHED,
        strokeOpacity: 0.32,
        strokeWidth: 11,
        strokeLinecap: "round",
      }),
      Plot.dot(sure, {
        x: "share",
        y: "partial",
        r: 5,
        fill: (row) => (row.tries < FEW ? SHEET : REACHED),
        stroke: REACHED,
        strokeWidth: 1.8,
      }),
      Plot.text(sure, {
        x: () => 1,
        y: "partial",
        text: countsOf,
        dx: 9,
        textAnchor: "start",
        fill: SOFT,
        fontSize: 12,
      }),
      ...rungNames(tube, partials, 0),
    ],
  });
}
