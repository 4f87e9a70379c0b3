// @ts-check
// A long reading with many events, made by rule, to see how the strip bears it.

/**
 * n events spread over `seconds`: heel work and stays in turn, and everything
 * else at changing distances.
 * @param {number} n
 * @param {number} seconds
 */
export function busyEvents(n, seconds) {
  const codes = ["ahead", "tone", "praise", "sit", "did", "behind", "voice", "turn", "paid", "wide", "stim", "off-task", "down", "no-answer", "crowding", "stress", "body", "halt", "leash-guide", "remark"];
  const long = new Set(["ahead", "behind", "wide", "crowding", "off-task", "leash-guide"]);
  const step = (seconds * 1e6) / n;
  const events = [];
  const every = Math.max(1, Math.floor(n / 50)); // 50 exercises
  for (let i = 0; i < n; i++) {
    const start = Math.round(i * step);
    if (i % every === 0) {
      events.push({ id: `x${i}`, code: (i / every) % 3 === 2 ? "ex-down" : "ex-heel", start_us: start, end_us: Math.round(start + step * every * 0.95), details: {}, note: "" });
      continue;
    }
    const code = codes[(i * 7 + Math.floor(i / 11)) % codes.length];
    const end = long.has(code) ? Math.round(start + step * (0.5 + (i % 5) * 0.4)) : start;
    const details = code === "stim" ? { level: 1 + (i % 20) } : code === "turn" ? { kind: ["left", "right", "about"][i % 3] } : {};
    events.push({ id: `x${i}`, code, start_us: start, end_us: end, details, note: code === "remark" ? `remark ${i}` : "" });
  }
  return events;
}
