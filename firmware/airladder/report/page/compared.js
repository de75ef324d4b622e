// Overtone against usual fingering, and tongued against air.

const BELOW = { unison: "", octave: ", an octave below", fifth: ", a fifth below", twelfth: ", a twelfth below" };

function drawCompared(choice) {
  const rows = rowsOf("compared", choice)
    .filter((row) => row.difference)
    .map((row) => ({ ...row, name: `${row.partial} and ${row.usual}${BELOW[row.interval]}` }));
  const most = reachOf(
    rows.map((row) => row.difference),
    15,
    60,
  );
  const cards = byTube(choice, rows, (tube, own) => (width) => apart(tube, own, width, most));
  fill(
    document.getElementById("compared"),
    cards,
    () =>
      inOrder(rows).map((row) => [
        capital(row.tube.spoken),
        row.name,
        spokenDate(row.when),
        middleText(row.difference),
        rangeText(row.difference),
        `${row.difference.n}`,
      ]),
    "No overtone was set against its usual fingering on this choice.",
  );
}

// A row a pair: pale strokes are the medians of before, the bar and the dot are the newest.
function apart(tube, rows, width, most) {
  const pairs = d3.sort(
    d3.groups(rows, (row) => row.name),
    ([, own]) => -own[0].partial,
    ([, own]) => own[0].interval,
  );
  const newest = pairs.map(([, own]) => d3.greatest(own, (row) => row.date));
  const clamped = (number) => Math.min(most, Math.max(-most, number));
  const told = newest.map(
    (row) => `partial ${row.name} ${signed(row.difference.mid)} cents in ${spokenDate(row.when)}`,
  );
  return picture(`Overtones of ${tube.spoken} against usual fingerings. The newest: ${listed(told)}.`, {
    width,
    height: 40 + 42 * pairs.length,
    marginLeft: 14,
    marginTop: 0,
    marginBottom: 36,
    x: { domain: [-most, most], axis: null },
    y: { domain: pairs.map(([name]) => name), axis: null, type: "band", padding: 0 },
    marks: [
      ...[
        [-most, "start"],
        [0, "middle"],
        [most, "end"],
      ].map(([x, textAnchor]) =>
        Plot.text([x], {
          x,
          frameAnchor: "bottom",
          dy: 18,
          textAnchor,
          fill: SOFT,
          fontSize: 12,
          text: () => (x === 0 ? "the same" : `${signed(x)} ${x < 0 ? "flat" : "sharp"}`),
        }),
      ),
      Plot.ruleX([0], { stroke: WOOD, strokeWidth: 1.4 }),
      Plot.text(newest, {
        y: "name",
        x: () => -most,
        text: "name",
        textAnchor: "start",
        dx: -8,
        dy: -11,
        fill: INK,
        fontSize: 13,
        stroke: "var(--paper)",
        strokeWidth: 5,
      }),
      Plot.tickX(rows, {
        x: (row) => clamped(row.difference.mid),
        y: "name",
        stroke: INK,
        strokeOpacity: 0.22,
        insetTop: 22,
        insetBottom: 4,
      }),
      Plot.ruleY(newest, {
        y: "name",
        x1: (row) => clamped(row.difference.low),
        x2: (row) => clamped(row.difference.high),
        dy: 9,
        stroke: REACHED,
        strokeOpacity: 0.35,
        strokeWidth: 9,
        strokeLinecap: "round",
      }),
      Plot.dot(newest, {
        y: "name",
        x: (row) => clamped(row.difference.mid),
        dy: 9,
        r: 5,
        stroke: REACHED,
        strokeWidth: 1.8,
        fill: (row) => (row.difference.n < FEW ? SHEET : REACHED),
      }),
    ],
  });
}

function drawStarts(choice) {
  const rows = addedUp(rowsOf("starts", choice), ["tube", "partial", "kind"], ["asked", "reached", "right"])
    .filter((row) => row.asked > 0)
    .map((row) => ({ ...row, ...wilson(row.reached, row.asked), share: row.reached / row.asked }));
  const cards = byTube(choice, rows, (tube, own) => (width) => starts(tube, own, width));
  fill(
    document.getElementById("starts"),
    cards,
    () =>
      d3
        .sort(
          rows,
          (row) => row.tube.index,
          (row) => row.partial,
        )
        .map((row) => [
          capital(row.tube.spoken),
          rungName(row.tube, row.partial),
          row.kind,
          `${row.reached} of ${row.asked}`,
          `${Math.round(100 * row.low)} to ${Math.round(100 * row.high)} %`,
          `${row.right} of ${row.asked}`,
        ]),
    "No tongued or air start was asked for on this choice.",
  );
}

function starts(tube, rows, width) {
  const partials = [...new Set(rows.map((row) => row.partial))];
  const told = d3
    .sort(rows, (row) => row.partial)
    .map((row) => `partial ${row.partial} ${row.kind} in ${row.reached} of ${row.asked}`);
  const one = (kind, dy, stroke, fill, dash) => {
    const own = rows.filter((row) => row.kind === kind);
    return [
      Plot.ruleY(own, { y: "partial", x1: "low", x2: "high", dy, stroke, strokeWidth: 2, strokeDasharray: dash }),
      Plot.dot(own, { x: "share", y: "partial", dy, r: 4.6, fill, stroke, strokeWidth: 1.8 }),
    ];
  };
  return picture(`Starts on ${tube.spoken}. Spoke: ${listed(told)}.`, {
    width,
    height: ladderHeight(partials),
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
      Plot.ruleY(partials, { stroke: RULE }),
      ...one("tongued", -4, REACHED, REACHED),
      ...one("air", 4, MISSED, SHEET, "4 3"),
      ...rungNames(tube, partials, 0),
    ],
  });
}
