// What the page carries as data: one block for the list, one for each shape.

/** Reads a block of data, or returns null where there is none. */
export function block(id) {
  const element = document.getElementById(id);
  return element ? JSON.parse(element.textContent) : null;
}

/** Turns base64 into bytes. */
function bytes(text) {
  const raw = atob(text);
  const out = new Uint8Array(raw.length);
  for (let i = 0; i < raw.length; i++) out[i] = raw.charCodeAt(i);
  return out;
}

/** Turns base64 of little-endian 16-bit numbers into numbers. */
function words(text) {
  const b = bytes(text);
  const out = new Uint16Array(b.length >> 1);
  for (let i = 0; i < out.length; i++) out[i] = b[2 * i] | b[2 * i + 1] << 8;
  return out;
}

/** Unpacks a shape: corners in mm above the bed, triangles, and the level of each. */
export function shape(id) {
  const s = block('shape-' + id);
  if (!s) return null;
  const raw = words(s.corners);
  const corners = new Float32Array(raw.length);
  for (let i = 0; i < raw.length; i++) corners[i] = s.min[i % 3] + raw[i] * s.step;
  return {corners, tris: words(s.tris), levels: bytes(s.levels), marks: s.marks};
}
