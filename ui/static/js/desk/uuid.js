// @ts-check
// Ids that sort by the time they were made.

let lastMs = 0;
let counter = 0;

/**
 * A UUID of version 7 (RFC 9562): milliseconds, then a counter in the 12 bits
 * after the version (method 1 of section 6.2), then 62 random bits. Ids of one
 * page ascend.
 * @param {number} [now] milliseconds since 1970
 * @returns {string}
 */
export function uuid7(now = Date.now()) {
  const random = crypto.getRandomValues(new Uint8Array(10));
  if (now > lastMs) {
    lastMs = now;
    counter = ((random[8] << 8) | random[9]) & 0x7ff; // half of the room is left to count up in
  } else if (++counter > 0xfff) {
    lastMs++;
    counter = 0;
  }
  const time = lastMs.toString(16).padStart(12, "0");
  const tail = Array.from(random.subarray(0, 8), (b) => b.toString(16).padStart(2, "0")).join("");
  const variant = ((random[0] & 0x3f) | 0x80).toString(16);
  return `${time.slice(0, 8)}-${time.slice(8)}-7${counter.toString(16).padStart(3, "0")}-${variant}${tail.slice(2, 4)}-${tail.slice(4)}`;
}
