// A row a partial, the high ones above; for each day, month or quarter the median, and the middle half as a bar.
// Medians are never put together to medians of longer times.

// How far the plot reaches on either side of nought: what holds nearly all, in tens.
function reachOf(middles, least, most) {
  const far = middles.map((found) => Math.max(Math.abs(found.low), Math.abs(found.high)));
  return Math.min(most, Math.max(least, Math.ceil((d3.quantile(far, 0.97) || 0) / 10) * 10));
}

// Such as "Partial 2 −3 cents, May 2026, and partial 3 +4 cents, May 2026."
function newestTold(rows, value, said) {
  const newest = d3
    .groups(
      d3.sort(rows, (row) => row.date),
      (row) => row.partial,
    )
    .map(([, own]) => own.at(-1));
  if (newest.length === 0) return "None.";
  return `The newest: ${listed(
    d3
      .sort(newest, (row) => row.partial)
      .map((row) => `partial ${row.partial} ${said(value(row).mid)} in ` + spokenDate(row.when)),
  )}.`;
}

function overTime(
  choice,
  tube,
  width,
  { sentence, series, domain, ticks, zero = false, quarters = false, rowHeight = 58 },
) {
  const partials = d3.sort(new Set(series.flatMap(({ rows }) => rows.map((row) => row.partial))), (n) => -n);
  const clamped = (number) => Math.min(domain[1], Math.max(domain[0], number));
  return picture(sentence, {
    width,
    height: 44 + rowHeight * partials.length,
    marginTop: 6,
    marginRight: 38,
    marginBottom: 38,
    x: timeScale(choice, quarters),
    y: { type: zero ? "linear" : "sqrt", domain, axis: null, inset: 4 },
    fy: { domain: partials, axis: null, padding: 0.14 },
    marks: [
      Plot.axisFy({
        anchor: "left",
        label: null,
        tickSize: 0,
        fill: INK,
        fontSize: 13,
        tickFormat: (n) => rungName(tube, n),
        dx: -4,
      }),
      Plot.frame({ fill: SHEET, stroke: RULE }),
      timeAxis(width - 100),
      Plot.axisY({
        anchor: "right",
        ticks,
        tickSize: 0,
        fill: SOFT,
        fontSize: 11,
        label: null,
        tickFormat: (number) => (zero ? signed(number) : `${number}`),
      }),
      ...(zero ? [Plot.ruleY([0], { stroke: WOOD, strokeWidth: 1.4 })] : []),
      ...series.flatMap(({ rows, value, stroke, dashed }) => [
        Plot.ruleX(rows, {
          fy: "partial",
          x: "date",
          y1: (row) => clamped(value(row).low),
          y2: (row) => clamped(value(row).high),
          stroke,
          strokeOpacity: 0.3,
          strokeWidth: barWidth(rows, width),
        }),
        Plot.line(
          d3.sort(rows, (row) => row.date),
          {
            fy: "partial",
            x: "date",
            y: (row) => clamped(value(row).mid),
            stroke,
            strokeWidth: 1.3,
            strokeDasharray: dashed ? "4 3" : undefined,
          },
        ),
        Plot.dot(rows, {
          fy: "partial",
          x: "date",
          y: (row) => clamped(value(row).mid),
          r: rows.length > 300 ? 1.6 : 2.6,
          stroke,
          fill: (row) => (dashed || value(row).n < FEW ? SHEET : stroke),
          strokeWidth: 1.3,
        }),
      ]),
      Plot.tip(
        series.flatMap(({ rows, value }) => rows.map((row) => ({ ...row, found: value(row) }))),
        Plot.pointer({
          fy: "partial",
          x: "date",
          y: (row) => clamped(row.found.mid),
          fill: SHEET,
          stroke: WOOD,
          title: (row) =>
            `${spokenDate(row.when)}${row.kind ? `, ${row.kind}` : ""}\n` +
            `median ${zero ? signed(row.found.mid) : Math.round(row.found.mid)}, middle half ${rangeText(row.found, 0, zero)}\nof ${row.found.n}`,
        }),
      ),
    ],
  });
}

const barWidth = (rows, width) =>
  Math.max(1.2, Math.min(7, (0.6 * (width - 100)) / Math.max(new Set(rows.map((row) => row.when)).size, 1)));
