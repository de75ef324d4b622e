// What was measured over time: cents, time to speak, fundamentals.

function drawCents(choice) {
  const rows = rowsOf("rungs", choice).filter((row) => row.cents);
  const most = reachOf(
    rows.map((row) => row.cents),
    15,
    60,
  );
  const cards = byTube(
    choice,
    rows,
    (tube, own) => (width) =>
      overTime(choice, tube, width, {
        sentence: `Cents of the partials of ${tube.spoken} over time. ${newestTold(
          own,
          (row) => row.cents,
          (cents) => `${signed(cents)} cents`,
        )}`,
        series: [{ rows: own, value: (row) => row.cents, stroke: REACHED }],
        domain: [-most, most],
        ticks: [-most, 0, most],
        zero: true,
      }),
  );
  fill(
    document.getElementById("cents"),
    cards,
    () =>
      inOrder(rows).map((row) => [
        capital(row.tube.spoken),
        rungName(row.tube, row.partial),
        spokenDate(row.when),
        middleText(row.cents),
        rangeText(row.cents),
        `${row.cents.n}`,
      ]),
    "No cents were measured on this choice.",
  );
}

function drawSpeak(choice) {
  const rows = rowsOf("starts", choice).filter((row) => row.speak);
  const most = Math.ceil((d3.quantile(rows, 0.97, (row) => row.speak.high) || 100) / 100) * 100;
  const kind = (own, name) => own.filter((row) => row.kind === name);
  const told = (own, name) =>
    newestTold(
      kind(own, name),
      (row) => row.speak,
      (ms) => `${Math.round(ms)} ms`,
    );
  const cards = byTube(
    choice,
    rows,
    (tube, own) => (width) =>
      overTime(choice, tube, width, {
        sentence: `Time until the partials of ${tube.spoken} stood. Tongued: ${told(own, "tongued")} By air: ${told(own, "air")}`,
        series: [
          { rows: kind(own, "tongued"), value: (row) => row.speak, stroke: REACHED },
          { rows: kind(own, "air"), value: (row) => row.speak, stroke: MISSED, dashed: true },
        ],
        domain: [0, most],
        ticks: [0, most / 4, most],
        quarters: true,
      }),
  );
  fill(
    document.getElementById("speak"),
    cards,
    () =>
      inOrder(rows).map((row) => [
        capital(row.tube.spoken),
        rungName(row.tube, row.partial),
        spokenDate(row.when),
        row.kind,
        middleText(row.speak, 0, false),
        rangeText(row.speak, 0, false),
        `${row.speak.n}`,
      ]),
    "No starts were measured on this choice.",
  );
}

function drawFundamentals(choice) {
  const rows = rowsOf("fundamentals", choice)
    .filter((row) => row.cents)
    .map((row) => ({ ...row, partial: 1 }));
  const most = reachOf(
    rows.map((row) => row.cents),
    15,
    60,
  );
  const cards = byTube(
    choice,
    rows,
    (tube, own) => (width) =>
      overTime(choice, tube, width, {
        sentence: `The fundamental of ${tube.spoken} over time. ${newestTold(
          own,
          (row) => row.cents,
          (cents) => `${signed(cents)} cents`,
        )}`,
        series: [{ rows: own, value: (row) => row.cents, stroke: REACHED }],
        domain: [-most, most],
        ticks: [-most, 0, most],
        zero: true,
        rowHeight: 92,
      }),
  );
  fill(
    document.getElementById("fundamentals"),
    cards,
    () =>
      inOrder(rows).map((row) => [
        capital(row.tube.spoken),
        spokenDate(row.when),
        middleText(row.hz, 2, false),
        middleText(row.cents),
        rangeText(row.cents),
        `${row.cents.n}`,
      ]),
    "No fundamental was measured on this choice.",
  );
}
