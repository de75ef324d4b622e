// How the page says things.

const NONE = "–";
const FEW = 10; // fewer tries than that are called few
const MONTHS = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
];

const signed = (cents, digits = 0) => {
  const rounded = Number(cents.toFixed(digits));
  return rounded === 0 ? "0" : `${rounded > 0 ? "+" : "−"}${Math.abs(rounded).toFixed(digits)}`;
};
const counted = (count, one, many) => `${count.toLocaleString("en-GB")} ${count === 1 ? one : many}`;
const tries = (count) => counted(count, "try", "tries");

// Such as "4 May 2026", "May 2026" or "April to June 2026".
function spokenDate(text) {
  if (text.includes("Q"))
    return monthsOf(text)
      .map(spokenDate)
      .filter((_, at) => at !== 1)
      .join(" to ")
      .replace(/ \d+(?= to)/, "");
  const [year, month, day] = text.split("-").map(Number);
  return `${day ? `${day} ` : ""}${MONTHS[month - 1]} ${year}`;
}

// Such as "a, b and c".
const listed = (words) =>
  words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

// Such as "45 minutes", "12 hours" or "less than a minute".
function lasted(minutes) {
  if (minutes < 0.5) return "less than a minute";
  return minutes < 120
    ? counted(Math.round(minutes), "minute", "minutes")
    : counted(Math.round(minutes / 60), "hour", "hours");
}
const noteOf = (tube, partial) => tube.notes[partial - 1] ?? "";
const rungName = (tube, partial) => `${partial} ${noteOf(tube, partial)}`.trim();
const middleText = (found, digits = 0, sign = true) => {
  if (!found) return NONE;
  return sign ? signed(found.mid, digits) : found.mid.toFixed(digits);
};
const rangeText = (found, digits = 0, sign = true) => {
  if (!found || found.n < 2) return NONE;
  const text = (value) => (sign ? signed(value, digits) : value.toFixed(digits));
  return `${text(found.low)} to ${text(found.high)}`;
};

// The Wilson interval of a share, 95 per cent (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927).
function wilson(right, of) {
  const z = 1.959964;
  const share = right / of;
  const middle = (share + (z * z) / (2 * of)) / (1 + (z * z) / of);
  const half = (z / (1 + (z * z) / of)) * Math.sqrt((share * (1 - share)) / of + (z * z) / (4 * of * of));
  return { low: Math.max(0, middle - half), high: Math.min(1, middle + half) };
}
