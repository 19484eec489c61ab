// Rigid motions as 16 numbers by columns, as WebGL takes them.
const NONE = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1];

// b first, then a.
function times(a, b) {
  const out = new Array(16);
  for (let c = 0; c < 4; c += 1) {
    for (let r = 0; r < 4; r += 1) {
      let sum = 0;
      for (let k = 0; k < 4; k += 1) sum += a[4 * k + r] * b[4 * c + k];
      out[4 * c + r] = sum;
    }
  }
  return out;
}

const ofRows = (rows) => [0, 1, 2, 3].flatMap((c) => rows.map((row) => row[c]));

const shifted = ([x, y, z]) => [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, x, y, z, 1];

const apply = (m, [x, y, z]) =>
  [0, 1, 2].map((r) => m[r] * x + m[4 + r] * y + m[8 + r] * z + m[12 + r]);

// A turn about a line through `centre` along the unit vector `axis` (Rodrigues' formula).
function turnedAbout(centre, [x, y, z], angle) {
  const c = Math.cos(angle);
  const s = Math.sin(angle);
  const d = 1 - c;
  const turn = [
    c + d * x * x, d * x * y + s * z, d * x * z - s * y, 0,
    d * x * y - s * z, c + d * y * y, d * y * z + s * x, 0,
    d * x * z + s * y, d * y * z - s * x, c + d * z * z, 0,
    0, 0, 0, 1,
  ];
  return times(times(shifted(centre), turn), shifted(centre.map((v) => -v)));
}

const plus = (a, b) => a.map((v, k) => v + b[k]);
const scaled = (a, f) => a.map((v) => v * f);
const dot = (a, b) => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a, b) => [
  a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0],
];
const unit = (a) => scaled(a, 1 / (Math.hypot(...a) || 1));
