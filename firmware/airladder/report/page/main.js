// Begins when the page is read: closes the tables, shows the form, and draws whatever is chosen.

function drawAll(choice) {
  for (const draw of [
    drawDays,
    drawLadders,
    drawGrowth,
    drawCents,
    drawCompared,
    drawStarts,
    drawSpeak,
    drawCoach,
    drawFundamentals,
  ]) {
    draw(choice);
  }
  const on = choice.fingering === "all" ? "all fingerings" : choice.tubes[0].spoken;
  form.querySelector(".now").textContent = `Shown: ${choice.horn}, ${on}, ${choice.span.said}.`;
}

if (part.totals.sessions > 0) {
  let now = null;
  let width = innerWidth;
  for (const details of document.querySelectorAll("details.numbers")) details.open = false;
  for (const one of document.querySelectorAll("[data-drawn]")) one.hidden = false;
  for (const link of document.querySelectorAll("nav a")) {
    link.addEventListener("click", (event) => {
      event.preventDefault(); // the choice stays in the address
      const head = document.querySelector(`${link.getAttribute("href")} h2`);
      head.tabIndex = -1;
      head.focus({ preventScroll: true });
      head.scrollIntoView();
    });
  }
  whenChosen((choice) => {
    now = choice;
    drawAll(choice);
  });
  addEventListener("resize", () => {
    if (innerWidth !== width) {
      width = innerWidth;
      drawAll(now);
    } // a phone's bar that comes and goes changes the height alone
  });
}
