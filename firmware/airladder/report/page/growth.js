// The rungs over time. A rung is as thick as it was sure; the day or month is one piece of it.

function drawGrowth(choice) {
  const rows = rowsOf("rungs", choice).map((row) => ({ ...row, ...pieceOf(row, choice), share: share(row) }));
  const cards = byTube(choice, rows, (tube, own) => (width) => growth(choice, tube, own, width));
  fill(
    document.getElementById("growth"),
    cards,
    () =>
      inOrder(rows).map((row) => [
        capital(row.tube.spoken),
        rungName(row.tube, row.partial),
        spokenDate(row.when),
        `${row.reached} of ${row.tries}`,
        `${row.coldRight} of ${row.cold}`,
      ]),
    "No single partials were tried on this choice.",
  );
}

// Where the piece of a day or a month begins and ends.
function pieceOf(row, choice) {
  const unit = choice.span.by === "day" ? d3.utcDay : d3.utcMonth;
  const from = unit.floor(row.date);
  return { from, to: unit.offset(from, 1) };
}

function growth(choice, tube, rows, width) {
  const partials = [...new Set(rows.map((row) => row.partial))];
  const x = timeScale(choice);
  const gap = (width - 76) / ((x.domain[1] - x.domain[0]) / (rows[0].to - rows[0].from)) > 5 ? 0.4 : 0;
  const thick = (row, side) => row.partial * 2 ** (side * 0.07 * row.share);
  const newest = d3
    .groups(
      d3.sort(rows, (row) => row.date),
      (row) => row.partial,
    )
    .map(([partial, own]) => [partial, own.at(-1)]);
  const told = d3
    .sort(newest, ([partial]) => partial)
    .map(([partial, row]) => `partial ${partial} in ${row.reached} of ${row.tries}, ` + spokenDate(row.when));
  return picture(
    `Rungs of ${tube.spoken} over time, thicker where they spoke more surely. The newest: ${listed(told)}.`,
    {
      width,
      height: ladderHeight(partials) + 8,
      marginTop: 4,
      marginBottom: 38,
      x,
      y: rungScale(partials),
      marks: [
        timeAxis(width - 76),
        Plot.ruleY(partials, { stroke: RULE }),
        Plot.rect(
          rows.filter((row) => row.reached > 0),
          {
            x1: "from",
            x2: "to",
            y1: (row) => thick(row, -1),
            y2: (row) => thick(row, 1),
            fill: REACHED,
            fillOpacity: (row) => (row.tries < FEW ? 0.45 : 0.95),
            insetLeft: gap,
            insetRight: gap,
          },
        ),
        Plot.rect(
          rows.filter((row) => row.reached === 0),
          {
            x1: "from",
            x2: "to",
            y1: (row) => row.partial * 0.991,
            y2: (row) => row.partial * 1.009,
            fill: MISSED,
            insetLeft: gap,
            insetRight: gap,
          },
        ),
        ...rungNames(tube, partials, x.domain[0]),
        Plot.tip(
          rows,
          Plot.pointer({
            x: "date",
            y: "partial",
            fill: SHEET,
            stroke: WOOD,
            title: (row) => `${spokenDate(row.when)}\npartial ${row.partial}: ${row.reached} of ${row.tries}`,
          }),
        ),
      ],
    },
  );
}
