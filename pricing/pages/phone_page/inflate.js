// The numbers travel deflated (RFC 1951 inside RFC 1950): under half the bytes. Old browsers have no reader of it, so here is one.
"use strict";

/** Codes by their lengths (RFC 1951, 3.2.2): how many of each length, and the values in order of their codes. */
function codes_of(lengths) {
  const count = new Uint16Array(16), place = new Uint16Array(16), values = [];
  for (const size of lengths) if (size) count[size] += 1;
  for (let size = 1; size < 15; size++) place[size + 1] = place[size] + count[size];
  lengths.forEach((size, value) => { if (size) values[place[size]++] = value; });
  return { count, values };
}

/** The text that base64 of a zlib stream holds. */
function inflated(base64) {
  const from = Uint8Array.from(atob(base64), (sign) => sign.charCodeAt(0));
  let out = new Uint8Array(4 * from.length), n = 0, at = 16; // at: bits read; two bytes lead the stream
  const bits = (count) => { let value = 0; for (let i = 0; i < count; i++, at++) value |= ((from[at >> 3] >> (at & 7)) & 1) << i; return value; };
  const put = (byte) => { if (n === out.length) { const more = new Uint8Array(2 * n); more.set(out); out = more; } out[n++] = byte; };
  const next = ({ count, values }) => {
    let code = 0, first = 0, place = 0;
    if (at > 8 * from.length) throw new Error("this file is cut short");
    for (let size = 1; size < 16; size++, first <<= 1, code <<= 1) {
      code |= (from[at >> 3] >> (at & 7)) & 1; at += 1;
      if (code - first < count[size]) return values[place + code - first];
      place += count[size]; first += count[size];
    }
    throw new Error("the numbers of this file are damaged");
  };
  for (let last = 0; !last;) {
    last = bits(1);
    const kind = bits(2);
    if (kind === 0) {
      at = (at + 7) & ~7;
      const size = bits(16);
      at += 16;
      for (let i = 0; i < size; i++) put(bits(8));
      continue;
    }
    const [letters, distances] = kind === 1 ? FIXED : told_codes(bits, next);
    for (let value = next(letters); value !== 256; value = next(letters)) {
      if (value < 256) { put(value); continue; }
      const size = SIZES[value - 257] + bits(SIZE_BITS[value - 257]), back = next(distances), distance = DISTANCES[back] + bits(DISTANCE_BITS[back]);
      for (let i = 0; i < size; i++) put(out[n - distance]);
    }
  }
  return new TextDecoder().decode(out.subarray(0, n));
}

// RFC 1951, 3.2.5 and 3.2.6: lengths and distances of what is said again, the codes that need no table, the order of the lengths of lengths.
const [SIZES, SIZE_BITS] = steps_of_codes(3, [8, 4, 4, 4, 4, 4], 258), [DISTANCES, DISTANCE_BITS] = steps_of_codes(1, [4, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2, 2]);
const FIXED = [codes_of([...Array(144).fill(8), ...Array(112).fill(9), ...Array(24).fill(7), ...Array(8).fill(8)]), codes_of(Array(30).fill(5))];
const ORDER = [16, 17, 18, 0, 8, 7, 9, 6, 10, 5, 11, 4, 12, 3, 13, 2, 14, 1, 15];

/** Starts and extra bits: so many codes of no bit, then of one, of two … */
function steps_of_codes(start, groups, last) {
  const starts = [], extra = [];
  groups.forEach((count, bits) => { for (let i = 0; i < count; i++) { starts.push(start); extra.push(bits); start += 1 << bits; } });
  if (last) { starts[starts.length] = last; extra.push(0); }
  return [starts, extra];
}

function told_codes(bits, next) {
  const n_letters = bits(5) + 257, n_distances = bits(5) + 1, n_lengths = bits(4) + 4, lengths = [], of_lengths = Array(19).fill(0);
  for (let i = 0; i < n_lengths; i++) of_lengths[ORDER[i]] = bits(3);
  for (const codes = codes_of(of_lengths); lengths.length < n_letters + n_distances;) {
    const value = next(codes);
    if (value < 16) { lengths.push(value); continue; }
    const [again, times] = value === 16 ? [lengths[lengths.length - 1], 3 + bits(2)] : value === 17 ? [0, 3 + bits(3)] : [0, 11 + bits(7)];
    for (let i = 0; i < times; i++) lengths.push(again);
  }
  return [codes_of(lengths.slice(0, n_letters)), codes_of(lengths.slice(n_letters))];
}
