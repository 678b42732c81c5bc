// A shape made ready to be drawn: corners of its own for every triangle, so that each
// has its own normal, and the lines where faces meet at an edge.

/** Cosine of 32 degrees: faces that turn more than that have an edge between them. */
const crease = 0.848;

/** Gives every triangle its own corners and normals. */
export function surfaceOf(shape) {
  const n = shape.tris.length;
  const position = new Float32Array(3 * n);
  const normal = new Float32Array(3 * n);
  const level = new Float32Array(n);
  for (let t = 0; t < n; t += 3) {
    const at = [0, 1, 2].map((k) => shape.corners.subarray(3 * shape.tris[t + k], 3 * shape.tris[t + k] + 3));
    const up = normalOf(at);
    for (let k = 0; k < 3; k++) {
      position.set(at[k], 3 * (t + k));
      normal.set(up, 3 * (t + k));
      level[t + k] = shape.levels[t / 3];
    }
  }
  return {position, normal, level};
}

function normalOf([a, b, c]) {
  const u = [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
  const v = [c[0] - a[0], c[1] - a[1], c[2] - a[2]];
  const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  const length = Math.hypot(...n) || 1;
  return n.map((x) => x / length);
}

/** Lists the lines where faces meet at an edge, and those with one face only. */
export function edgesOf(shape, surface) {
  const sides = new Map();
  for (let i = 0; i < shape.tris.length; i++) {
    const a = shape.tris[i];
    const b = shape.tris[i % 3 === 2 ? i - 2 : i + 1];
    const key = Math.min(a, b) * 65536 + Math.max(a, b);
    const own = sides.get(key);
    if (own) own.push(i - i % 3);
    else sides.set(key, [i - i % 3]);
  }
  const lines = [];
  for (const [key, own] of sides) {
    const [p, q] = own.map((t) => surface.normal.subarray(3 * t, 3 * t + 3));
    if (own.length === 2 && p[0] * q[0] + p[1] * q[1] + p[2] * q[2] >= crease) continue;
    for (const v of [Math.floor(key / 65536), key % 65536]) lines.push(...shape.corners.subarray(3 * v, 3 * v + 3));
  }
  return new Float32Array(lines);
}

/** Returns the middle of a shape and the radius of the sphere around it. */
export function extent(corners) {
  const low = [Infinity, Infinity, Infinity];
  const high = low.map((x) => -x);
  for (let i = 0; i < corners.length; i++) {
    low[i % 3] = Math.min(low[i % 3], corners[i]);
    high[i % 3] = Math.max(high[i % 3], corners[i]);
  }
  return {
    middle: low.map((x, k) => (x + high[k]) / 2),
    radius: Math.hypot(...low.map((x, k) => high[k] - x)) / 2 || 1,
    low, high,
  };
}
